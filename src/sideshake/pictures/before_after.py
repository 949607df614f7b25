"""The picture of before and after: each figure both times, with 95 % bars, and what changed.

Before is a hollow circle, after a full diamond, so that it reads without colour too.
"""

from collections.abc import Sequence

import altair as alt

from sideshake.pictures.style import BRASS, FADED, INK, PAPER, SERIF, house, table
from sideshake.quantities import Measured
from sideshake.timing.compare import Comparison
from sideshake.timing.difference import Difference, What

WHEN = ("before", "after")
SHAPES = ("circle", "diamond")
PANEL_WIDTH, ROW_HEIGHT = 400, 36
MARGIN = 0.08
"""Room beside the outermost bar, as a share of the frame."""
FROM_ZERO = (What.RATE, What.BEAT_ERROR)
"""Figures whose frame holds 0, for that is what they should be."""
LONGEST_LABEL = 250
MEANING = (
    "bars: 95 % interval of each figure; right: what has changed, after minus before",
    "a bar also holds what both have in common, such as one clock's error; the change does not",
)


def before_after_chart(compared: Comparison) -> alt.TopLevelMixin:
    """Return the picture: a panel for each figure, a row in it for each position."""
    panels = [
        panel(what, rows)
        for what in What
        if (rows := [each for each in compared.differences if each.what is what])
    ]
    said = "; ".join(each.sentence for each in compared.differences)
    title = alt.TitleParams("Before and after", subtitle=list(MEANING))
    drawing = alt.vconcat(*panels, spacing=18, title=title, description=f"Before and after: {said}")
    return house(drawing)


def panel(what: What, rows: Sequence[Difference]) -> alt.LayerChart:
    """Return the panel of one figure."""
    frame = frame_of(what, rows)
    layers = [*zero_line(what, frame), *marks(what, rows, frame), changes(rows)]
    return alt.layer(*layers).properties(width=PANEL_WIDTH, height=ROW_HEIGHT * len(rows))


def frame_of(what: What, rows: Sequence[Difference]) -> tuple[float, float]:
    """Return the two ends of the figure's axis."""
    values = [side for row in rows for side in (row.before, row.after)]
    low = min(each.value - each.expanded for each in values)
    high = max(each.value + each.expanded for each in values)
    if what in FROM_ZERO:
        low, high = min(low, 0.0), max(high, 0.0)
    room = MARGIN * ((high - low) or 1.0)
    return low - room, high + room


def value_axis(what: What, frame: tuple[float, float], field: str = "value:Q") -> alt.X:
    """Return the axis of the figure."""
    return alt.X(
        field,
        title=f"{what}, {what.unit.strip()}",
        scale=alt.Scale(domain=list(frame), nice=False),
        axis=alt.Axis(tickCount=6),
    )


def place_axis(rows: Sequence[Difference]) -> alt.Y:
    """Return the axis of the positions, in the order told."""
    axis = alt.Axis(title=None, labelLimit=LONGEST_LABEL, ticks=False, domain=False, grid=False)
    return alt.Y("place:N", sort=[row.place for row in rows], axis=axis)


def beside() -> alt.YOffset:
    """Return what sets before above after."""
    return alt.YOffset("when:N", sort=list(WHEN))


def zero_line(what: What, frame: tuple[float, float]) -> list[alt.Chart]:
    """Return a line where the figure should be."""
    if what not in FROM_ZERO:
        return []
    line = alt.Chart(table(value=[0.0])).mark_rule(color=INK, strokeWidth=0.9)
    return [line.encode(x=value_axis(what, frame))]


def marks(what: What, rows: Sequence[Difference], frame: tuple[float, float]) -> list[alt.Chart]:
    """Return the figures of both times, each with its bar."""
    sides: list[tuple[str, str, Measured]] = [
        (row.place, when, side)
        for row in rows
        for when, side in zip(WHEN, (row.before, row.after), strict=True)
    ]
    data = table(
        place=[place for place, _, _ in sides],
        when=[when for _, when, _ in sides],
        value=[side.value for _, _, side in sides],
        low=[side.value - side.expanded for _, _, side in sides],
        high=[side.value + side.expanded for _, _, side in sides],
        said=[side.text(sign=what is What.RATE) for _, _, side in sides],
    )
    base = alt.Chart(data).encode(y=place_axis(rows), yOffset=beside())
    colours = alt.Scale(domain=list(WHEN), range=[BRASS, INK])
    fills = alt.Scale(domain=list(WHEN), range=[PAPER, INK])
    bar = base.mark_rule(strokeWidth=1.6).encode(
        x=value_axis(what, frame, "low:Q"),
        x2="high:Q",
        stroke=alt.Stroke("when:N", scale=colours),
    )
    point = base.mark_point(size=110, strokeWidth=1.6, opacity=1).encode(
        x=value_axis(what, frame),
        shape=alt.Shape("when:N", scale=alt.Scale(domain=list(WHEN), range=list(SHAPES))),
        stroke=alt.Stroke("when:N", scale=colours),
        fill=alt.Fill("when:N", scale=fills),
        tooltip=[alt.Tooltip("when:N", title="heard"), alt.Tooltip("said:N", title=str(what))],
    )
    return [bar, point]


def changes(rows: Sequence[Difference]) -> alt.LayerChart:
    """Return what has changed, in words right of the frame; quieter where nothing can be told."""
    data = table(
        place=[row.place for row in rows],
        words=[change_words(row) for row in rows],
        real=[row.real for row in rows],
    )
    text = alt.Chart(data).mark_text(
        align="left", baseline="middle", dx=14, font=SERIF, fontSize=14
    )
    return text.encode(
        x=alt.value(PANEL_WIDTH),
        y=place_axis(rows),
        text="words:N",
        color=alt.condition("datum.real", alt.value(INK), alt.value(FADED)),
    )


def change_words(row: Difference) -> str:
    """Return the change with its 95 % interval and what it means."""
    return f"{row.change.text(sign=True)}{row.what.unit}: {row.turn}"
