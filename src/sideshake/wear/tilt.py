"""A barrel that leans: how far, which way, and what gap is left.

The places of the two pivots over the span give the lean as a small vector: how far the upper end
goes aside per mm of height, x + iy as a complex number. Angles are small (under 3 degrees), so what
a lean does to heights is taken to first order.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from sideshake.core.quantities import Measured
from sideshake.wear.arbor_pose import (
    ArborPose,
    Loads,
    aside,
    direction,
    leaning,
    loads_of,
    pose_values,
)
from sideshake.wear.barrel import Barrel, BarrelSide, BearingPair, Gap, Values, measured_values
from sideshake.wear.bearing import Bearing, HoleRun
from sideshake.wear.settle import (
    EXACT,
    LEAST_PLAY_MM,
    AxisPlace,
    MouthSection,
    Numbers,
    Points,
    settle,
)

LEAST_WAY_MM = 1e-4
"""An arbor without endshake can still lean by this over its span: 0.002 degrees."""
DIRECTIONS_DEG = np.arange(0.0, 180.0, 1.0)
"""Free leans tried: whole degrees; a lean and its opposite are alike."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where the axes of the arbor and of the barrel stand, for many cases.

    `lower` is where the barrel's axis stands at the height of the lower bearing (mm), `slope` its
    lean per mm of height.
    """

    lower: Points
    slope: Points

    def at(self, height_mm: Any) -> Points:
        """Return where the barrel's axis stands at a height."""
        found: Points = self.lower + self.slope * height_mm
        return found


def named_values(
    barrel: Barrel, stance: ArborPose, gap: Gap | None = None
) -> tuple[tuple[str, Measured], ...]:
    """Return every value that a stance (and a gap) rests on, with its plain name."""
    return measured_values(barrel, gap) + pose_values(stance)


def middles(barrel: Barrel, stance: ArborPose, gap: Gap | None = None) -> dict[str, Any]:
    """Return the values without their uncertainties."""
    return {name: each.value for name, each in named_values(barrel, stance, gap)}


def standing(
    barrel: Barrel, stance: ArborPose, values: Values, *, close: float = EXACT
) -> Standing:
    """Return where the barrel stands in a stance, for plain values or arrays of draws.

    The arbor settles in plate and bridge under all that pushes, the barrel on the arbor under what
    pushes the barrel: the work of the loads is the sum of both, so each settles by itself.
    """
    spread = spread_out(values)
    return under_loads(barrel, loads_of(stance, spread), spread, close=close)


def under_loads(barrel: Barrel, loads: Loads, spread: Values, *, close: float = EXACT) -> Standing:
    """Return where the barrel stands under the loads on its bearings; values as arrays."""
    span = spread["span"]
    axis = settled_arbor(barrel, loads, spread, close=close)
    slope = (axis.upper - axis.lower) / span
    if barrel.inner is None:
        return Standing(lower=axis.lower, slope=slope)
    own_span = spread["barrel's own span"]
    inner = (loads.inner_lower + 0j * span, loads.inner_upper + 0j * span)
    free = np.full(span.size, np.inf)
    own = settle(sections_of(barrel.inner, "barrel's own ", spread), inner, free, close)
    own_slope = (own.upper - own.lower) / own_span
    middle = (own.lower + own.upper) / 2
    return Standing(lower=axis.lower + middle - own_slope * span / 2, slope=slope + own_slope)


def settled_arbor(barrel: Barrel, loads: Loads, spread: Values, *, close: float) -> AxisPlace:
    """Return where the arbor comes to rest in plate and bridge; values as arrays."""
    pulls = (loads.lower + 0j * spread["span"], loads.upper + 0j * spread["span"])
    return settle(sections_of(barrel.arbor, "", spread), pulls, furthest(barrel, spread), close)


def spread_out(values: Values) -> dict[str, Numbers]:
    """Return every value as an array of one size."""
    size = max(np.size(each) for each in values.values())
    return {name: np.broadcast_to(each, (size,)).astype(float) for name, each in values.items()}


def furthest(barrel: Barrel, values: Values) -> Numbers:
    """Return how far the shoulders let the arbor's upper end stand aside of the lower (mm)."""
    span: Numbers = values["span"]
    if barrel.shoulders is None:
        return np.full(span.size, np.inf)
    radii = (values["upper shoulder"] + values["lower shoulder"]) / 2
    found: Numbers = np.maximum(values["arbor's endshake"] / radii * span, LEAST_WAY_MM)
    return found


def sections_of(pair: BearingPair, prefix: str, values: Values) -> list[MouthSection]:
    """Return what the axis must pass through: the mouths of both holes, or their middles."""
    return [
        section
        for place, bearing, upper in (("lower", pair.lower, False), ("upper", pair.upper, True))
        for section in bearing_sections(bearing, f"{prefix}{place}", values, upper=upper)
    ]


def bearing_sections(
    bearing: Bearing, place: str, values: Values, *, upper: bool
) -> list[MouthSection]:
    """Return the sections of one hole: two mouths of a cylinder, or the middle of a bell.

    Where mouths were measured they count beside the middle, each with its own width. The inner one
    faces the barrel: the upper mouth of the lower hole.
    """
    hole, pivot = values[f"{place} hole"], values[f"{place} pivot"]
    short = values.get(f"{place} hole, short axis", hole)
    span = values[f"{place.removesuffix('lower').removesuffix('upper')}span"]
    sides = {HoleRun.BELL: {"": 0.0}, HoleRun.CYLINDER: {" out": -0.5, " in": 0.5}}.get(
        bearing.bore, {"": 0.0, ", inner mouth": 0.5, ", outer mouth": -0.5}
    )
    made = []
    for name, side in sides.items():
        wider = values.get(
            f"{place} hole{name}", hole if bearing.bore is not HoleRun.MEASURED else None
        )
        if wider is None:
            continue  # a mouth that was not measured holds nothing
        rise = -side if upper else side
        length = values.get(f"{place} thickness", 0.0)
        made.append(
            MouthSection(
                share=(1.0 if upper else 0.0) + rise * length / span,
                long_mm=half_play(wider, pivot),
                across_mm=half_play(short + wider - hole, pivot),
                axis_deg=bearing.hole.long_axis_deg,
                upper=upper,
            )
        )
    return made


