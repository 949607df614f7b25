"""The new jewel or bush for a worn hole: its sizes, where it comes from, how it will sit.

From the drawer if one there serves, else from the standard series, else made to order.
Millimetres.
"""

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.fit.materials import BRASS, RUBY, Material
from sideshake.fit.press import Hold, Joint, PressedRing, PressFit, hold, press_fit, wall_left_mm
from sideshake.fit.probability import (
    Contribution,
    FitProbability,
    fit_probability,
    probability_inside,
)
from sideshake.fit.shape import BoreShape, sizes_text

STANDARD_OUTSIDES_MM = (
    0.70, 0.80, 0.90, 1.00, 1.10, 1.20, 1.30, 1.40, 1.50, 1.60, 1.80, 2.00, 2.30, 2.60, 3.00
)  # fmt: skip
"""Friction jewels commonly stocked (from memory)."""
STANDARD_LARGEST_HOLE_MM = 0.60
"""Stocked holes run from about 0.07 to 0.60 mm; larger ones are made to order (from memory)."""
FINE_STEP_BELOW_MM = 0.20
HOLE_STEP_MM, FINE_HOLE_STEP_MM = 0.01, 0.005
"""Steps of stocked holes, and of the finest that is made to order (from memory)."""
THICKNESS_STEP_MM, LEAST_THICKNESS_MM = 0.05, 0.15
"""A plate asks for a part of its own thickness, rounded down to a twentieth (our own choice)."""
LEAST_RING_MM = {"ruby": 0.25}
LEAST_METAL_RING_MM = 0.12
"""Least wall round the hole of a jewel, of a bush (common practice, no source)."""
CUT_BEYOND_MM = 0.02
"""The seat must reach this far beyond the old hole's long axis on each side."""
INTERFERENCE_MM = 0.01
"""The reamer cuts this much under the jewel's diameter: the trade's standard, from memory."""
REAMER_OVERCUT_MM = (0.002, 0.005)
"""A reamer cuts this much over its size (common practice, no source)."""
SOUND_INTERFERENCE_MM = (0.003, 0.012)
"""Below, the jewel may be loose; above, it may crack or the seat tear (common practice)."""
BUSH_ALLOWANCE_MM = 0.03
"""What a bush's bore is left under size, to be opened after pressing (common practice)."""
SERVES = 0.75
"""A part serves when its play ends inside the limits at least this likely: one from the drawer, one
of the series, and one of a batch alike."""
OUTSIDE_TOLERANCE_MM, HOLE_TOLERANCE_MM, THICKNESS_TOLERANCE_MM = 0.003, 0.003, 0.02
"""Half-widths a jewel maker is asked to keep (common practice, no source)."""


class Origin(StrEnum):
    """Where the new part comes from."""

    DRAWER = "drawer"
    STANDARD = "standard series"
    ORDER = "made to order"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A jewel or a bush: a ring, flat on its inner face, chamfered at the edge of its outer one.

    `sink` wishes for an oil sink on the outer face; `colour` is that of a jewel.
    """

    outside_mm: float
    hole_mm: float
    thickness_mm: float
    material: Material = RUBY
    chamfer_mm: float = 0.05
    name: str = ""
    bore: BoreShape = BoreShape.STRAIGHT
    sink: bool = True
    colour: str = "red"

    @property
    def sizes(self) -> str:
        """Return hole, outside and thickness, as they are said."""
        return sizes_text(self.hole_mm, self.outside_mm, self.thickness_mm)

    def __post_init__(self) -> None:
        if not 0 < self.hole_mm < self.outside_mm:
            raise InputError(
                f"the hole {self.hole_mm:g} mm must be above 0 and smaller than the outside "
                f"{self.outside_mm:g} mm"
            )
        if not 0 <= self.chamfer_mm < self.thickness_mm / 2:
            raise InputError(
                f"the chamfer {self.chamfer_mm:g} mm must be 0 or more and less than half the "
                f"thickness {self.thickness_mm:g} mm"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """What the new part must serve: the pivot, the play wanted, and the metal it goes into."""

    pivot_mm: Measured
    play_mm: tuple[float, float]
    old_hole_mm: float
    plate_thickness_mm: float
    plate: Material = BRASS
    interference_mm: float = INTERFERENCE_MM
    room_mm: float | None = None
    centre_to_edge_mm: float | None = None

    def __post_init__(self) -> None:
        low, high = self.play_mm
        if not 0 < low < high:
            raise InputError(
                f"the play wanted runs from {low:g} to {high:g} mm: low to high, above 0"
            )
        if self.old_hole_mm < self.pivot_mm.value:
            raise InputError(
                f"the old hole {self.old_hole_mm:g} mm is smaller than the pivot "
                f"{self.pivot_mm.value:g} mm"
            )
        if self.plate_thickness_mm <= 0:
            raise InputError(
                f"the plate's thickness must be above 0: {self.plate_thickness_mm:g} mm"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """The part, where it comes from, and how play, press fit and wall will be."""

    part: Part
    origin: Origin
    play: FitProbability
    interference: FitProbability
    press: PressFit
    hold: Hold
    wall_left_mm: float | None


def hole_for(seat: Seat, step_mm: float) -> float:
    """Return the hole that gives the middle of the play wanted, to a step of the series (mm)."""
    wanted = seat.pivot_mm.value + sum(seat.play_mm) / 2
    return round(round(wanted / step_mm) * step_mm, 4)


def stocked_step(seat: Seat) -> float:
    """Return the step between stocked holes at the pivot's size (mm)."""
    return FINE_HOLE_STEP_MM if seat.pivot_mm.value < FINE_STEP_BELOW_MM else HOLE_STEP_MM


