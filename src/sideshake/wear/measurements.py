"""What was measured on one watch, and how it joins the calibre sheet to make a case.

A measured line wins over the sheet's. Lengths are in millimetres; a value without its own
uncertainty takes the file's `u_mm`. "above" is the bridge side, "below" the plate side.
"""

from dataclasses import dataclass

from pydantic import ConfigDict, Field

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, propagate
from sideshake.movement.lines import Gap as GapLine
from sideshake.movement.lines import SheetSection, Signed, Size, line
from sideshake.movement.sheet import CalibreSheet, SheetBearing, SheetDirections
from sideshake.wear.amplitude import Drive
from sideshake.wear.barrel import Barrel, BarrelSide, BearingPair, Gap, Shoulders
from sideshake.wear.barrel_size import BarrelSize, SizeSource
from sideshake.wear.bearing import Bearing, Hole, sound_range
from sideshake.wear.cause import Thrust
from sideshake.wear.known import known_parts, require_two_bearings, unusual_words
from sideshake.wear.loads import Loaded, under_way, while_winding
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
    with_default,
)
from sideshake.wear.thrusts import thrusts_on
from sideshake.wear.verdict import Case

PURPOSE = "the barrel's lean"
PRESSED_U_MM = 0.015
"""Of a gap tried with feeler strips while pegwood presses the rim (common practice, no source)."""
GUESSED_THICKNESS_MM = 0.5
"""Of plate or bridge, when neither was measured nor stands in the sheet; for drawings."""


class MeasuredLines(SheetSection):
    """A table of measurements: as a sheet's, and no number is infinite or missing."""

    model_config = ConfigDict(allow_inf_nan=False)


class MeasuredBearing(MeasuredLines):
    """One bearing as measured: the hole by one diameter or by two axes, and the pivot."""

    hole_mm: Size | None = line("diameter of the hole, if round", "0.925+-0.010")
    hole_long_mm: Size | None = line("long axis of an oval hole", "1.010+-0.010")
    hole_short_mm: Size | None = line("short axis of an oval hole", "0.935+-0.010")
    long_axis_deg: Signed | None = line(
        "direction of the long axis, from 3 o'clock counter-clockwise", "95+-10"
    )
    hole_in_mm: Size | None = line("the hole at its inner mouth, facing the barrel", 0.95)
    hole_out_mm: Size | None = line("the hole at its outer mouth", 0.96)
    pivot_mm: Size | None = line("diameter of the pivot", "0.895+-0.006")
    room_mm: Size | None = line("largest outside diameter that the metal around allows", 2.6)
    edge_mm: Size | None = line("from the hole's middle to the next hole or edge", 1.6)
    thickness_mm: Size | None = line("thickness of plate or bridge at the hole", 0.60)
    metal: str = Field(default="hard brass", description="what plate or bridge is made of")
    passes_through: bool = Field(default=True, description="whether the arbor passes right through")
    depth_mm: Signed | None = line("how far the old jewel or bush lies below the surface", 0.01)


class MeasuredBarrel(MeasuredLines):
    """Play and room around the barrel."""

    span_mm: Size | None = line("distance between the middles of the two bearings", 2.70)
    endshake_mm: GapLine | None = line("axial play of the arbor", "0.05+-0.02")
    endshake_wanted_mm: GapLine | None = line("endshake of the arbor after the work", 0.03)
    barrel_endshake_mm: GapLine | None = line("axial play of the barrel on its arbor", 0.04)
    gap_plate_mm: GapLine | None = line("rim to plate, arbor upright in mid endshake", 0.20)
    gap_bridge_mm: GapLine | None = line("rim to bridge, arbor upright in mid endshake", 0.18)
    gap_neighbour_mm: GapLine | None = line("rim to the nearest wheel over or under it", 0.15)
    pressed_plate_mm: GapLine | None = line("left to the plate, rim pressed down; 0: touches", 0.06)
    pressed_bridge_mm: GapLine | None = line("left to the bridge, rim pressed up; 0: touches", 0.06)
    ratchet_radius_mm: Size | None = line("radius at which the click holds the ratchet wheel", 4.2)
    ratchet_plane_mm: Size | None = line("the ratchet wheel above the lower bearing's middle", 3.25)
    shoulder_above_mm: Size | None = line("diameter of the arbor's shoulder under the bridge", 1.4)
    shoulder_below_mm: Size | None = line("diameter of the arbor's shoulder over the plate", 1.4)


