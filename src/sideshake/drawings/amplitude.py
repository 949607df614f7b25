"""The amplitude along time, in stretches of some 10 s, with the 95 % band of each value."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sideshake.drawings.narrow import (
    EDGE,
    HEADING,
    WIDTH,
    heading,
    set_lines,
    text_height,
    text_lines,
)
from sideshake.drawings.shapes import (
    Circle,
    Drawing,
    DrawnLine,
    Fill,
    Named,
    Polyline,
    Shape,
    ShapeRole,
)
from sideshake.drawings.strip import Plot, time_marks, value_marks
from sideshake.timing.amplitude_course import AmplitudeCourse

HEIGHT = 30.0
LEAST_SPAN_DEG = 12.0
ROOM = 1.2
LONGEST_STEP_S = 25.0
"""A value comes every 10 s or so; over a longer gap nothing is drawn."""
DOT = 0.6


def amplitude_drawing(course: AmplitudeCourse, *, end_s: float) -> Drawing:
    """Return the amplitude along a recording of `end_s` seconds."""
    said = [amplitude_caption(course)]
    lines = text_lines(said)
    top = HEADING + 2 * EDGE + 2.0
    below = top + HEIGHT + 8.0
    height = below + text_height(lines) + EDGE
    low, high = frame_of(course)
    plot = Plot(end_s=end_s, low=low, high=high, bottom=height - top - HEIGHT, top=height - top)
    title = "Amplitude along time"
    return Drawing(
        title=title,
        width=WIDTH,
        height=height,
        shapes=(
            heading(title, height),
            *(part for one in stretches(course) for part in stretch(course, one, plot)),
            *value_marks(plot, 1.0, "degrees"),
            *time_marks(plot),
            *set_lines(lines, height - below),
        ),
        description=" ".join(said),
    )


def amplitude_caption(course: AmplitudeCourse) -> str:
    """Return what the picture says of itself."""
    low, high = float(course.deg.min()), float(course.deg.max())
    return (
        f"From {low:.0f} to {high:.0f}°. Band: ± {course.half_deg:.1f}°, each value by itself at "
        f"95 %. All may lie higher or lower together by {course.common_deg:.0f}°, most of it the "
        "lift angle's."
    )


def frame_of(course: AmplitudeCourse) -> tuple[float, float]:
    """Return the ends of the scale."""
    low, high = float(course.deg.min()) - course.half_deg, float(course.deg.max()) + course.half_deg
    half = max(LEAST_SPAN_DEG, ROOM * (high - low)) / 2
    return (low + high) / 2 - half, (low + high) / 2 + half


def stretches(course: AmplitudeCourse) -> list[NDArray[np.intp]]:
    """Return the values between gaps."""
    cut = np.flatnonzero(np.diff(course.at_s) > LONGEST_STEP_S) + 1
    return list(np.split(np.arange(course.deg.size), cut))


def stretch(course: AmplitudeCourse, which: NDArray[np.intp], plot: Plot) -> Iterator[Shape]:
    """Yield band, line and points of the values between two gaps."""
    values = [(float(course.at_s[k]), float(course.deg[k])) for k in which]
    if len(values) > 1:
        above = [plot.at(t, deg + course.half_deg) for t, deg in values]
        under = [plot.at(t, deg - course.half_deg) for t, deg in values]
        yield Polyline(
            points=(*above, *reversed(under)), role=ShapeRole.NONE, closed=True, fill=Fill.BRASS
        )
    for one, two in pairwise(values):
        yield DrawnLine(start=plot.at(*one), end=plot.at(*two), role=ShapeRole.DIMENSION)
    for at_s, deg in values:
        dot = Circle(centre=plot.at(at_s, deg), radius=DOT, role=ShapeRole.NONE, fill=Fill.INK)
        words = f"at {at_s:.0f} s: {deg:.1f} ± {course.half_deg:.1f}°"
        yield Named(words=words, shapes=(dot,))
