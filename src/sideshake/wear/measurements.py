"""What was measured on one watch, and how it joins the calibre sheet to make a case.

A measured line wins over the sheet's. Lengths are in millimetres; a value without its own
uncertainty takes the file's `u_mm`. "above" is the bridge side, "below" the plate side.
"""

from dataclasses import dataclass
from typing import Literal

from pydantic import ConfigDict, Field

from sideshake.errors import InputError
from sideshake.movement.fusee import require_going_barrel
from sideshake.movement.lines import Gap as GapLine
from sideshake.movement.lines import Section, Signed, Size, line
from sideshake.movement.sheet import Bearing as SheetBearing
from sideshake.movement.sheet import CalibreSheet
from sideshake.quantities import Measured, propagate
from sideshake.wear.amplitude import Drive
from sideshake.wear.barrel import Barrel, Gap, Pair, Side
from sideshake.wear.bearing import Bearing, Hole
from sideshake.wear.mesh import (
    PRESSURE_ANGLE_DEG,
    Turns,
    mesh_push,
    pull_direction,
    thrust_direction,
)
from sideshake.wear.stance import Push, Stance, pushed
from sideshake.wear.verdict import Case

PURPOSE = "the barrel's lean"
BEYOND = 1.2
"""A ratchet wheel lies beyond the upper bearing; for a single push only that matters."""
GUESSED_THICKNESS_MM = 0.5
"""Of plate or bridge, when neither was measured nor stands in the sheet; for drawings."""
UNIT_FORCE_N = 1.0
"""One push alone loads the bearings in the same directions whatever its size."""


class Lines(Section):
    """A table of measurements: as a sheet's, and no number is infinite or missing."""

    model_config = ConfigDict(allow_inf_nan=False)


class MeasuredBearing(Lines):
    """One bearing as measured: the hole by one diameter or by two axes, and the pivot."""

    hole_mm: Size | None = line("diameter of the hole, if round", "0.925+-0.010")
    hole_long_mm: Size | None = line("long axis of an oval hole", "1.010+-0.010")
    hole_short_mm: Size | None = line("short axis of an oval hole", "0.935+-0.010")
    long_axis_deg: float = Field(
        default=0.0, description="direction of the long axis, from 3 o'clock counter-clockwise"
    )
    pivot_mm: Size | None = line("diameter of the pivot", "0.895+-0.006")
    room_mm: Size | None = line("largest outside diameter that the metal around allows", 2.6)
    edge_mm: Size | None = line("from the hole's middle to the next hole or edge", 1.6)
    thickness_mm: Size | None = line("thickness of plate or bridge at the hole", 0.60)
    metal: str = Field(default="hard brass", description="what plate or bridge is made of")
    passes_through: bool = Field(default=True, description="whether the arbor passes right through")
    depth_mm: Signed | None = line("how far the old jewel or bush lies below the surface", 0.01)


class MeasuredBarrel(Lines):
    """Play and room around the barrel."""

    span_mm: Size | None = line("distance between the middles of the two bearings", 2.70)
    endshake_mm: GapLine | None = line("axial play of the arbor", "0.05+-0.02")
    endshake_wanted_mm: GapLine | None = line("endshake of the arbor after the work", 0.03)
    barrel_endshake_mm: GapLine | None = line("axial play of the barrel on its arbor", 0.04)
    gap_plate_mm: GapLine | None = line("rim to plate, arbor upright in mid endshake", 0.20)
    gap_bridge_mm: GapLine | None = line("rim to bridge, arbor upright in mid endshake", 0.18)
    gap_neighbour_mm: GapLine | None = line("rim to the nearest wheel over or under it", 0.15)


class Directions(Lines):
    """Where the partners lie, from the barrel's centre, 3 o'clock 0, counter-clockwise, degrees."""

    centre_wheel_deg: float | None = line("direction of the pinion the barrel drives", 90)
    crown_wheel_deg: float | None = line("direction of the crown wheel", 0)
    turns: Literal["clockwise", "counter-clockwise"] | None = line(
        "which way the barrel turns, seen from the bridge", "clockwise"
    )


class Measurements(Lines):
    """All that was measured on one watch."""

    calibre: str | None = line("the calibre's name or the file of its sheet", "tarnbrook-31")
    watch: str = Field(default="", description="which watch this is")
    u_mm: float = Field(
        default=0.005, gt=0, description="standard uncertainty of a length that carries none"
    )
    amplitude_deg: float | None = line("amplitude now, hanging, fully wound", 205)
    metal_only: bool = Field(default=False, description="true if no jewel may be added")
    above: MeasuredBearing = MeasuredBearing()
    below: MeasuredBearing = MeasuredBearing()
    lid: MeasuredBearing = MeasuredBearing()
    floor: MeasuredBearing = MeasuredBearing()
    barrel: MeasuredBarrel = MeasuredBarrel()
    directions: Directions = Directions()


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The case as it lies on the bench: for the verdict, the cause and the pictures."""

    case: Case
    winding: Stance | None
    rim_radius_mm: Measured
    arbor_turns: bool
    partner_deg: float | None
    u_mm: float
    from_sheet: tuple[str, ...]
    """Values nobody measured on this watch: the sheet's figures for a sound one."""