class PartnerDirections(SheetDirections):
    """Where the partners lie, from the barrel's centre, 3 o'clock 0, counter-clockwise, degrees."""


class Measurements(MeasuredLines):
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
    directions: PartnerDirections = PartnerDirections()


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The case as it lies on the bench: for the verdict, the cause and the pictures."""

    case: Case
    rim_radius_mm: Measured
    arbor_turns: bool
    partner_deg: float | None
    u_mm: float
    thrusts_above: tuple[Thrust, ...] = ()
    thrusts_below: tuple[Thrust, ...] = ()
    """What may have worn each hole of the arbor."""
    unusual: str = ""
    """Why the loads are not reckoned, where this is no usual going barrel."""

    @property
    def sizes(self) -> tuple[BarrelSize, ...]:
        """Return every size and how it is known, each once."""
        return tuple({each.words: each for each in self.case.barrel.known}.values())

    @property
    def from_sheet(self) -> tuple[str, ...]:
        """Return the sizes nobody measured on this watch that stand in the sheet."""
        return from_source(self.case.barrel.known, SizeSource.SHEET)

    @property
    def assumed(self) -> tuple[str, ...]:
        """Return the sizes that were neither measured nor stand in the sheet."""
        return from_source(self.case.barrel.known, SizeSource.ASSUMED)


def bench(sheet: CalibreSheet, found: Measurements) -> Bench:
    """Return the case of a watch: what was measured, else what the sheet says.

    Raises
    ------
    InputError : a value is in neither, or two values contradict each other
    NotEnough : the barrel hangs in one bearing
    """
    require_two_bearings(sheet)
    sizes = sizes_of(sheet, found)
    arbor, inner = (
        BearingPair(
            lower=joined(sheet, found, below, sizes),
            upper=joined(sheet, found, above, sizes),
            span_mm=sizes[f"{prefix}span"].value,
        )
        for prefix, below, above in (("", BELOW, ABOVE), ("barrel's own ", FLOOR, LID))
    )
    barrel = Barrel(
        arbor=arbor,
        endshake_mm=whole_endshake(sizes),
        gaps=gaps(sheet, found, sizes),
        inner=inner,
        shoulders=shoulders(sizes),
        known=tuple(sizes.values()),
    )
    known = known_parts(sheet, found, barrel)
    unusual = unusual_words(sheet)
    turning = bool(sheet.barrel and sheet.barrel.arbor_turns_while_running)
    no_thrust = bool(unusual) and not turning
    return Bench(
        case=case(
            barrel,
            None if unusual else under_way(known, barrel),
            None if unusual else while_winding(known, barrel),
            metal_only=found.metal_only,
            drive=drive(sheet, found, barrel),
        ),
        rim_radius_mm=known.rim_radius_mm,
        arbor_turns=turning,
        thrusts_above=()
        if no_thrust
        else thrusts_on(known, barrel, upper=True, arbor_turns=turning),
        thrusts_below=()
        if no_thrust
        else thrusts_on(known, barrel, upper=False, arbor_turns=turning),
        partner_deg=known.centre_wheel_deg.value if known.centre_wheel_deg else None,
        u_mm=found.u_mm,
        unusual=unusual,
    )


def case(
    barrel: Barrel,
    running: Loaded | None,
    winding: Loaded | None,
    *,
    metal_only: bool,
    drive: Drive | None,
) -> Case:
    """Return the case with how the barrel stands under its loads, where that is reckoned."""
    return Case(
        barrel=barrel,
        running=running.worst if running else None,
        running_kindest=running.kindest if running else None,
        winding=winding.worst if winding else None,
        winding_kindest=winding.kindest if winding else None,
        drive=drive,
        metal_only=metal_only,
    )


def joined(sheet: CalibreSheet, found: Measurements, place: SpotName, sizes: Sizes) -> Bearing:
    """Return a bearing: what was measured, else what the sheet or common practice say."""
    measured: MeasuredBearing = getattr(found, place.table)
    key = f"barrel.{place.line}"
    require_one_way(measured, key)
    axis = measured.long_axis_deg or Measured(0.0)
    return Bearing(
        hole=Hole(
            long_mm=sizes[f"{place.name} hole"].value,
            short_mm=or_none(measured.hole_short_mm, found.u_mm),
            long_axis_deg=axis.value,
            long_axis_u_deg=axis.u,
            mouth_in_mm=or_none(measured.hole_in_mm, found.u_mm),
            mouth_out_mm=or_none(measured.hole_out_mm, found.u_mm),
        ),
        pivot_mm=sizes[f"{place.name} pivot"].value,
        normal_mm=sheet_play(sheet, key),
        room_mm=measured.room_mm.value if measured.room_mm else None,
        thickness_mm=value_of(sizes, f"{place.name} thickness"),
    )


def value_of(sizes: Sizes, name: str) -> Measured | None:
    """Return the value of a size that need not be known."""
    found = sizes.get(name)
    return found.value if found else None


def require_one_way(measured: MeasuredBearing, key: str) -> None:
    """Refuse a hole that is given in two ways, or in half of one."""
    if measured.hole_mm and (measured.hole_long_mm or measured.hole_short_mm):
        raise InputError(
            f"{key}: both hole_mm {measured.hole_mm.text()} and the axes of an oval hole are "
            "given; give one or the other"
        )
    if measured.hole_short_mm and not measured.hole_long_mm:
        raise InputError(f"{key}: hole_short_mm is given without hole_long_mm")


def or_none(value: Measured | None, u_mm: float) -> Measured | None:
    """Return the value with the file's uncertainty if it carries none; None if there is none."""
    return with_default(value, u_mm) if value else None


