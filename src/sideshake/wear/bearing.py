"""A pivot in its hole: side shake, ovality, how far it moves under load, and what is normal.

Millimetres and degrees. Directions are counted counter-clockwise as seen from the bridge side; a
side shake is diametral, from touching one side to touching the other.
"""

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, probability_below, propagate

WORN_RATIO = 2.0
"""Many repairers act above 1.5 to 2 times the normal play (common practice, no source)."""
SUSPECT_RATIO = 1.5
CONTRADICTION = 2.0
"""A pivot may measure larger than its hole by twice the standard uncertainty of both together; it
is then taken to fit without play."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A hole by one diameter, or by its long and short axis and the direction of the long one.

    `mouth_in_mm` and `mouth_out_mm` are the diameters (of an oval hole, the long axes) at its two
    mouths, where they were measured: in faces the barrel.
    """

    long_mm: Measured
    short_mm: Measured | None = None
    long_axis_deg: float = 0.0
    long_axis_u_deg: float = 0.0
    mouth_in_mm: Measured | None = None
    mouth_out_mm: Measured | None = None

    def __post_init__(self) -> None:
        if self.long_mm.value <= 0:
            raise InputError(f"a hole needs a diameter above 0, got {self.long_mm.value:g} mm")
        if not math.isfinite(self.long_axis_deg):
            raise InputError("the direction of a hole's long axis must be a finite angle")
        if self.short_mm and self.short_mm.value > self.long_mm.value:
            raise InputError(
                f"the short axis {self.short_mm.value:g} mm is longer than "
                f"the long axis {self.long_mm.value:g} mm: exchange them"
            )

    @property
    def across_mm(self) -> Measured:
        """Return the smallest diameter."""
        return self.short_mm or self.long_mm


class HoleRun(StrEnum):
    """How a hole runs through its plate: what holds the pivot upright, or does not."""

    CYLINDER = "cylinder"
    BELL = "bell-mouthed"
    MEASURED = "mouths measured"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """A pivot in a hole; `normal_mm` is the play the calibre sheet gives, if it does.

    `room_mm` is the largest outside diameter of a jewel or bush that the metal around allows,
    `thickness_mm` the hole's length. `bell_mouthed` sets the length aside: the pivot is then held
    in the middle of the hole alone.
    """

    hole: Hole
    pivot_mm: Measured
    normal_mm: tuple[float, float] | None = None
    room_mm: float | None = None
    thickness_mm: Measured | None = None
    bell_mouthed: bool = False

    def __post_init__(self) -> None:
        if self.pivot_mm.value <= 0:
            raise InputError(f"a pivot needs a diameter above 0, got {self.pivot_mm.value:g} mm")
        hole, pivot = self.hole.across_mm, self.pivot_mm
        if pivot.value - hole.value > CONTRADICTION * math.hypot(pivot.u, hole.u):
            raise InputError(
                f"the pivot {pivot.value:g} mm is larger than its hole {hole.value:g} mm by more "
                "than both can be wrong: measure one of them again"
            )
        if self.thickness_mm and self.thickness_mm.value <= 0:
            raise InputError(f"a hole's length must be above 0, got {self.thickness_mm.text()} mm")
        if (self.hole.mouth_in_mm or self.hole.mouth_out_mm) and not self.thickness_mm:
            raise InputError("a hole's mouths were measured, but not the thickness between them")

    @property
    def bore(self) -> HoleRun:
        """Return what the hole is taken for: a hole of unknown length holds no pivot upright."""
        if self.bell_mouthed or self.thickness_mm is None:
            return HoleRun.BELL
        measured = self.hole.mouth_in_mm or self.hole.mouth_out_mm
        return HoleRun.MEASURED if measured else HoleRun.CYLINDER


@dataclass(frozen=True, slots=True, kw_only=True)
class NormalPlay:
    """The side shake expected of a sound bearing, and how far that figure may be trusted."""

    low_mm: float
    high_mm: float
    source: str
    confidence: str


TABLE_SOURCE = "the trade's table by pivot size (from memory, no printed source)"
PLAY_BY_PIVOT = (
    (0.12, 0.008, 0.012),
    (0.20, 0.010, 0.015),
    (0.40, 0.015, 0.020),
    (1.00, 0.020, 0.030),
    (math.inf, 0.020, 0.040),
)
"""Pivot up to (mm), normal side shake from, to (mm): from memory; the first row agrees with
Playtner (1910) and Hall on balance pivots (0.010 mm in all)."""


