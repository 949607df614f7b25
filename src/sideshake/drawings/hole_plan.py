"""One bearing seen from the bridge: hole and pivot with the play enlarged, thrusts as arrows."""

import math

from sideshake.drawings.shapes import (
    Anchor,
    Circle,
    DrawnLine,
    Fill,
    Point,
    Polyline,
    Shape,
    ShapeRole,
    Text,
    on_circle,
)
from sideshake.wear.bearing import Bearing, normal_play, side_shake

PIVOT = 9.0
"""Radius of the drawn pivot, mm of paper."""


def hole_plan(bearing: Bearing, name: str, centre: Point, *, factor: float) -> tuple[Shape, ...]:
    """Return one hole in plan, the pivot at rest in its middle, with its figures below."""
    enlarged = PIVOT / (bearing.pivot_mm.value / 2) * factor
    hole, pivot = bearing.hole, bearing.pivot_mm.value
    long_way = PIVOT + enlarged * (hole.long_mm.value - pivot) / 2
    short_way = PIVOT + enlarged * (hole.across_mm.value - pivot) / 2
    normal = normal_play(bearing)
    shake = f"{name}: side shake {side_shake(bearing).text()}"
    source = normal.source.split(" (")[0]
    sound = f"normal {normal.low_mm:.3f} to {normal.high_mm:.3f}, by {source}"
    x, y = centre
    outline = ellipse(centre, long_way, short_way, hole.long_axis_deg)
    return (
        Polyline(points=outline, closed=True),
        Circle(centre=centre, radius=PIVOT, fill=Fill.STEEL),
        Text(at=(x, y - 27.5), words=shake, anchor=Anchor.MIDDLE),
        Text(at=(x, y - 32.0), words=sound, height=2.83, anchor=Anchor.MIDDLE),
    )


def ellipse(centre: Point, long_way: float, short_way: float, turn_deg: float) -> tuple[Point, ...]:
    """Return 72 points of an ellipse with its long axis in the given direction."""
    turn = math.radians(turn_deg)
    points = []
    for step in range(72):
        x, y = on_circle((0.0, 0.0), 1.0, 5.0 * step)
        x, y = x * long_way, y * short_way
        points.append(
            (
                centre[0] + x * math.cos(turn) - y * math.sin(turn),
                centre[1] + x * math.sin(turn) + y * math.cos(turn),
            )
        )
    return tuple(points)


def thrust_arrow(centre: Point, angle_deg: float, word: str) -> tuple[Shape, ...]:
    """Return an arrow from the pivot outwards in the direction of a thrust, with its name."""
    start, end = on_circle(centre, 2.5, angle_deg), on_circle(centre, 19.0, angle_deg)
    barbs = tuple(
        DrawnLine(start=end, end=on_circle(end, 2.2, angle_deg + turn), role=ShapeRole.ACCENT)
        for turn in (155.0, 205.0)
    )
    side = math.cos(math.radians(angle_deg))
    anchor = Anchor.MIDDLE if abs(side) < 0.4 else (Anchor.START if side > 0 else Anchor.END)
    place = on_circle(centre, 21.5, angle_deg)
    name = Text(
        at=(place[0], place[1] - 1.0), words=word, height=2.83, anchor=anchor, role=ShapeRole.ACCENT
    )
    return (DrawnLine(start=start, end=end, role=ShapeRole.ACCENT), *barbs, name)
