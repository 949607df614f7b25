"""The portrait picture: the averaged sound of tick and of tock, drawn and dimensioned.

Tick stands above the middle line and tock hangs below it, both in decibels above the noise floor
(what averaging leaves of the background), aligned on unlocking. Times are milliseconds after it.
"""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import altair as alt
import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import NotEnough
from sideshake.drawings.style import (
    BRASS,
    FADED,
    INK,
    POINTING_LEFT,
    POINTING_RIGHT,
    SERIF,
    house,
    table,
)
from sideshake.sound.template import Template
from sideshake.timing.noises import Lift, impulse_ms, lift_of
from sideshake.timing.reading import Reading

Floats = NDArray[np.float64]

STEP_S = 40e-6
"""Width of the bins drawn: two samples at 48 kHz, finer than an onset's own sharpness."""
SMOOTH = (0.25, 0.5, 0.25)
BEFORE_MS, AFTER_MS = 6.0, 9.0
LOUD_TIMES, LOUD_SHARE = 10.0, 3e-3
FLOOR_DB = 6.0
NAMES_DB, DIMENSION_DB, HEAD_DB, FOOT_DB = 3.5, 8.0, 14.5, 1.0
"""Above the loudest noise: the names, the dimension, the frame's end; and its end below."""
WIDTH, HEIGHT = 290, 330
"""Of the frame (px): so narrow that its words can be read on a telephone."""
LINE_LETTERS = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """One side as drawn: `at_ms` after unlocking (or arrival), `level_db` above the noise."""

    at_ms: Floats
    level_db: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class PortraitFrame:
    """What the drawing reaches over; `aligned` says whether its time 0 is unlocking."""

    window_ms: tuple[float, float]
    top_db: float
    aligned: bool

    @property
    def ceiling_db(self) -> float:
        """Return the frame's upper end."""
        return self.top_db + (HEAD_DB if self.aligned else FOOT_DB)


def portrait_chart(reading: Reading) -> alt.TopLevelMixin:
    """Return the portrait picture.

    The interval from unlocking to drop is dimensioned where the portrait carries an amplitude;
    otherwise the picture says why it does not. Impulse is named only where both sides show it.

    Raises
    ------
    NotEnough : neither side has enough beats for a portrait
    """
    portraits = reading.heard.portraits
    if not any(portraits):
        raise NotEnough("too few beats for a portrait")
    try:
        lift, reason = lift_of(reading), ""
    except NotEnough as why:
        lift, reason = None, str(why)
    zeros_s = [unlocking_s(each, lift) for each in portraits]
    window_ms = window_of(portraits, lift)
    traces = [
        trace_of(each, zero, window_ms) for each, zero in zip(portraits, zeros_s, strict=True)
    ]
    top_db = max(float(trace.level_db.max(initial=10.0)) for trace in traces)
    frame = PortraitFrame(window_ms=window_ms, top_db=top_db, aligned=lift is not None)
    layers = [*sounds(traces, frame), *floor(frame)]
    if lift is not None:
        layers += [*dimension(lift, reading, frame), *noise_names(lift, frame)]
    said = captions(reading, reason)
    lines = [line for each in said for line in textwrap.wrap(each, LINE_LETTERS)]
    title = alt.TitleParams("Portrait", subtitle=lines)
    drawing = alt.layer(*layers, description="Portrait: " + "; ".join(said))
    return house(drawing.properties(width=WIDTH, height=HEIGHT, title=title))


def unlocking_s(portrait: Template | None, lift: Lift | None) -> float:
    """Return what counts as 0 on the time axis: unlocking where it is seen, else the arrival."""
    if portrait is None or lift is None:
        return 0.0
    return float(portrait.onsets.unlock_s[0])


def window_of(portraits: Sequence[Template | None], lift: Lift | None) -> tuple[float, float]:
    """Return the stretch of time drawn (ms): the tick and a little before and after it."""
    if lift is not None:
        return -BEFORE_MS, lift.time_s.value * 1e3 + AFTER_MS
    first, last = [], []
    for portrait in portraits:
        if portrait is not None:
            at_ms, power = binned(portrait)
            loud = at_ms[power >= max(LOUD_TIMES * portrait.noise, LOUD_SHARE * power.max())]
            first.append(float(loud[0]) if loud.size else float(at_ms[0]))
            last.append(float(loud[-1]) if loud.size else float(at_ms[-1]))
    return min(first) - BEFORE_MS, max(last) + BEFORE_MS


