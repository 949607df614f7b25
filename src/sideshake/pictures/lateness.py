"""The lateness picture: how late each beat comes against the even beat fitted to all of them.

A watch that drifts bends; a bad wheel makes a wave; beat error parts ticks from tocks.
Shapes: (n,) over the beats. Times and latenesses are in the chart's own units (see `Course`).
"""

import math
from dataclasses import dataclass

import altair as alt
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter, uniform_filter1d

from sideshake.pictures.style import (
    BRASS,
    FADED,
    INK,
    PAPER,
    POINTING_DOWN,
    POINTING_UP,
    SERIF,
    WIDTH,
    house,
    table,
)
from sideshake.quantities import COVERAGE_FACTOR, SECONDS_PER_DAY, Measured
from sideshake.timing.reading import LEAST_WEIGHT, Reading, even_beat

Floats = NDArray[np.float64]

SIDES = ("tick", "tock")
SHAPES = ("circle", "diamond")
MOST_POINTS = 1200
MOST_KNOTS = 300
SHORTEST_MEDIAN_S = 1.6
MEDIAN_SHARE = 1 / 60
"""The running median spans 1.6 s, or a sixtieth of a recording that is longer than 96 s."""
LEAST_FOR_MEDIAN = 12
"""Fewer beats of a side make no curve."""
LEAST_HALF_S = 5e-6
"""The frame is never closer than this: below it stands only the arithmetic."""
LEAST_AMPLITUDE_SPAN_DEG = 12.0
LONGEST_STEP_S = 25.0
"""The amplitude comes every 10 s or so; over a longer gap no line is drawn."""
MEANING = (
    "how late each beat comes against the even beat fitted to all; later is higher",
    "band: where that even beat lies, at 95 %; curves: running median of each side",
)
HEIGHT, AMPLITUDE_HEIGHT = 300, 110


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """The beats as drawn: `at` and `late` are in `time_unit` and `late_unit`.

    `far` marks the outliers, which the even beat ignores; `half` is where the frame ends, above and
    below; `levels` is the median of each side (NaN where there is none).
    """

    at: Floats
    late: Floats
    index: NDArray[np.int64]
    side: NDArray[np.int8]
    far: NDArray[np.bool_]
    half: float
    levels: tuple[float, float]
    time_unit: str
    per_time_s: float
    late_unit: str
    per_late_s: float
    ends: tuple[float, float]


def lateness_chart(reading: Reading) -> alt.TopLevelMixin:
    """Return the lateness picture, with the amplitude's course below it where there is one.

    Beats that the fit ignores stay, ringed; those beyond the frame stand at its edge. When there
    are more beats than can be told apart some are left out, and the picture says how many.
    """
    course = course_of(reading)
    drawn = thinned(course)
    panels = [beats_panel(reading, course, drawn)]
    if reading.amplitude_deg is not None and reading.amplitudes_deg.size:
        panels.append(amplitude_panel(reading, course))
    said = captions(reading, course, drawn)
    title = alt.TitleParams("Lateness", subtitle=said)
    return house(
        alt.vconcat(*panels, spacing=14, title=title, description="Lateness: " + "; ".join(said))
    )


def course_of(reading: Reading) -> Course:
    """Return the beats in the units in which they read best."""
    side, late_s = reading.heard.beats.side, reading.lateness_s
    levels = [float(np.median(late_s[side == k])) if np.any(side == k) else np.nan for k in (0, 1)]
    far = even_beat(reading.heard)[0].weight <= LEAST_WEIGHT
    near_s = np.abs(late_s[~far]) if np.any(~far) else np.abs(late_s)
    end_s = reading.heard.duration_s
    band_s = even_beat_u_s(reading, np.array([0.0, end_s]))
    half_s = max(LEAST_HALF_S, 1.15 * float(near_s.max()), 1.15 * float(band_s.max()))
    time_unit, per_time_s = time_scale(end_s)
    late_unit, per_late_s = ("µs", 1e-6) if half_s < 1e-3 else ("ms", 1e-3)
    return Course(
        at=reading.lateness_at_s / per_time_s,
        late=late_s / per_late_s,
        index=reading.heard.beats.index,
        side=side,
        far=far,
        half=half_s / per_late_s,
        levels=(levels[0] / per_late_s, levels[1] / per_late_s),
        time_unit=time_unit,
        per_time_s=per_time_s,
        late_unit=late_unit,
        per_late_s=per_late_s,
        ends=(0.0, end_s / per_time_s),
    )


