"""The strip: lateness unrolled along time, a stem for each beat, or for the median of several.

The line in the middle is the even beat, the brass band where it lies at 95 %. A stem upward is
late, downward early; thick is a tick, thin a tock. Shapes: (n,) over the beats.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.core.quantities import COVERAGE_FACTOR, SECONDS_PER_DAY
from sideshake.drawings.axes import round_step
from sideshake.drawings.narrow import (
    EDGE,
    HEAD,
    HEADING,
    SMALL,
    STEMS,
    WIDTH,
    heading,
    set_lines,
    sides_key,
    text_height,
    text_lines,
)
from sideshake.drawings.shapes import (
    Anchor,
    Circle,
    Drawing,
    DrawnLine,
    Fill,
    Named,
    Point,
    Polyline,
    Shape,
    ShapeRole,
    Text,
)
from sideshake.sound.line import LEAST_WEIGHT
from sideshake.timing.reading import Reading
from sideshake.timing.turn.fold import BEATS_PER_TOOTH
from sideshake.timing.turn.words import SIDES

Floats = NDArray[np.float64]

LONG_S = 300.0
"""A longer recording is unrolled unasked: five minutes hold more than one turn tells."""
MOST_STEMS = 160
"""More cannot be told apart on the narrow sheet; then a stem stands for several beats."""
LEFT, RIGHT = 15.0, 97.0
HALF_HEIGHT = 24.0
KNOTS = 41
LEAST_HALF_S = 5e-6
"""The frame is never closer than this: below it stands only the arithmetic."""
ROOM = 1.1
MOST_MARKS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Stems:
    """What is drawn: when, how late (s), of which side; `each` beats make one stem of a side.

    `far` marks single beats that the even beat does not count; of several beats the median is
    drawn, which leaves them aside. `half_s` is where the frame ends, above and below.
    """

    at_s: Floats
    late_s: Floats
    side: NDArray[np.int8]
    far: NDArray[np.bool_]
    each: int
    half_s: float


def stems_of(reading: Reading, escape_teeth: int | None = None) -> Stems:
    """Return the stems of a reading: of single beats, or of stretches when there are too many.

    A stretch is a whole number of turns of the escape wheel where its teeth are known and turns are
    many: what comes back with each turn is then the same in all of them.
    """
    beats = reading.heard.beats
    far = reading.weight <= LEAST_WEIGHT
    size = stretch(int(beats.index[-1] - beats.index[0]) + 1, escape_teeth)
    if size == 1:
        at_s, late_s, side = reading.lateness_at_s, reading.lateness_s, beats.side
    else:
        at_s, late_s, side = medians(reading, size)
        far = np.zeros(side.size, np.bool_)
    near = np.abs(late_s[~far]) if not far.all() else np.abs(late_s)
    ends_s = even_beat_u_s(reading, np.array([0.0, reading.heard.duration_s]))
    return Stems(
        at_s=at_s,
        late_s=late_s,
        side=side,
        far=far,
        each=max(1, size // 2),
        half_s=ROOM * max(LEAST_HALF_S, float(near.max()), float(ends_s.max())),
    )


def stretch(beats: int, escape_teeth: int | None) -> int:
    """Return how many beats a pair of stems stands for: 1 for a stem each, else an even number.

    Examples
    --------
    >>> stretch(150, 15), stretch(300, 15), stretch(18000, 15), stretch(18000, None)
    (1, 4, 240, 226)
    """
    if beats <= MOST_STEMS:
        return 1
    size = 2 * math.ceil(beats / MOST_STEMS)
    turn = BEATS_PER_TOOTH * (escape_teeth or size)
    return turn * math.ceil(size / turn) if size > turn / 2 and escape_teeth else size


def medians(reading: Reading, size: int) -> tuple[Floats, Floats, NDArray[np.int8]]:
    """Return when and how late the median beat of each side is, stretch by stretch.

    The two sides stand beside each other, a quarter of the stretch before and after its middle.
    """
    beats = reading.heard.beats
    beat_s = reading.beat_s.value
    group = 2 * ((beats.index - beats.index[0]) // size) + beats.side
    order = np.argsort(group, kind="stable")
    names, first = np.unique(group[order], return_index=True)
    parts = np.split(order, first[1:])
    side = (names % 2).astype(np.int8)
    middle_s = np.array([reading.lateness_at_s[part].mean() for part in parts])
    return (
        middle_s + np.where(side == 1, 1, -1) * size * beat_s / 4,
        np.array([np.median(reading.lateness_s[part]) for part in parts]),
        side,
    )


def even_beat_u_s(reading: Reading, at_s: Floats) -> Floats:
    """Return the 95 % uncertainty (s) of the fitted even beat at each time.

    For a straight line u(t)^2 = u_slope^2 (mean square of the beats' times about their mean +
    (t - mean)^2); with independent scatter this is the textbook's s^2 (1/n + (t - m)^2 / Sxx). The
    slope's uncertainty is the reading's own, so correlated scatter widens the band too.

    References
    ----------
    Draper & Smith, Applied Regression Analysis, par. 1.4: variance of the fitted line (from memory)
    """
    times_s = reading.lateness_at_s
    return np.asarray(
        COVERAGE_FACTOR
        * slope_u(reading)
        * np.sqrt(np.var(times_s) + (at_s - np.mean(times_s)) ** 2)
    )


def slope_u(reading: Reading) -> float:
    """Return the relative standard uncertainty of the beat by its scatter alone."""
    alone = reading.rate_alone_s_per_day
    if alone is not None:
        return alone.u / SECONDS_PER_DAY
    whole = reading.beat_s.u / reading.beat_s.value
    return math.sqrt(max(0.0, whole**2 - (reading.clock.fast_ppm.u * 1e-6) ** 2))


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """A strip of the sheet along which time runs; `low` to `high` lie `bottom` to `top`."""

    end_s: float
    low: float
    high: float
    bottom: float
    top: float

    def at(self, time_s: float, value: float) -> Point:
        """Return the point of paper; a value beyond the strip stands at its edge."""
        share = min(1.0, max(0.0, (value - self.low) / (self.high - self.low)))
        return (
            LEFT + time_s / self.end_s * (RIGHT - LEFT),
            self.bottom + share * (self.top - self.bottom),
        )


def strip_drawing(
    reading: Reading, escape_teeth: int | None = None, notes: tuple[str, ...] = ()
) -> Drawing:
    """Return the strip of one reading, with `notes` under what the picture says of itself."""
    stems = stems_of(reading, escape_teeth)
    said = [*strip_captions(stems), *notes]
    lines = text_lines(said)
    top = HEADING + 2 * EDGE + 2.0
    below = top + 2 * HALF_HEIGHT + 12.0
    height = below + 5.0 + text_height(lines) + EDGE
    plot = Plot(
        end_s=reading.heard.duration_s, low=-stems.half_s, high=stems.half_s,
        bottom=height - top - 2 * HALF_HEIGHT, top=height - top,
    )  # fmt: skip
    title = "Lateness along time"
    return Drawing(
        title=title,
        width=WIDTH,
        height=height,
        shapes=(
            heading(title, height),
            even_band(reading, plot),
            *value_marks(plot, 1e3, "ms late"),
            *time_marks(plot),
            DrawnLine(start=plot.at(0, 0), end=plot.at(plot.end_s, 0), role=ShapeRole.DIMENSION),
            *(stem(stems, plot, number) for number in range(stems.side.size)),
            *sides_key(height - below - 2.0, heads=False),
            *set_lines(lines, height - below - 4.0),
        ),
        description=" ".join(said),
    )


def strip_captions(stems: Stems) -> list[str]:
    """Return what the strip says of itself."""
    what = "A stem for each beat."
    if stems.each > 1:
        what = f"Each stem is the median of {stems.each} beats of its side."
    lines = [f"{what} Line: the even beat; up is late, down early. Band: where it lies, at 95 %."]
    if stems.far.any():
        count = int(np.count_nonzero(stems.far))
        lines.append(f"{count} with a ring: too far off to count.")
    return lines


def stem(stems: Stems, plot: Plot, number: int) -> Named:
    """Return one stem; a beat that does not count has a ring at its end."""
    at_s, late_s = float(stems.at_s[number]), float(stems.late_s[number])
    side = int(stems.side[number])
    tip = plot.at(at_s, late_s)
    parts: list[DrawnLine | Circle] = [
        DrawnLine(start=plot.at(at_s, 0.0), end=tip, role=STEMS[side])
    ]
    if stems.far[number]:
        parts.append(Circle(centre=tip, radius=HEAD, role=ShapeRole.DIMENSION))
    late = f"{late_s * 1e3:+.3f}".replace("-", "−")
    return Named(words=f"{SIDES[side]} at {at_s:.1f} s: {late} ms", shapes=tuple(parts))


def even_band(reading: Reading, plot: Plot) -> Polyline:
    """Return the band in which the even beat lies at 95 %."""
    at_s = np.linspace(0.0, plot.end_s, KNOTS)
    high = even_beat_u_s(reading, at_s).tolist()
    times = at_s.tolist()
    above = [plot.at(t, u) for t, u in zip(times, high, strict=True)]
    under = [plot.at(t, -u) for t, u in zip(times, high, strict=True)]
    return Polyline(
        points=(*above, *reversed(under)), role=ShapeRole.NONE, closed=True, fill=Fill.BRASS
    )


def value_marks(plot: Plot, per_unit: float, unit: str) -> Iterator[Shape]:
    """Yield figures and fine rules across, at round values; the unit stands at the top."""
    step = round_step((plot.high - plot.low) * per_unit * 8 / MOST_MARKS)
    first = math.ceil(plot.low * per_unit / step - 1e-9)
    for count in range(first, math.floor(plot.high * per_unit / step + 1e-9) + 1):
        x, y = plot.at(0, count * step / per_unit)
        yield DrawnLine(start=(x, y), end=(RIGHT, y), role=ShapeRole.FINE)
        words = f"{count * step:.10g}".replace("-", "−")
        yield Text(at=(x - 1.5, y - 0.36 * SMALL), words=words, height=SMALL, anchor=Anchor.END)
    yield Text(at=(EDGE, plot.top + 1.5), words=unit, height=SMALL)


def time_marks(plot: Plot) -> Iterator[Shape]:
    """Yield the ticks of time under the strip."""
    unit, per_s = time_scale(plot.end_s)
    step = round_step(plot.end_s / per_s * 8 / MOST_MARKS)
    last = math.floor(plot.end_s / per_s / step + 1e-9)
    for count in range(last + 1):
        x, _ = plot.at(count * step * per_s, 0.0)
        yield DrawnLine(
            start=(x, plot.bottom), end=(x, plot.bottom - 1.4), role=ShapeRole.DIMENSION
        )
        words = f"{count * step:.10g}" + (f" {unit}" if count == last else "")
        yield Text(
            at=(x, plot.bottom - 5.4), words=words, height=SMALL,
            anchor=Anchor.END if count == last and x > RIGHT - 8 else Anchor.MIDDLE,
        )  # fmt: skip


def time_scale(duration_s: float) -> tuple[str, float]:
    """Return the unit of time for a recording of this length, and its seconds."""
    if duration_s > 3 * 3600:
        return "h", 3600.0
    return ("min", 60.0) if duration_s > 150 else ("s", 1.0)