def binned(portrait: Template) -> tuple[Floats, Floats]:
    """Return times (ms after the arrival) and mean power of bins about `STEP_S` wide."""
    width = max(1, round(STEP_S / portrait.step_s))
    count = portrait.power.size // width
    power = portrait.power[: count * width].reshape(count, width).mean(axis=1, dtype=np.float64)
    at_s = portrait.start_s + (np.arange(count) + 0.5) * width * portrait.step_s
    smooth = np.convolve(power, SMOOTH, mode="same")
    return np.asarray(at_s * 1e3, np.float64), np.asarray(smooth, np.float64)


def trace_of(portrait: Template | None, zero: float, window_ms: tuple[float, float]) -> Trace:
    """Return one side as drawn; nothing for a side that was not heard."""
    if portrait is None:
        return Trace(at_ms=np.empty(0), level_db=np.empty(0))
    at_ms, power = binned(portrait)
    at_ms = at_ms - zero * 1e3
    inside = (at_ms >= window_ms[0]) & (at_ms <= window_ms[1])
    above = np.maximum(power[inside] / portrait.noise, 1e-9)
    return Trace(at_ms=at_ms[inside], level_db=np.maximum(10 * np.log10(above) + FLOOR_DB, 0))


def captions(reading: Reading, reason: str) -> list[str]:
    """Return the lines under the title: what is drawn, and why there is no amplitude."""
    counts = [0 if each is None else each.onsets.beats for each in reading.heard.portraits]
    lines = [f"the averaged sound of {counts[0]} ticks, above, and of {counts[1]} tocks, below"]
    long = len(reading.heard.notes) > 1
    if long:
        lines[0] += ", of the last half minute with a watch"
    if not (reason or reading.lift_angle_known):
        lines.append("the lift angle is the usual one; this watch's own is not known")
    if reason:
        lines.append(f"no lift interval is dimensioned: {reason}")
    if reading.amplitude_deg is not None and (reason or long):
        lines.append(f"over the whole recording the amplitude is {reading.amplitude_deg.text()}°")
    return lines


def time_axis(frame: PortraitFrame, field: str = "at:Q") -> alt.X:
    """Return the axis of time."""
    return alt.X(
        field,
        title=f"milliseconds after {'unlocking' if frame.aligned else 'the moment timed'}",
        scale=alt.Scale(domain=list(frame.window_ms), nice=False),
        axis=alt.Axis(grid=False, labelFlush=False, tickCount=6),
    )


def level_axis(frame: PortraitFrame, field: str = "level:Q") -> alt.Y:
    """Return the axis of level: upwards for tick, downwards for tock, 0 dB at the noise floor."""
    marks = np.arange(0, frame.top_db - FLOOR_DB + 0.1, 10) + FLOOR_DB
    return alt.Y(
        field,
        title="dB above the noise floor",
        scale=alt.Scale(domain=[-frame.top_db - FOOT_DB, frame.ceiling_db], nice=False),
        axis=alt.Axis(
            values=[*(-marks[::-1]).tolist(), *marks.tolist()],
            labelExpr=f"abs(datum.value) - {FLOOR_DB:g}",
        ),
    )


def sounds(traces: Sequence[Trace], frame: PortraitFrame) -> list[alt.Chart]:
    """Return tick, upright in ink, and tock, hanging in brass."""
    layers = []
    for trace, sign, colour, name in zip(
        traces, (1, -1), (INK, BRASS), ("tick", "tock"), strict=True
    ):
        level = (sign * trace.level_db).tolist()
        data = table(at=trace.at_ms.tolist(), level=level)
        area = alt.Chart(data).mark_area(
            color=colour, fillOpacity=0.16, line=alt.OverlayMarkDef(color=colour, strokeWidth=1.1)
        )
        layers.append(area.encode(x=time_axis(frame), y=level_axis(frame)))
        place = table(at=[frame.window_ms[1]], level=[sign * 0.8 * frame.top_db])
        text = alt.Chart(place).mark_text(
            text=name, align="right", dx=-12, font=SERIF, fontSize=17, fontStyle="italic", color=INK
        )
        layers.append(text.encode(x=time_axis(frame), y=level_axis(frame)))
    return layers


