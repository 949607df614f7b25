"""The curve of cost against coverage for a batch of jewels."""

import math
from collections.abc import Iterator
from itertools import pairwise

from sideshake.drawings.axes import NOTE, AxesFrame, round_step, x_axis, y_axis
from sideshake.drawings.shapes import (
    Anchor,
    Circle,
    Drawing,
    DrawnLine,
    Fill,
    Shape,
    ShapeRole,
    Text,
)
from sideshake.fit.batch import JewelBatch

WIDTH, HEIGHT = 180.0, 118.0
LOWER_LEFT, UPPER_RIGHT = (22.0, 24.0), (168.0, 92.0)
ALL = 100.0
EVERY = 20.0


def coverage_drawing(curve: tuple[JewelBatch, ...]) -> Drawing:
    """Return the chart: what share of the repairs a sum of money serves, size by size."""
    most = max(curve[-1].cost, 1.0)
    step = round_step(most)
    frame = AxesFrame(
        lower_left=LOWER_LEFT,
        upper_right=UPPER_RIGHT,
        most_x=step * math.ceil(most / step),
        most_y=ALL,
    )
    left = LOWER_LEFT[0] - 10
    best = curve[-1]
    return Drawing(
        title="Jewels to have made",
        width=WIDTH,
        height=HEIGHT,
        shapes=(
            Text(at=(left, HEIGHT - 11), words="Jewels to have made", height=5.2, heading=True),
            Text(
                at=(left, HEIGHT - 17),
                words="The figure at each point is how many sizes are made.",
                height=NOTE,
            ),
            Text(at=(left, UPPER_RIGHT[1] + 3), words="% of the repairs served", height=NOTE),
            *x_axis(frame, step),
            *y_axis(frame, EVERY),
            Text(
                at=frame.at(frame.most_x / 2, -17),
                words="cost of the batch",
                height=NOTE,
                anchor=Anchor.MIDDLE,
            ),
            *steps(curve, frame),
        ),
        description=f"{len(best.sizes)} sizes serve {best.served} of {best.repairs} repairs.",
    )


def steps(curve: tuple[JewelBatch, ...], frame: AxesFrame) -> Iterator[Shape]:
    """Yield the steps from each number of sizes to the next, with a named point at each."""
    for one, two in pairwise(curve):
        corner = frame.at(two.cost, ALL * one.coverage)
        yield DrawnLine(start=frame.at(one.cost, ALL * one.coverage), end=corner)
        yield DrawnLine(start=corner, end=frame.at(two.cost, ALL * two.coverage))
    for each in curve:
        x, y = frame.at(each.cost, ALL * each.coverage)
        yield Circle(centre=(x, y), radius=1.0, role=ShapeRole.ACCENT, fill=Fill.BRASS)
        yield Text(at=(x + 1.6, y - 4.4), words=str(len(each.sizes)), height=NOTE)