def normal_play(bearing: Bearing) -> NormalPlay:
    """Return the sheet's normal side shake, else the trade's table for this size of pivot."""
    if bearing.normal_mm:
        return by_sheet(*bearing.normal_mm)
    return play_by_pivot(bearing.pivot_mm.value)


def by_sheet(low_mm: float, high_mm: float) -> NormalPlay:
    """Return a sound play as the calibre's sheet tells it."""
    return NormalPlay(
        low_mm=low_mm, high_mm=high_mm, source="calibre sheet", confidence="as the sheet"
    )


def sound_range(hole_mm: float, pivot_mm: float) -> tuple[float, float]:
    """Return the play of a sound bearing whose hole and pivot are told, give or take a third.

    Examples
    --------
    >>> low, high = sound_range(0.930, 0.900)
    >>> f"{low:.3f} {high:.3f}"
    '0.020 0.040'
    """
    play = hole_mm - pivot_mm
    return (play * 2 / 3, play * 4 / 3)


def play_by_pivot(pivot_mm: float) -> NormalPlay:
    """Return the trade's table's side shake for a size of pivot."""
    low, high = next((low, high) for limit, low, high in PLAY_BY_PIVOT if pivot_mm <= limit)
    return NormalPlay(low_mm=low, high_mm=high, source=TABLE_SOURCE, confidence="low to medium")


def side_shake(bearing: Bearing) -> Measured:
    """Return the largest side shake, along the long axis of the hole (mm).

    Examples
    --------
    >>> hole = Hole(long_mm=Measured(1.05, 0.004))
    >>> side_shake(Bearing(hole=hole, pivot_mm=Measured(1.0, 0.003))).text()
    '0.050 ± 0.010'
    """
    return play_of(bearing.hole.long_mm, bearing.pivot_mm)


def play_of(hole_mm: Measured, pivot_mm: Measured) -> Measured:
    """Return hole minus pivot, never below 0 (mm)."""
    play = propagate(lambda hole, pivot: hole - pivot, hole_mm, pivot_mm)
    return Measured(max(play.value, 0.0), play.u)


def least_shake(bearing: Bearing) -> Measured:
    """Return the smallest side shake, across the long axis of the hole (mm)."""
    return play_of(bearing.hole.across_mm, bearing.pivot_mm)


def ovality(hole: Hole) -> Measured:
    """Return the long axis minus the short one (mm); exactly 0 for a hole given by one diameter."""
    if hole.short_mm is None:
        return Measured(0.0)
    return propagate(lambda long, short: long - short, hole.long_mm, hole.short_mm)


def displacement(bearing: Bearing, load_deg: float) -> Measured:
    """Return how far a load in that direction moves the pivot from the middle of the hole (mm).

    The pivot's middle is free inside an ellipse whose half axes are half the plays along and across
    (the pivot has worn the ends of the hole to its own roundness, so it reaches them). It comes to
    rest, without friction, where it can go no further along the load. A round hole gives half the
    side shake in every direction.
    """
    angle = math.radians(load_deg - bearing.hole.long_axis_deg)
    cosine, sine = math.cos(angle), math.sin(angle)
    if bearing.hole.short_mm is None:
        return propagate(
            lambda hole, pivot: (hole - pivot) / 2, bearing.hole.long_mm, bearing.pivot_mm
        )
    return propagate(
        lambda long, short, pivot: (
            (((long - pivot) * cosine) ** 2 + ((short - pivot) * sine) ** 2) ** 0.5 / 2
        ),
        bearing.hole.long_mm,
        bearing.hole.short_mm,
        bearing.pivot_mm,
    )


def probability_worn(bearing: Bearing, ratio: float = WORN_RATIO) -> float:
    """Return the probability that the side shake exceeds `ratio` times the normal largest one."""
    return 1.0 - probability_below(side_shake(bearing), ratio * normal_play(bearing).high_mm)


def repaired(bearing: Bearing) -> Bearing:
    """Return the bearing with a round hole that gives the middle of the normal play."""
    normal = normal_play(bearing)
    play = (normal.low_mm + normal.high_mm) / 2
    doubt = (normal.high_mm - normal.low_mm) / math.sqrt(12.0)  # even chance, GUM 4.3.7
    hole = Hole(long_mm=Measured(bearing.pivot_mm.value + play, doubt))
    made_to_measure = Measured(bearing.pivot_mm.value)  # all doubt is in the play
    return replace(bearing, hole=hole, pivot_mm=made_to_measure)
