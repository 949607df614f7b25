"""The mark of one bearing in the picture of a movement: how it is worn, by shape and by shade.

It reads in grey and whatever colours an eye tells apart: a broken ring was not measured, an open
one is sound, a half filled one is to be watched, a full one with a second ring round it is worn.
"""

from sideshake.drawings.hole_plan import ellipse
from sideshake.drawings.shapes import (
    Circle,
    DrawnLine,
    Fill,
    Point,
    Polyline,
    Shape,
    ShapeRole,
    on_circle,
    rectangle,
)

MARK_WIDE, MARK_HIGH = 30.0, 16.0
RING, OUTER, DOT = 4.0, 6.2, 1.0
OVAL_WAYS = (5.6, 3.6)
BAND = 11.0
"""Height of plate or bridge behind the mark."""
MIDDLE: Point = (15.0, 8.0)


def bearing_mark(stage: str, *, oval: bool = False, below: bool = False) -> tuple[Shape, ...]:
    """Return a bearing's mark on its piece of plate or bridge, with the end of its arbor.

    Parameters
    ----------
    stage : as `PlaceStage` says it
    oval : whether its hole is oval
    below : whether it lies in the plate, its arbor coming from above
    """
    band = rectangle(
        (0.0, MIDDLE[1] - BAND / 2), (MARK_WIDE, MIDDLE[1] + BAND / 2), fill=Fill.BRASS,
        role=ShapeRole.NONE,
    )  # fmt: skip
    foot, end = (MARK_HIGH, MIDDLE[1] + BAND / 2) if below else (0.0, MIDDLE[1] - BAND / 2)
    arbor = DrawnLine(start=(MIDDLE[0], foot), end=(MIDDLE[0], end))
    return (band, arbor, *STAGES[stage](oval))


def ring(*, oval: bool, role: ShapeRole = ShapeRole.OUTLINE, fill: Fill = Fill.NONE) -> Shape:
    """Return the hole: round, or oval as wide as can be seen."""
    ways = OVAL_WAYS if oval else (RING, RING)
    return Polyline(points=ellipse(MIDDLE, *ways, 0.0), closed=True, role=role, fill=fill)


def unmeasured(oval: bool) -> tuple[Shape, ...]:
    """Return a broken ring."""
    return (ring(oval=oval, role=ShapeRole.HIDDEN),)


def begun(oval: bool) -> tuple[Shape, ...]:
    """Return a broken ring with a point: something was measured, not enough."""
    return (*unmeasured(oval), Circle(centre=MIDDLE, radius=DOT, fill=Fill.INK))


def sound(oval: bool) -> tuple[Shape, ...]:
    """Return an open ring."""
    return (ring(oval=oval, fill=Fill.SAFE),)


def watched(oval: bool) -> tuple[Shape, ...]:
    """Return a ring that is filled by half."""
    wide, high = OVAL_WAYS if oval else (RING, RING)
    half = tuple(
        (MIDDLE[0] + x * wide / RING, MIDDLE[1] + y * high / RING)
        for x, y in (on_circle((0.0, 0.0), RING, angle) for angle in range(90, 271, 10))
    )
    return (
        ring(oval=oval, fill=Fill.SAFE),
        Polyline(points=half, closed=True, role=ShapeRole.NONE, fill=Fill.INK),
    )


def worn(oval: bool) -> tuple[Shape, ...]:
    """Return a full ring with a second one round it."""
    ways = (OUTER + 1.4, OUTER - 0.7) if oval else (OUTER, OUTER)
    outer = Polyline(points=ellipse(MIDDLE, *ways, 0.0), closed=True)
    return (ring(oval=oval, fill=Fill.INK), outer)


STAGES = {
    "not measured": unmeasured,
    "measure first": begun,
    "leave it": sound,
    "watch it": watched,
    "worn": worn,
}