def half_play(hole_mm: Numbers, pivot_mm: Numbers) -> Numbers:
    """Return half the play (mm), never quite 0."""
    return np.maximum((hole_mm - pivot_mm) / 2, LEAST_PLAY_MM)


@dataclass(frozen=True, slots=True, kw_only=True)
class Linear:
    """A computed value and what each input's uncertainty does to it, to first order."""

    value: float
    parts: Mapping[str, float]

    @property
    def measured(self) -> Measured:
        """Return the value with its uncertainty (GUM eq. 10)."""
        return Measured(self.value, math.hypot(*self.parts.values()))


def linear(formula: Callable[[Values], Any], named: tuple[tuple[str, Measured], ...]) -> Linear:
    """Return a formula's value and each input's part of its uncertainty, by differences of +- u.

    References
    ----------
    GUM (JCGM 100:2008) eq. 10, and 5.1.3 note 2 for the differences
    """
    doubtful = [(name, each.u) for name, each in named if each.u]
    count = len(doubtful)
    values = {name: np.full(2 * count + 1, each.value) for name, each in named}
    for place, (name, u) in enumerate(doubtful):
        values[name][2 * place] += u
        values[name][2 * place + 1] -= u
    found = np.broadcast_to(formula(values), (2 * count + 1,))
    parts = {
        name: abs(float(found[2 * place] - found[2 * place + 1])) / 2
        for place, (name, _) in enumerate(doubtful)
    }
    return Linear(value=float(found[-1]), parts=parts)


@lru_cache(maxsize=32)
def slope_now(barrel: Barrel, stance: ArborPose) -> complex:
    """Return the lean of the values as they were measured."""
    return complex(standing(barrel, stance, middles(barrel, stance)).slope[0])


def arbor_now(barrel: Barrel, stance: ArborPose) -> tuple[complex, complex]:
    """Return where the arbor stands in its two bearings, of the values as they were measured."""
    spread = spread_out(middles(barrel, stance))
    axis = settled_arbor(barrel, loads_of(stance, spread), spread, close=EXACT)
    return complex(axis.lower[0]), complex(axis.upper[0])


def towards(slope: complex) -> float:
    """Return the direction of a lean (0 to 360 degrees)."""
    return math.degrees(math.atan2(slope.imag, slope.real)) % 360.0


def worst_stance(barrel: Barrel, gap: Gap) -> ArborPose:
    """Return the free stance that brings the barrel nearest to a part."""
    if gap.side is BarrelSide.BESIDE:
        assert gap.direction_deg is not None
        return aside(gap.direction_deg)
    if gap.direction_deg is not None:
        return leaning(gap.direction_deg + (180.0 if gap.side is BarrelSide.ABOVE else 0.0))
    return leaning(most_free_direction(barrel))


def most_free_direction(barrel: Barrel) -> float:
    """Return the direction of the largest free lean (whole degrees)."""
    if all(each.hole.short_mm is None for each in bearings(barrel)):
        return 0.0
    values = {
        name: np.full(DIRECTIONS_DEG.size, each.value) for name, each in measured_values(barrel)
    }
    way = direction(DIRECTIONS_DEG)
    loads = Loads(lower=-way, upper=way, inner_lower=-way, inner_upper=way)
    slopes = np.abs(under_loads(barrel, loads, values).slope)
    return float(DIRECTIONS_DEG[int(np.argmax(np.round(slopes, 9)))])


def bearings(barrel: Barrel) -> tuple[Bearing, ...]:
    """Return every bearing of arbor and barrel."""
    inner = (barrel.inner.lower, barrel.inner.upper) if barrel.inner else ()
    return (barrel.arbor.lower, barrel.arbor.upper, *inner)


def gap_left(gap: Gap, stands: Standing, values: Values) -> Any:
    """Return the gap that remains as the barrel stands (mm); below 0 the parts touch.

    Half the endshake is taken off above and below. When the upper end goes one way, the rim on that
    side goes down and the far side comes up.
    """
    free = values[f"gap to the {gap.name}"]
    if gap.side is BarrelSide.BESIDE:
        assert gap.direction_deg is not None
        return free - along(stands.at(gap.height_mm), gap.direction_deg)
    radius = values[f"radius at the {gap.name}"]
    if gap.direction_deg is None:
        return free - values["endshake"] / 2 - radius * np.abs(stands.slope)
    drop = radius * along(stands.slope, gap.direction_deg)
    return free - values["endshake"] / 2 - (drop if gap.side is BarrelSide.BELOW else -drop)


def along(vector: Any, direction_deg: float) -> Any:
    """Return the part of a vector in a direction."""
    return np.real(vector * direction(-direction_deg))


def along_now(
    barrel: Barrel, stance: ArborPose, height_mm: float, direction_deg: float
) -> Measured:
    """Return how far the barrel's axis goes in a direction at a height, with its doubt (mm)."""

    def moved(values: Values) -> Any:
        return along(standing(barrel, stance, values).at(height_mm), direction_deg)

    return linear(moved, named_values(barrel, stance)).measured