def thickness_asked(seat: Seat) -> float:
    """Return the thickness the plate asks for: its own, rounded down to a twentieth (mm).

    Raises
    ------
    NotEnough : the plate is thinner than the thinnest part
    """
    steps = math.floor(seat.plate_thickness_mm / THICKNESS_STEP_MM + 1e-9)
    asked = round(steps * THICKNESS_STEP_MM, 4)
    if asked < LEAST_THICKNESS_MM:
        raise NotEnough(
            f"a plate of {seat.plate_thickness_mm:g} mm is too thin for a part: the thinnest has "
            f"{LEAST_THICKNESS_MM:g} mm"
        )
    return asked


def least_outside(seat: Seat, hole_mm: float, material: Material = RUBY) -> float:
    """Return the smallest outside diameter: room for a wall, and the old hole cut away (mm)."""
    ring = LEAST_RING_MM.get(material.name, LEAST_METAL_RING_MM)
    return max(hole_mm + 2 * ring, seat.old_hole_mm + 2 * CUT_BEYOND_MM)


def largest_outside(seat: Seat) -> float:
    """Return the largest outside diameter the metal allows (mm)."""
    return math.inf if seat.room_mm is None else seat.room_mm


def choose_part(seat: Seat, drawer: tuple[Part, ...] = (), *, material: Material = RUBY) -> Fit:
    """Return the part that serves: from the drawer, the standard series, or made to order.

    Raises
    ------
    NotEnough : the metal has no room for any part; both sizes are named
    """
    hole = hole_for(seat, FINE_HOLE_STEP_MM)
    least, largest = least_outside(seat, hole, material), largest_outside(seat)
    if least > largest:
        raise NotEnough(
            f"no {material.name} part fits: the smallest that clears the old hole is "
            f"{least:.2f} mm and the metal has room for {largest:.2f} mm"
        )
    ready = [opened(part, hole) for part in drawer]
    serving = [fitted(seat, part, Origin.DRAWER) for part in ready if serves(seat, part, material)]
    if serving:
        return max(serving, key=lambda each: (round(each.play.inside, 2), -each.part.outside_mm))
    return fitted(seat, *new_part(seat, material))


def as_made(fit: Fit) -> Part:
    """Return the part as the maker should deliver it: a bush with metal left to open its bore.

    Pressing closes a bush, and a bored hole still has to be opened and burnished.
    """
    if fit.part.material == RUBY:
        return fit.part
    hole = fit.part.hole_mm + fit.press.bore_closing_mm - BUSH_ALLOWANCE_MM
    return replace(fit.part, hole_mm=round(hole, 2))


def opened(part: Part, hole_mm: float) -> Part:
    """Return a metal blank with its hole opened to the size wanted; a jewel stays as it is."""
    if part.material == RUBY or part.hole_mm >= hole_mm:
        return part
    return replace(part, hole_mm=hole_mm)


def serves(seat: Seat, part: Part, material: Material = RUBY) -> bool:
    """Return whether a part serves a seat: its sizes suit, and its play will most likely be right.

    The one rule for what lies in the drawer, what is in stock and what a batch is made of.
    """
    return usable(seat, part, material) and play_inside(seat, part) >= SERVES


def usable(seat: Seat, part: Part, material: Material) -> bool:
    """Return whether a part's diameter and thickness suit the seat; thinner than asked does not."""
    least = least_outside(seat, part.hole_mm, material)
    right_thickness = thickness_asked(seat) <= part.thickness_mm <= seat.plate_thickness_mm
    right_size = least <= part.outside_mm <= largest_outside(seat)
    return part.material == material and right_thickness and right_size and stays_in(seat, part)


def stays_in(seat: Seat, part: Part) -> bool:
    """Return whether the part's seat leaves metal to the next hole or edge, where that is known."""
    return seat.centre_to_edge_mm is None or part.outside_mm < 2 * seat.centre_to_edge_mm