def floor(frame: PortraitFrame) -> list[alt.Chart]:
    """Return the fine rules of the noise floor on each side, and the middle line."""
    rules = alt.Chart(table(level=[-FLOOR_DB, FLOOR_DB]))
    middle = alt.Chart(table(level=[0.0]))
    note = alt.Chart(table(at=[frame.window_ms[1]], level=[FLOOR_DB]))
    return [
        rules.mark_rule(color=FADED, strokeWidth=0.8, strokeDash=[2, 3]).encode(
            y=level_axis(frame)
        ),
        middle.mark_rule(color=INK, strokeWidth=0.9).encode(y=level_axis(frame)),
        note.mark_text(
            text=["noise", "floor"],
            align="left",
            baseline="middle",
            dx=8,
            font=SERIF,
            fontSize=13,
            color=INK,
        ).encode(x=time_axis(frame), y=level_axis(frame)),
    ]


def dimension(lift: Lift, reading: Reading, frame: PortraitFrame) -> list[alt.Chart]:
    """Return the lift interval as on a technical drawing: extension lines, arrow heads, text."""
    end_ms = lift.time_s.value * 1e3
    high = frame.top_db + DIMENSION_DB
    base = alt.Chart(table(at=[0.0], end=[end_ms], level=[high]))
    lines = alt.Chart(table(at=[0.0, end_ms], low=[-frame.top_db] * 2, level=[high + 0.7] * 2))
    y = level_axis(frame)
    arrow = {"size": 240, "filled": True, "color": INK, "opacity": 1}
    return [
        lines.mark_rule(color=INK, strokeWidth=0.7).encode(
            x=time_axis(frame), y=level_axis(frame, "low:Q"), y2="level:Q"
        ),
        base.mark_rule(color=INK, strokeWidth=0.9).encode(x=time_axis(frame), x2="end:Q", y=y),
        base.mark_point(shape=POINTING_LEFT, **arrow).encode(x=time_axis(frame), y=y),
        base.mark_point(shape=POINTING_RIGHT, **arrow).encode(x=time_axis(frame, "end:Q"), y=y),
        base.mark_text(
            text=dimension_words(lift, reading),
            align="left",
            dy=-14,
            font=SERIF,
            fontSize=16,
            color=INK,
        ).encode(x=time_axis(frame), y=y),
    ]


def dimension_words(lift: Lift, reading: Reading) -> str:
    """Return what the dimension says."""
    angle = f"{reading.lift_angle_deg.value:g}°"
    swing = lift.amplitude_deg.text()
    return f"{lift.time_s.value * 1e3:.2f} ms = lift angle {angle}\u2002→\u2002{swing}°"


def noise_names(lift: Lift, frame: PortraitFrame) -> list[alt.Chart]:
    """Return the names of the noises at the extension lines, impulse only where it is found."""
    high = frame.top_db + NAMES_DB
    name = {"font": SERIF, "fontSize": 15, "fontStyle": "italic", "color": INK}
    x, y = time_axis(frame), level_axis(frame)
    end_ms = lift.time_s.value * 1e3
    unlocking = alt.Chart(table(at=[0.0], level=[high]))
    drop = alt.Chart(table(at=[end_ms], level=[high]))
    layers = [
        unlocking.mark_text(text="unlocking", align="right", dx=-7, **name).encode(x=x, y=y),
        drop.mark_text(text="drop", align="left", dx=7, **name).encode(x=x, y=y),
    ]
    place = impulse_ms(lift)
    if place is not None:
        impulse = alt.Chart(table(at=[place], level=[high], low=[-frame.top_db]))
        rule = impulse.mark_rule(color=FADED, strokeWidth=0.7, strokeDash=[6, 3])
        layers += [
            rule.encode(x=x, y=level_axis(frame, "low:Q"), y2="level:Q"),
            impulse.mark_text(text="impulse", align="left", dx=7, **name).encode(x=x, y=y),
        ]
    return layers
