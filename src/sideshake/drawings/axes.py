"""Two axes on a sheet, both from 0: where a value lies, round ticks, figures, fine rules."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.drawings.shapes import Anchor, DrawnLine, Point, Shape, ShapeRole, Text

NOTE = 3.0
TICK = 1.4
ROUND = (1.0, 2.0, 5.0, 10.0)
MOST_TICKS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class AxesFrame:
    """A rectangle of paper (mm) in which x runs from 0 to `most_x` and y from 0 to `most_y`."""

    lower_left: Point
    upper_right: Point
    most_x: float
    most_y: float

    def __post_init__(self) -> None:
        if min(self.most_x, self.most_y) <= 0:
            raise InputError(
                f"both axes run from 0 upwards, got {self.most_x:g} and {self.most_y:g}"
            )

    def at(self, x: float, y: float) -> Point:
        """Return the point of paper for two values."""
        (left, bottom), (right, top) = self.lower_left, self.upper_right
        return (
            left + x / self.most_x * (right - left),
            bottom + y / self.most_y * (top - bottom),
        )


def round_step(most: float) -> float:
    """Return the smallest step of 1, 2 or 5 times a power of ten that makes at most 8 steps.

    Examples
    --------
    >>> round_step(7.2), round_step(10.7), round_step(1960.0)
    (1.0, 2.0, 500.0)
    """
    if not most > 0:
        raise InputError(f"an axis runs from 0 upwards, got {most:g}")
    power = 10.0 ** math.floor(math.log10(most / MOST_TICKS))
    return next(each * power for each in ROUND if each * power * MOST_TICKS >= most)


def x_axis(frame: AxesFrame, step: float) -> Iterator[Shape]:
    """Yield the line to the right with a tick and a figure at each step."""
    yield DrawnLine(start=frame.at(0, 0), end=frame.at(frame.most_x, 0), role=ShapeRole.DIMENSION)
    for count in range(math.floor(frame.most_x / step + 1e-9) + 1):
        x, y = frame.at(count * step, 0)
        yield DrawnLine(start=(x, y), end=(x, y - TICK), role=ShapeRole.DIMENSION)
        words = f"{count * step:g}"
        yield Text(at=(x, y - 5.2), words=words, height=NOTE, anchor=Anchor.MIDDLE)


def y_axis(frame: AxesFrame, step: float) -> Iterator[Shape]:
    """Yield the line upwards with a tick, a figure and a fine rule across at each step."""
    yield DrawnLine(start=frame.at(0, 0), end=frame.at(0, frame.most_y), role=ShapeRole.DIMENSION)
    for count in range(math.floor(frame.most_y / step + 1e-9) + 1):
        x, y = frame.at(0, count * step)
        yield DrawnLine(start=(x, y), end=(x - TICK, y), role=ShapeRole.DIMENSION)
        yield Text(at=(x - 2.4, y - 1), words=f"{count * step:g}", height=NOTE, anchor=Anchor.END)
        if count:
            yield DrawnLine(
                start=(x, y), end=frame.at(frame.most_x, count * step), role=ShapeRole.FINE
            )