def shoulders(sizes: Sizes) -> Shoulders | None:
    """Return the arbor's shoulders; None unless both are known."""
    above, below = (value_of(sizes, f"{end} shoulder") for end in ("upper", "lower"))
    if not (above and below):
        return None
    return Shoulders(
        above_mm=above, below_mm=below, endshake_mm=sizes["endshake of the arbor"].value
    )


def sheet_play(sheet: CalibreSheet, key: str) -> tuple[float, float] | None:
    """Return the play the sheet gives a sound bearing, if it does."""
    lines: SheetBearing | None = getattr(sheet.barrel, key.removeprefix("barrel."), None)
    if lines is None or lines.hole_mm is None or lines.pivot_mm is None:
        return None
    return sound_range(lines.hole_mm.value, lines.pivot_mm.value)


def whole_endshake(sizes: Sizes) -> Measured:
    """Return the endshake of the arbor and of the barrel on it, together (mm)."""
    parts = [sizes[name].value for name, _key in ENDSHAKES]
    return propagate(lambda one, other: one + other, *parts)


SIDES = {"plate": BarrelSide.BELOW, "bridge": BarrelSide.ABOVE, "neighbour": BarrelSide.ABOVE}


def gaps(sheet: CalibreSheet, found: Measurements, sizes: Sizes) -> tuple[Gap, ...]:
    """Return the gaps; a neighbour only where it is known, and then met from either side."""
    named = [(part_name(sheet, each), side) for each, side in SIDES.items()]
    return tuple(
        Gap(
            name=name,
            side=side,
            gap_mm=sizes[f"gap to the {name}"].value,
            radius_mm=sizes[f"radius at the {name}"].value,
            pressed_mm=or_none(getattr(found.barrel, f"pressed_{name}_mm", None), PRESSED_U_MM),
        )
        for name, side in named
        if f"gap to the {name}" in sizes
    )


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