def time_scale(duration_s: float) -> tuple[str, float]:
    """Return the unit of time for a recording of this length, and its seconds."""
    if duration_s > 3 * 3600:
        return "hours", 3600.0
    return ("minutes", 60.0) if duration_s > 150 else ("seconds", 1.0)


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


def thinned(course: Course) -> NDArray[np.intp]:
    """Return which beats are drawn: all, or one of every few of each side; outliers always.

    Which one of them is drawn by lot (always the same lot), so that no wheel's period can fall in
    step with it.
    """
    step = thinned_by(course)
    lot = np.random.default_rng(0).integers(step, size=(2, course.side.size))
    rank = np.empty(course.side.size, np.intp)
    for side in (0, 1):
        rank[course.side == side] = np.arange(np.count_nonzero(course.side == side))
    return np.flatnonzero((rank % step == lot[course.side, rank // step]) | course.far)


def thinned_by(course: Course) -> int:
    """Return of how many beats one is drawn."""
    return math.ceil(course.side.size / MOST_POINTS)


def captions(reading: Reading, course: Course, drawn: NDArray[np.intp]) -> list[str]:
    """Return the lines under the title: what is drawn, the figures, what is left out."""
    figures = [f"scatter {scatter_words(reading.scatter_ms)}"]
    if reading.beat_error_ms is not None:
        figures.append(f"beat error {reading.beat_error_ms.text()} ms")
    if reading.amplitude_deg is not None:
        figures.append(f"amplitude {reading.amplitude_deg.text()}°")
    if reading.no_amplitude:
        figures.append(f"no amplitude: {reading.no_amplitude}")
    return [*MEANING, rate_words(reading), " · ".join(figures), *left_out(course, drawn)]


def left_out(course: Course, drawn: NDArray[np.intp]) -> list[str]:
    """Return what the picture does not show as it is: beats left out, ringed, or out of frame."""
    lines = []
    if drawn.size < course.side.size:
        lines.append(f"{drawn.size} of {course.side.size} beats are drawn; the lines rest on all")
    if course.far.any():
        words = f"{np.count_nonzero(course.far)} ringed: too far off to count in the fit"
        beyond = np.count_nonzero(np.abs(course.late) > course.half)
        lines.append(words + (f", {beyond} of them beyond the frame" if beyond else ""))
    return lines


def rate_words(reading: Reading) -> str:
    """Return the rate in words, or the beat itself where no rate can be said."""
    rate, alone = reading.rate_s_per_day, reading.rate_alone_s_per_day
    if rate is None or alone is None:
        beat_ms = Measured(reading.beat_s.value * 1e3, reading.beat_s.u * 1e3)
        return f"no rate, for the beats per hour are not known; one beat is {beat_ms.text()} ms"
    by_clock = f"with the clock taken as right {alone.text(sign=True)}"
    return f"rate {rate.text(sign=True)} s a day; {by_clock}"


def scatter_words(scatter_ms: float) -> str:
    """Return the scatter in the unit in which it reads best.

    Examples
    --------
    >>> scatter_words(0.0132), scatter_words(2.5)
    ('13 µs', '2.5 ms')
    """
    return f"{scatter_ms * 1e3:.0f} µs" if scatter_ms < 1 else f"{scatter_ms:.1f} ms"


def beats_panel(reading: Reading, course: Course, drawn: NDArray[np.intp]) -> alt.LayerChart:
    """Return the panel of the beats: band, even beat, points, running medians."""
    layers = [band(reading, course), *points(course, drawn), medians(course)]
    if abs(course.levels[1] - course.levels[0]) > 0.12 * course.half:
        layers += beat_error_dimension(reading, course)
    return alt.layer(*layers).properties(width=WIDTH, height=HEIGHT)


def time_axis(course: Course) -> alt.X:
    """Return the common axis of time."""
    return alt.X(
        "at:Q",
        title=course.time_unit,
        scale=alt.Scale(domain=list(course.ends), nice=False),
        axis=alt.Axis(grid=False, labelFlush=False),
    )


def late_axis(course: Course, field: str = "late:Q") -> alt.Y:
    """Return the axis of lateness; it is the same above and below 0."""
    return alt.Y(
        field,
        title=f"later than even, {course.late_unit}",
        scale=alt.Scale(domain=[-course.half, course.half], nice=False),
        axis=alt.Axis(tickCount=7),
    )


def band(reading: Reading, course: Course) -> alt.LayerChart:
    """Return the even beat, a fine line at 0, within the band in which it lies at 95 %."""
    at = np.linspace(*course.ends, 41)
    u = even_beat_u_s(reading, at * course.per_time_s) / course.per_late_s
    base = alt.Chart(table(at=at.tolist(), high=u.tolist(), low=(-u).tolist(), even=[0.0] * 41))
    x = time_axis(course)
    area = base.mark_area(color=BRASS, opacity=0.28, clip=True).encode(
        x=x, y=late_axis(course, "low:Q"), y2="high:Q"
    )
    even = base.mark_line(color=INK, strokeWidth=0.9).encode(x=x, y=late_axis(course, "even:Q"))
    return area + even


def points(course: Course, drawn: NDArray[np.intp]) -> list[alt.Chart]:
    """Return the beats, tick and tock in two shapes, and a ring around each outlier."""
    late = course.late[drawn]
    data = table(
        at=course.at[drawn].tolist(),
        late=np.clip(late, -0.975 * course.half, 0.975 * course.half).tolist(),
        said=[f"{value:+.4g} {course.late_unit}".replace("-", "−") for value in late],
        beat=course.index[drawn].tolist(),
        side=[SIDES[k] for k in course.side[drawn]],
        far=course.far[drawn].tolist(),
    )
    colours = alt.Scale(domain=list(SIDES), range=[INK, BRASS])
    fills = alt.Scale(domain=list(SIDES), range=[INK, PAPER])
    base = alt.Chart(data).encode(
        x=time_axis(course),
        y=late_axis(course),
        tooltip=[
            alt.Tooltip("beat:Q", title="beat"),
            alt.Tooltip("side:N", title="side"),
            alt.Tooltip("said:N", title="later than even"),
        ],
    )
    size = 44 if drawn.size <= 400 else 22
    marks = base.mark_point(size=size, strokeWidth=1.1, opacity=0.8).encode(
        shape=alt.Shape("side:N", scale=alt.Scale(domain=list(SIDES), range=list(SHAPES))),
        stroke=alt.Stroke("side:N", scale=colours),
        fill=alt.Fill("side:N", scale=fills),
    )
    rings = base.transform_filter("datum.far").mark_point(
        shape="circle",
        size=190 if drawn.size <= 400 else 90,
        stroke=INK,
        strokeWidth=0.9,
        filled=False,
        opacity=1,
    )
    return [marks, rings]


def medians(course: Course) -> alt.Chart:
    """Return the smooth running median of each side; a long gap breaks the line."""
    parts = [running_median(course, side) for side in (0, 1)]
    at, late, side, stretch = (np.concatenate(column) for column in zip(*parts, strict=True))
    data = table(
        at=at.tolist(),
        late=late.tolist(),
        side=[SIDES[k] for k in side],
        stretch=stretch.tolist(),
    )
    return (
        alt.Chart(data)
        .mark_line(strokeWidth=2.2, clip=True, opacity=0.95)
        .encode(
            x=time_axis(course),
            y=late_axis(course),
            stroke=alt.Stroke("side:N", scale=alt.Scale(domain=list(SIDES), range=[INK, BRASS])),
            detail="stretch:N",
        )
    )


def running_median(course: Course, side: int) -> tuple[Floats, Floats, Floats, Floats]:
    """Return times, medians, side and the number of the stretch without a gap, of one side."""
    some = course.side == side
    at, late = course.at[some], course.late[some]
    if at.size < LEAST_FOR_MEDIAN:
        return np.empty(0), np.empty(0), np.empty(0, np.int8), np.empty(0, np.intp)
    span = max(SHORTEST_MEDIAN_S / course.per_time_s, MEDIAN_SHARE * course.ends[1])
    width = 2 * max(1, round(span / float(np.median(np.diff(at))) / 2)) + 1
    smooth = uniform_filter1d(median_filter(late, width, mode="nearest"), 3, mode="nearest")
    stretch = np.cumsum(np.diff(at, prepend=at[0]) > 2 * span)
    knots = np.unique(np.linspace(0, at.size - 1, MOST_KNOTS).astype(np.intp))
    return at[knots], smooth[knots], np.full(knots.size, side), stretch[knots]


def beat_error_dimension(reading: Reading, course: Course) -> list[alt.Chart]:
    """Return the beat error dimensioned right of the frame, as on a drawing."""
    error = reading.beat_error_ms
    if error is None or error.holds(0):
        return []
    low, high = sorted(course.levels)
    value, spread = error.text().split(" ± ")
    words = ["beat error", value, f"± {spread} ms"]
    base = alt.Chart(table(low=[low], high=[high], middle=[(low + high) / 2]))
    y_low, y_high = late_axis(course, "low:Q"), late_axis(course, "high:Q")
    line = base.mark_rule(color=INK, strokeWidth=0.9, xOffset=16).encode(
        x=alt.value("width"), y=y_low, y2="high:Q"
    )
    below = base.mark_point(
        shape=POINTING_DOWN, size=150, filled=True, color=INK, opacity=1, xOffset=16
    )
    above = base.mark_point(
        shape=POINTING_UP, size=150, filled=True, color=INK, opacity=1, xOffset=16
    )
    text = base.mark_text(
        align="left", baseline="middle", color=INK, dx=26, font=SERIF, fontSize=14, text=words
    )
    return [
        line,
        below.encode(x=alt.value("width"), y=y_low),
        above.encode(x=alt.value("width"), y=y_high),
        text.encode(x=alt.value("width"), y=late_axis(course, "middle:Q")),
    ]


def amplitude_panel(reading: Reading, course: Course) -> alt.Chart:
    """Return the panel of the amplitude's course."""
    degrees = reading.amplitudes_deg
    centre = float(degrees.max() + degrees.min()) / 2
    half = max(LEAST_AMPLITUDE_SPAN_DEG, 1.3 * float(np.ptp(degrees))) / 2
    data = table(
        at=(reading.amplitudes_at_s / course.per_time_s).tolist(),
        degrees=degrees.tolist(),
        said=[f"{value:.1f}°" for value in degrees],
        stretch=np.cumsum(np.diff(reading.amplitudes_at_s, prepend=0) > LONGEST_STEP_S).tolist(),
    )
    return (
        alt.Chart(data)
        .mark_line(color=FADED, strokeWidth=1, point=alt.OverlayMarkDef(color=INK, size=34))
        .encode(
            x=time_axis(course),
            y=alt.Y(
                "degrees:Q",
                title="amplitude, °",
                scale=alt.Scale(domain=[centre - half, centre + half], nice=False),
                axis=alt.Axis(tickCount=4),
            ),
            detail="stretch:N",
            tooltip=[alt.Tooltip("said:N", title="amplitude")],
        )
        .properties(width=WIDTH, height=AMPLITUDE_HEIGHT)
    )
