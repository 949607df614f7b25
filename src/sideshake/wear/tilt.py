"""A barrel that leans: how far, which way, and what gap is left.

The displacements of the two pivots over the span give the lean as a small vector: how far the upper
end goes aside per mm of height. Angles are small (under 3 degrees), so what a lean does to heights
is taken to first order.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from uncertainties import ufloat, umath

from sideshake.quantities import Measured
from sideshake.wear.barrel import Barrel, Gap, Pair, Side, Values, measured_values, middle_values
from sideshake.wear.bearing import Bearing
from sideshake.wear.stance import Stance, aside, leaning

Vector = tuple[Any, Any]
"""Two numbers, uncertain numbers or arrays."""
TINY = 1e-24
"""mm²; keeps a hole without play, or a barrel without lean, from dividing zero by zero."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lean:
    """How a barrel leans in a stance: the upper end goes towards `towards_deg`."""

    stance: Stance
    angle_deg: Measured
    rim_move_mm: Measured
    towards_deg: float


def lean(barrel: Barrel, stance: Stance, rim_radius_mm: Measured) -> Lean:
    """Return the lean in a stance, and how far the rim goes up on one side and down on the other.

    Both holes round and the pivots on opposite sides: tan(angle) = (C1 + C2) / (2 span), with C the
    side shakes; the rim moves by the rim radius times that.

    References
    ----------
    derived from the geometry; hand-worked values in the tests
    """
    values = uncertain_values(barrel)
    upper_end = lean_vector(barrel, stance, values)
    size = vector_size(upper_end)
    x, y = (middle(each) for each in upper_end)
    return Lean(
        stance=stance,
        angle_deg=as_measured(umath.degrees(umath.atan(size))),
        rim_move_mm=as_measured(uncertain(rim_radius_mm, "rim radius") * size),
        towards_deg=math.degrees(math.atan2(y, x)) % 360.0,
    )


def uncertain_values(barrel: Barrel, gap: Gap | None = None) -> Values:
    """Return each measured value as an uncertain number, tagged with its plain name."""
    return {name: uncertain(each, name) for name, each in measured_values(barrel, gap)}


def uncertain(measured: Measured, name: str) -> Any:
    """Return the value as an uncertain number tagged with its name; exact, a plain number."""
    return ufloat(measured.value, measured.u, name) if measured.u else measured.value


def middle(result: Any) -> float:
    """Return the value of a computed number, uncertain or plain, without its uncertainty."""
    return float(getattr(result, "nominal_value", result))


def as_measured(result: Any) -> Measured:
    """Return a computed number, uncertain or plain, as a measured value."""
    return Measured(middle(result), float(getattr(result, "std_dev", 0.0)))


def worst_stance(barrel: Barrel, gap: Gap) -> Stance:
    """Return the free stance that brings the barrel nearest to a part."""
    if gap.side is Side.BESIDE:
        assert gap.direction_deg is not None
        return aside(gap.direction_deg)
    if gap.direction_deg is not None:
        return leaning(gap.direction_deg + (180.0 if gap.side is Side.ABOVE else 0.0))
    return leaning(most_free_direction(barrel))


def most_free_direction(barrel: Barrel) -> float:
    """Return the direction of the largest free lean (whole degrees)."""
    values = middle_values(barrel, barrel.gaps[:1])
    angles = np.arange(0.0, 180.0, 1.0)
    leans = [vector_size(lean_vector(barrel, leaning(float(angle)), values)) for angle in angles]
    return float(angles[int(np.argmax(np.round(leans, 12)))])


