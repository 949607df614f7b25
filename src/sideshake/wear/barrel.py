"""A barrel between plate and bridge: its bearings, its play, and the parts around it.

The arbor is held by two bearings, a span apart: the lower in the plate, the upper in the bridge.
Heights count from the middle of the lower bearing upwards, directions counter-clockwise seen from
the bridge. Millimetres and degrees.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.barrel_size import BarrelSize
from sideshake.wear.bearing import CONTRADICTION, Bearing, HoleRun, side_shake

Values = Mapping[str, Any]
"""Each measured value by its plain name: a number, an uncertain number, or an array of draws."""


STEEPEST = 0.176
"""Slope of 10 degrees: beyond it nothing here holds, and some value is wrong."""


class BarrelSide(StrEnum):
    """Where a part lies, seen from the barrel."""

    ABOVE = "above"
    BELOW = "below"
    BESIDE = "beside"


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingPair:
    """Two bearings on one axis, `span_mm` apart."""

    lower: Bearing
    upper: Bearing
    span_mm: Measured

    def __post_init__(self) -> None:
        if self.span_mm.value <= 0:
            raise InputError(f"the bearing span must be above 0, got {self.span_mm.value:g} mm")
        lower, upper = side_shake(self.lower).value, side_shake(self.upper).value
        if (lower + upper) / (2 * self.span_mm.value) > STEEPEST:
            raise InputError(
                f"side shakes {lower:.3f} and {upper:.3f} mm over a span of "
                f"{self.span_mm.value:g} mm would lean more than 10 degrees: check the units"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """The free way between the barrel and another part.

    Above and below, it is the gap with the arbor upright and the barrel in the middle of its
    endshake, so that half the endshake is still to be taken off. `direction_deg` is None for a part
    that lies all round. `pressed_mm` is what was left of it with the rim pressed towards the part;
    0 says that they touched.
    """

    name: str
    side: BarrelSide
    gap_mm: Measured
    radius_mm: Measured
    direction_deg: float | None = None
    height_mm: float = 0.0
    pressed_mm: Measured | None = None

    def __post_init__(self) -> None:
        if self.gap_mm.value < 0:
            raise InputError(
                f"the gap to the {self.name} cannot be below 0: {self.gap_mm.value:g} mm"
            )
        if self.radius_mm.value <= 0:
            raise InputError(
                f"the radius at the {self.name} must be above 0, got {self.radius_mm.value:g} mm"
            )
        if self.direction_deg is not None and not math.isfinite(self.direction_deg):
            raise InputError(f"the direction of the {self.name} must be a finite angle")
        if self.side is BarrelSide.BESIDE and self.direction_deg is None:
            raise InputError(f"the {self.name} lies beside the barrel: say in which direction")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shoulders:
    """The arbor's shoulders over and under the pivots (diameters) and the endshake between them.

    A leaning arbor lifts one edge of each: it can lean until they have used up the endshake, by
    endshake / (radius above + radius below).
    """

    above_mm: Measured
    below_mm: Measured
    endshake_mm: Measured

    def __post_init__(self) -> None:
        if min(self.above_mm.value, self.below_mm.value) <= 0:
            raise InputError(
                f"shoulders {self.above_mm.text()} and {self.below_mm.text()} mm must be above 0"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Barrel:
    """A barrel between plate and bridge; `inner` is the barrel's own play on the arbor.

    `endshake_mm` is that of the arbor and of the barrel on it together; without `shoulders` only
    the holes limit the lean. `known` says how each size is known; where it is empty, everything
    counts as measured.
    """

    arbor: BearingPair
    endshake_mm: Measured
    gaps: tuple[Gap, ...]
    inner: BearingPair | None = None
    shoulders: Shoulders | None = None
    known: tuple[BarrelSize, ...] = ()

    def __post_init__(self) -> None:
        if self.endshake_mm.value < 0:
            raise InputError(f"the endshake cannot be below 0: {self.endshake_mm.value:g} mm")
        for gap in self.gaps:
            if gap.side is not BarrelSide.BESIDE and not has_room(gap.gap_mm, self.endshake_mm):
                raise InputError(
                    f"the gap to the {gap.name} {gap.gap_mm.value:g} mm is smaller than half the "
                    f"endshake {self.endshake_mm.value:g} mm: give the gap in the middle of the "
                    "endshake"
                )


def has_room(gap_mm: Measured, endshake_mm: Measured) -> bool:
    """Return whether half the endshake fits into a gap, within the doubt of both."""
    doubt = math.hypot(gap_mm.u, endshake_mm.u / 2)
    return gap_mm.value - endshake_mm.value / 2 >= -CONTRADICTION * doubt


def measured_values(barrel: Barrel, gap: Gap | None = None) -> tuple[tuple[str, Measured], ...]:
    """Return every measured value that the lean (and this gap) rests on, with its plain name."""
    pairs = [("", barrel.arbor)] + ([("barrel's own ", barrel.inner)] if barrel.inner else [])
    named: list[tuple[str, Measured]] = []
    for prefix, pair in pairs:
        for place, bearing in (("lower", pair.lower), ("upper", pair.upper)):
            named += bearing_values(bearing, f"{prefix}{place}")
        named.append((f"{prefix}span", pair.span_mm))
    named.append(("endshake", barrel.endshake_mm))
    if barrel.shoulders:
        named += [
            ("upper shoulder", barrel.shoulders.above_mm),
            ("lower shoulder", barrel.shoulders.below_mm),
            ("arbor's endshake", barrel.shoulders.endshake_mm),
        ]
    if gap:
        named += [
            (f"gap to the {gap.name}", gap.gap_mm),
            (f"radius at the {gap.name}", gap.radius_mm),
        ]
    return tuple(named)


def bearing_values(bearing: Bearing, place: str) -> list[tuple[str, Measured]]:
    """Return the measured values of one bearing, each under its plain name."""
    hole = bearing.hole
    named = [
        (f"{place} hole", hole.long_mm),
        (f"{place} hole, short axis", hole.short_mm),
        (f"{place} pivot", bearing.pivot_mm),
    ]
    if bearing.bore is not HoleRun.BELL:
        named.append((f"{place} thickness", bearing.thickness_mm))
    if bearing.bore is HoleRun.MEASURED:
        named += [
            (f"{place} hole, inner mouth", hole.mouth_in_mm),
            (f"{place} hole, outer mouth", hole.mouth_out_mm),
        ]
    return [(name, each) for name, each in named if each is not None]


def with_bearings(barrel: Barrel, *, lower: Bearing, upper: Bearing) -> Barrel:
    """Return the barrel with other arbor bearings, for instance repaired ones.

    Of a hole and pivot that are new, nothing that was known of the old ones holds; nor does what
    was left with the rim pressed.
    """
    pairs = (("lower ", lower, barrel.arbor.lower), ("upper ", upper, barrel.arbor.upper))
    gone = tuple(
        prefix for prefix, new, old in pairs if (new.hole, new.pivot_mm) != (old.hole, old.pivot_mm)
    )
    known = tuple(each for each in barrel.known if not each.name.startswith(gone))
    arbor = replace(barrel.arbor, lower=lower, upper=upper)
    gaps = tuple(replace(each, pressed_mm=None) if gone else each for each in barrel.gaps)
    return replace(barrel, arbor=arbor, known=known, gaps=gaps)


def bell_mouthed(barrel: Barrel) -> Barrel:
    """Return the barrel with its arbor's holes held in their middles alone: the other bound.

    Mouths that were measured stay: they are no longer open.
    """

    def as_bell(bearing: Bearing) -> Bearing:
        return bearing if bearing.bore is HoleRun.MEASURED else replace(bearing, bell_mouthed=True)

    return with_bearings(
        barrel, lower=as_bell(barrel.arbor.lower), upper=as_bell(barrel.arbor.upper)
    )