def bench(sheet: CalibreSheet, found: Measurements) -> Bench:
    """Return the case of a watch: what was measured, else what the sheet says.

    Raises
    ------
    InputError : a value is in neither, or two values contradict each other
    NotEnough : the barrel pulls a fusee, which this reckoning does not know
    """
    require_going_barrel(sheet)
    arbor = Pair(
        lower=bearing(sheet, found, "below"),
        upper=bearing(sheet, found, "above"),
        span_mm=length(sheet, found, "span_mm"),
    )
    barrel = Barrel(
        arbor=arbor,
        endshake_mm=whole_endshake(sheet, found),
        gaps=gaps(sheet, found),
        inner=inner_pair(sheet, found),
    )
    turning = bool(sheet.barrel and sheet.barrel.arbor_turns_while_running)
    return Bench(
        case=Case(
            barrel=barrel,
            running=running_stance(sheet, found, barrel),
            drive=drive(sheet, found, barrel),
            metal_only=found.metal_only,
        ),
        winding=winding_stance(found, barrel),
        rim_radius_mm=sheet.measured("barrel.rim_radius_mm", PURPOSE),
        arbor_turns=turning,
        partner_deg=found.directions.centre_wheel_deg,
        u_mm=found.u_mm,
        from_sheet=not_measured(found),
    )


def with_default(value: Measured, u_mm: float) -> Measured:
    """Return the value with the file's uncertainty if it carries none."""
    return value if value.u else Measured(value.value, u_mm)


def bearing(sheet: CalibreSheet, found: Measurements, place: str) -> Bearing:
    """Return the arbor's bearing above or below."""
    measured: MeasuredBearing = getattr(found, place)
    return joined(sheet, measured, f"barrel.{place}", found.u_mm)


def inner_pair(sheet: CalibreSheet, found: Measurements) -> Pair | None:
    """Return the barrel's own bearings on the arbor; None if neither sheet nor bench knows them."""
    barrel = sheet.barrel
    if not (barrel and barrel.on_arbor_above and barrel.on_arbor_below and barrel.lid_to_floor_mm):
        return None
    return Pair(
        lower=joined(sheet, found.floor, "barrel.on_arbor_below", found.u_mm),
        upper=joined(sheet, found.lid, "barrel.on_arbor_above", found.u_mm),
        span_mm=barrel.lid_to_floor_mm,
    )


def joined(sheet: CalibreSheet, measured: MeasuredBearing, key: str, u_mm: float) -> Bearing:
    """Return a bearing from what was measured, else from the sheet's line of that key."""
    if measured.hole_mm and (measured.hole_long_mm or measured.hole_short_mm):
        raise InputError(
            f"{key}: both hole_mm {measured.hole_mm.text()} and the axes of an oval hole are "
            "given; give one or the other"
        )
    if measured.hole_short_mm and not measured.hole_long_mm:
        raise InputError(f"{key}: hole_short_mm is given without hole_long_mm")
    long = measured.hole_long_mm or measured.hole_mm or sheet.measured(f"{key}.hole_mm", PURPOSE)
    short = measured.hole_short_mm
    pivot = measured.pivot_mm or sheet.measured(f"{key}.pivot_mm", PURPOSE)
    return Bearing(
        hole=Hole(
            long_mm=with_default(long, u_mm),
            short_mm=with_default(short, u_mm) if short else None,
            long_axis_deg=measured.long_axis_deg,
        ),
        pivot_mm=with_default(pivot, u_mm),
        normal_mm=sheet_play(sheet, key),
        room_mm=measured.room_mm.value if measured.room_mm else None,
    )


def sheet_play(sheet: CalibreSheet, key: str) -> tuple[float, float] | None:
    """Return the play the sheet gives a sound bearing, give or take a third, if it does."""
    lines: SheetBearing | None = getattr(sheet.barrel, key.removeprefix("barrel."), None)
    if lines is None or lines.hole_mm is None or lines.pivot_mm is None:
        return None
    play = lines.hole_mm.value - lines.pivot_mm.value
    return (play * 2 / 3, play * 4 / 3)