def pivot_move(bearing: Bearing, names: str, direction_deg: float, values: Values) -> Vector:
    """Return where a load in that direction brings the pivot, from the middle of its hole (mm)."""
    load, axis = math.radians(direction_deg), math.radians(bearing.hole.long_axis_deg)
    long_way = (values[f"{names} hole"] - values[f"{names} pivot"]) / 2
    if bearing.hole.short_mm is None:
        return (long_way * math.cos(load), long_way * math.sin(load))
    across = (values[f"{names} hole, short axis"] - values[f"{names} pivot"]) / 2
    cosine, sine = math.cos(load - axis), math.sin(load - axis)
    size = ((long_way * cosine) ** 2 + (across * sine) ** 2 + TINY) ** 0.5
    x, y = long_way**2 * cosine / size, across**2 * sine / size
    return (x * math.cos(axis) - y * math.sin(axis), x * math.sin(axis) + y * math.cos(axis))


def pair_moves(
    pair: Pair, prefix: str, directions: tuple[float, float], values: Values
) -> tuple[Vector, Vector]:
    """Return the moves of the lower and the upper pivot of a pair (mm)."""
    return (
        pivot_move(pair.lower, f"{prefix}lower", directions[0], values),
        pivot_move(pair.upper, f"{prefix}upper", directions[1], values),
    )


def lean_vector(barrel: Barrel, stance: Stance, values: Values) -> Vector:
    """Return the lean: how far the upper end goes aside per mm of height, as x and y."""
    outer = (stance.lower_deg, stance.upper_deg)
    x, y = slope(pair_moves(barrel.arbor, "", outer, values), values["span"])
    if barrel.inner is None:
        return (x, y)
    inner = (stance.inner_lower_deg, stance.inner_upper_deg)
    moves = pair_moves(barrel.inner, "barrel's own ", inner, values)
    more_x, more_y = slope(moves, values["barrel's own span"])
    return (x + more_x, y + more_y)


def slope(moves: tuple[Vector, Vector], span: Any) -> Vector:
    """Return the difference of the two moves per mm of span."""
    (x0, y0), (x1, y1) = moves
    return ((x1 - x0) / span, (y1 - y0) / span)


def vector_size(vector: Vector) -> Any:
    """Return the length of a vector."""
    return (vector[0] ** 2 + vector[1] ** 2 + TINY) ** 0.5


def side_move(barrel: Barrel, stance: Stance, height_mm: float, values: Values) -> Vector:
    """Return how far the barrel's axis goes aside at a height (mm)."""
    outer = (stance.lower_deg, stance.upper_deg)
    (x0, y0), (x1, y1) = pair_moves(barrel.arbor, "", outer, values)
    share = height_mm / values["span"]
    x, y = x0 + (x1 - x0) * share, y0 + (y1 - y0) * share
    if barrel.inner is None:
        return (x, y)
    inner = (stance.inner_lower_deg, stance.inner_upper_deg)
    moves = pair_moves(barrel.inner, "barrel's own ", inner, values)
    return (x + (moves[0][0] + moves[1][0]) / 2, y + (moves[0][1] + moves[1][1]) / 2)


def gap_left(barrel: Barrel, stance: Stance, gap: Gap, values: Values) -> Any:
    """Return the gap that remains in this stance (mm); below 0 the parts touch.

    Half the endshake is taken off above and below. When the upper end goes one way, the rim on that
    side goes down and the far side comes up.
    """
    free = values[f"gap to the {gap.name}"]
    if gap.side is Side.BESIDE:
        assert gap.direction_deg is not None
        return free - along(side_move(barrel, stance, gap.height_mm, values), gap.direction_deg)
    upper_end = lean_vector(barrel, stance, values)
    radius = values[f"radius at the {gap.name}"]
    if gap.direction_deg is None:
        return free - values["endshake"] / 2 - radius * vector_size(upper_end)
    drop = radius * along(upper_end, gap.direction_deg)
    return free - values["endshake"] / 2 - (drop if gap.side is Side.BELOW else -drop)


def along(vector: Vector, direction_deg: float) -> Any:
    """Return the part of a vector in a direction."""
    angle = math.radians(direction_deg)
    return vector[0] * math.cos(angle) + vector[1] * math.sin(angle)
