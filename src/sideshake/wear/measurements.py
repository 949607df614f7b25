"""What was measured on one watch, and how it joins the calibre sheet to make a case.

A measured line wins over the sheet's. Lengths are in millimetres; a value without its own
uncertainty takes the file's `u_mm`. "above" is the bridge side, "below" the plate side.
"""

from dataclasses import dataclass
from typing import Literal

from pydantic import ConfigDict, Field

from sideshake.errors import InputError
from sideshake.movement.lines import Gap as GapLine
from sideshake.movement.lines import Signed, Size, line
from sideshake.movement.sheet import Bearing as SheetBearing
from sideshake.movement.sheet import CalibreSheet, Section
from sideshake.quantities import Measured, propagate
from sideshake.wear.amplitude import Drive
from sideshake.wear.barrel import Barrel, Gap, Pair, Side
from sideshake.wear.barrel_size import BarrelSize, Source
from sideshake.wear.bearing import Bearing, Hole
from sideshake.wear.mesh import (
    PRESSURE_ANGLE_DEG,
    Turns,
    mesh_push,
    pull_direction,
    thrust_direction,
)
from sideshake.wear.sizes import (
    ABOVE,
    BELOW,
    ENDSHAKES,
    FLOOR,
    LID,
    Sizes,
    SpotName,
    from_source,
    part_name,
    sizes_of,
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

    hole_mm: Size | None = line("diameter of the hole, if round", "0.925+-0.005")
    hole_long_mm: Size | None = line("long axis of an oval hole", "1.010+-0.005")
    hole_short_mm: Size | None = line("short axis of an oval hole", "0.935+-0.005")
    long_axis_deg: float = Field(
        default=0.0, description="direction of the long axis, from 3 o'clock counter-clockwise"
    )
    pivot_mm: Size | None = line("diameter of the pivot", "0.895+-0.003")
    room_mm: Size | None = line("largest outside diameter that the metal around allows", 2.6)
    edge_mm: Size | None = line("from the hole's middle to the next hole or edge", 1.6)
    thickness_mm: Size | None = line("thickness of plate or bridge at the hole", 0.60)
    metal: str = Field(default="hard brass", description="what plate or bridge is made of")
    passes_through: bool = Field(default=True, description="whether the arbor passes right through")
    depth_mm: Signed | None = line("how far the old jewel or bush lies below the surface", 0.01)


class MeasuredBarrel(Lines):
    """Play and room around the barrel."""

    span_mm: Size | None = line("distance between the middles of the two bearings", 2.70)
    endshake_mm: GapLine | None = line("axial play of the arbor", "0.05+-0.01")
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

    @property
    def sizes(self) -> tuple[BarrelSize, ...]:
        """Return every size and how it is known, each once."""
        return tuple({each.words: each for each in self.case.barrel.known}.values())

    @property
    def from_sheet(self) -> tuple[str, ...]:
        """Return the sizes nobody measured on this watch that stand in the sheet."""
        return from_source(self.case.barrel.known, Source.SHEET)

    @property
    def assumed(self) -> tuple[str, ...]:
        """Return the sizes that were neither measured nor stand in the sheet."""
        return from_source(self.case.barrel.known, Source.ASSUMED)


def bench(sheet: CalibreSheet, found: Measurements) -> Bench:
    """Return the case of a watch: what was measured, else what the sheet says.

    Raises
    ------
    InputError : a value is in neither, or two values contradict each other
    """
    known = sizes_of(sheet, found)
    arbor, inner = (
        Pair(
            lower=joined(sheet, found, below, known),
            upper=joined(sheet, found, above, known),
            span_mm=known[f"{prefix}span"].value,
        )
        for prefix, below, above in (("", BELOW, ABOVE), ("barrel's own ", FLOOR, LID))
    )
    barrel = Barrel(
        arbor=arbor,
        endshake_mm=whole_endshake(known),
        gaps=gaps(sheet, known),
        inner=inner,
        known=tuple(known.values()),
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
    )


def joined(sheet: CalibreSheet, found: Measurements, place: SpotName, known: Sizes) -> Bearing:
    """Return a bearing: what was measured, else what the sheet or common practice say."""
    measured: MeasuredBearing = getattr(found, place.table)
    key = f"barrel.{place.line}"
    if measured.hole_mm and (measured.hole_long_mm or measured.hole_short_mm):
        raise InputError(
            f"{key}: both hole_mm {measured.hole_mm.text()} and the axes of an oval hole are "
            "given; give one or the other"
        )
    if measured.hole_short_mm and not measured.hole_long_mm:
        raise InputError(f"{key}: hole_short_mm is given without hole_long_mm")
    short = known.get(f"{place.name} hole, short axis")
    return Bearing(
        hole=Hole(
            long_mm=known[f"{place.name} hole"].value,
            short_mm=short.value if short else None,
            long_axis_deg=measured.long_axis_deg,
        ),
        pivot_mm=known[f"{place.name} pivot"].value,
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


def whole_endshake(known: Sizes) -> Measured:
    """Return the endshake of the arbor and of the barrel on it, together (mm)."""
    parts = [known[name].value for name, _key in ENDSHAKES]
    return propagate(lambda one, other: one + other, *parts)


SIDES = {"plate": Side.BELOW, "bridge": Side.ABOVE, "neighbour": Side.ABOVE}


def gaps(sheet: CalibreSheet, known: Sizes) -> tuple[Gap, ...]:
    """Return the gaps; a neighbour only where it is known, and then met from either side."""
    named = [(part_name(sheet, each), side) for each, side in SIDES.items()]
    return tuple(
        Gap(
            name=name,
            side=side,
            gap_mm=known[f"gap to the {name}"].value,
            radius_mm=known[f"radius at the {name}"].value,
        )
        for name, side in named
        if f"gap to the {name}" in known
    )


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


def thickness(calibre: CalibreSheet, found: Measurements, place: str) -> float:
    """Return the thickness of plate or bridge: measured, from the sheet, or half a millimetre."""
    lines = getattr(calibre.barrel, place, None)
    measured = getattr(found, place).thickness_mm or (lines and lines.thickness_mm)
    return float(measured.value) if measured else GUESSED_THICKNESS_MM