def length(sheet: CalibreSheet, found: Measurements, name: str) -> Measured:
    """Return a length of the barrel: measured, else from the sheet."""
    measured = getattr(found.barrel, name, None)
    return with_default(measured or sheet.measured(f"barrel.{name}", PURPOSE), found.u_mm)


def whole_endshake(sheet: CalibreSheet, found: Measurements) -> Measured:
    """Return the endshake of the arbor and of the barrel on it, together (mm)."""
    arbor = length(sheet, found, "endshake_mm")
    own = found.barrel.barrel_endshake_mm or (sheet.barrel and sheet.barrel.barrel_endshake_mm)
    if not own:
        return arbor
    return propagate(lambda one, other: one + other, arbor, with_default(own, found.u_mm))


GAPS = (
    ("plate", Side.BELOW, "gap_plate_mm"),
    ("bridge", Side.ABOVE, "gap_bridge_mm"),
    ("neighbour", Side.ABOVE, "gap_neighbour_mm"),
)


def gaps(sheet: CalibreSheet, found: Measurements) -> tuple[Gap, ...]:
    """Return the gaps that are known; plate and bridge must be.

    A neighbour's wheel over or under the rim is taken to be met from either side.
    """
    radius = sheet.measured("barrel.rim_radius_mm", PURPOSE)
    made = []
    for name, side, key in GAPS:
        known = getattr(found.barrel, key) or getattr(sheet.barrel, key, None)
        if name == "neighbour" and known is None:
            continue
        named = (sheet.barrel and sheet.barrel.neighbour) if name == "neighbour" else name
        gap = length(sheet, found, key)
        made.append(Gap(name=named or name, side=side, gap_mm=gap, radius_mm=radius))
    return tuple(made)


def turning_way(found: Measurements) -> Turns | None:
    """Return which way the barrel turns, if it was written down."""
    return Turns(found.directions.turns) if found.directions.turns else None


def running_stance(sheet: CalibreSheet, found: Measurements, barrel: Barrel) -> Stance | None:
    """Return how the pull of the mesh makes the barrel stand; None if its direction is unknown."""
    partner, turns = found.directions.centre_wheel_deg, turning_way(found)
    if partner is None or turns is None:
        return None
    push = mesh_push(
        force_n=UNIT_FORCE_N,
        direction_deg=pull_direction(partner, turns, PRESSURE_ANGLE_DEG),
        toothed_plane_mm=sheet.measured("barrel.toothed_plane_mm", PURPOSE).value,
    )
    return pushed("running", (push,), barrel)


def winding_stance(found: Measurements, barrel: Barrel) -> Stance | None:
    """Return how the crown wheel's thrust makes the arbor stand; None if it is not known."""
    driver, turns = found.directions.crown_wheel_deg, turning_way(found)
    if driver is None or turns is None:
        return None
    push = Push(
        force_n=UNIT_FORCE_N,
        direction_deg=thrust_direction(driver, turns, PRESSURE_ANGLE_DEG),
        height_mm=BEYOND * barrel.arbor.span_mm.value,
        on_barrel=False,
    )
    return pushed("winding", (push,), barrel)


def drive(sheet: CalibreSheet, found: Measurements, barrel: Barrel) -> Drive | None:
    """Return what the estimate of the amplitude needs; None if the amplitude was not measured."""
    if found.amplitude_deg is None:
        return None
    return Drive(
        pivot_mm=barrel.arbor.upper.pivot_mm,
        toothed_plane_mm=sheet.measured("barrel.toothed_plane_mm", PURPOSE),
        pitch_radius_mm=sheet.measured("barrel.pitch_radius_mm", PURPOSE),
        amplitude_deg=found.amplitude_deg,
        arbor_turns=bool(sheet.barrel and sheet.barrel.arbor_turns_while_running),
    )


def not_measured(found: Measurements) -> tuple[str, ...]:
    """Return the names of values taken from the sheet because nobody measured them."""
    missing = []
    for place in ("above", "below", "lid", "floor"):
        measured: MeasuredBearing = getattr(found, place)
        if not (measured.hole_mm or measured.hole_long_mm):
            missing.append(f"hole {place}")
        if not measured.pivot_mm:
            missing.append(f"pivot {place}")
    for name in set(MeasuredBarrel.model_fields) - {"endshake_wanted_mm"}:
        if getattr(found.barrel, name) is None:
            missing.append(name.removesuffix("_mm").replace("_", " "))
    return tuple(sorted(missing))


def thickness(calibre: CalibreSheet, found: Measurements, place: str) -> float:
    """Return the thickness of plate or bridge: measured, from the sheet, or half a millimetre."""
    lines = getattr(calibre.barrel, place, None)
    measured = getattr(found, place).thickness_mm or (lines and lines.thickness_mm)
    return float(measured.value) if measured else GUESSED_THICKNESS_MM