def new_part(seat: Seat, material: Material) -> tuple[Part, Origin]:
    """Return a stocked jewel if one serves, else a part made to order in half-hundredths."""
    stocked = part_with(seat, hole_for(seat, stocked_step(seat)), material)
    in_series = stocked.outside_mm in STANDARD_OUTSIDES_MM
    small = stocked.hole_mm <= STANDARD_LARGEST_HOLE_MM and material == RUBY
    if in_series and small and serves(seat, stocked, material):
        return stocked, Origin.STANDARD
    return made_to_order(seat, material), Origin.ORDER


def made_to_order(seat: Seat, material: Material) -> Part:
    """Return the part whose hole, in half-hundredths, gives the likeliest play.

    A jewel's bore closes in its seat, so the best hole may be half a hundredth over the middle.
    """
    middle = hole_for(seat, FINE_HOLE_STEP_MM)
    near = (round(middle + step * FINE_HOLE_STEP_MM, 4) for step in (0, 1))
    parts = [part_with(seat, hole, material) for hole in near]
    fitting = (part for part in parts if usable(seat, part, material))
    likeliest = max(fitting, key=lambda part: round(play_inside(seat, part), 6), default=None)
    return likeliest or parts[0]


def part_with(seat: Seat, hole_mm: float, material: Material) -> Part:
    """Return a part with this hole, of a standard outside diameter if one has room."""
    least, largest = least_outside(seat, hole_mm, material), largest_outside(seat)
    series = [each for each in STANDARD_OUTSIDES_MM if least <= each <= largest]
    return Part(
        outside_mm=series[0] if series else min(math.ceil(least * 20) / 20, largest),
        hole_mm=hole_mm,
        thickness_mm=thickness_asked(seat),
        material=material,
    )


def fitted(seat: Seat, part: Part, origin: Origin) -> Fit:
    """Return how a part would sit in a seat."""
    wall = None
    if seat.centre_to_edge_mm is not None:
        wall = wall_left_mm(part.outside_mm, seat.centre_to_edge_mm)
    joint = joint_of(seat, part)
    press = press_fit(joint)
    return Fit(
        part=part,
        origin=origin,
        play=play_chance(seat, part, press),
        interference=interference_chance(seat),
        press=press,
        hold=hold(joint, interference_mm=interference_limits(seat)),
        wall_left_mm=wall,
    )


def play_chance(seat: Seat, part: Part, press: PressFit) -> FitProbability:
    """Return how likely the running play ends inside the limits wanted."""
    low, high = seat.play_mm
    return fit_probability(play_parts(seat, part, press), low_mm=low, high_mm=high)


def play_inside(seat: Seat, part: Part) -> float:
    """Return only the probability that the running play ends inside the limits wanted."""
    low, high = seat.play_mm
    press = press_fit(joint_of(seat, part))
    return probability_inside(play_parts(seat, part, press), low_mm=low, high_mm=high)


def play_parts(seat: Seat, part: Part, press: PressFit) -> tuple[Contribution, ...]:
    """Return what makes the running play.

    A jewel's bore closes by anything up to the elastic bound; a bush is opened after pressing.
    """
    pivot = seat.pivot_mm
    closing = press.bore_closing_mm / 2 if part.material == RUBY else 0.0
    return (
        Contribution(
            name="hole of the new part", middle_mm=part.hole_mm, half_width_mm=HOLE_TOLERANCE_MM
        ),
        Contribution(name="measured pivot", middle_mm=-pivot.value, u_mm=pivot.u),
        Contribution(name="closing of the bore", middle_mm=-closing, half_width_mm=closing),
    )


def interference_chance(seat: Seat) -> FitProbability:
    """Return how likely the interference ends between loose and too tight."""
    least, most = REAMER_OVERCUT_MM
    low, high = SOUND_INTERFERENCE_MM
    parts = (
        Contribution(
            name="outside of the new part",
            middle_mm=seat.interference_mm,
            half_width_mm=OUTSIDE_TOLERANCE_MM,
        ),
        Contribution(
            name="reamed seat", middle_mm=-(least + most) / 2, half_width_mm=(most - least) / 2
        ),
    )
    return fit_probability(parts, low_mm=low, high_mm=high)


def interference_limits(seat: Seat) -> tuple[float, float]:
    """Return the smallest and the largest interference that tolerances and reamer leave (mm)."""
    least, most = REAMER_OVERCUT_MM
    asked, tolerance = seat.interference_mm, OUTSIDE_TOLERANCE_MM
    return asked - most - tolerance, asked - least + tolerance


def joint_of(seat: Seat, part: Part) -> Joint:
    """Return the press joint; the metal around counts as a ring to the nearest edge.

    Without a measured edge, three times the part's diameter stands for a wide plate.
    """
    around = 2 * seat.centre_to_edge_mm if seat.centre_to_edge_mm else 3 * part.outside_mm
    return Joint(
        inner=PressedRing(outside_mm=part.outside_mm, bore_mm=part.hole_mm, material=part.material),
        outer=PressedRing(outside_mm=around, bore_mm=0.0, material=seat.plate),
        interference_mm=seat.interference_mm,
        length_mm=min(part.thickness_mm, seat.plate_thickness_mm),
    )
