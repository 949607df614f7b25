"""The house look of charts: a workshop drawing sheet. Warm paper, ink-blue lines, fine rules.

Brass is the one accent; ruby is kept for "stop, this will break something" and no chart of sound
needs it. Titles are serif; numbers stand in a sans serif whose figures all have one width.
"""

from collections.abc import Sequence

import altair as alt

PAPER = "#f6f0e2"
INK = "#1f2f4a"
BRASS = "#a5782b"
RUBY = "#9b1b30"
RULE = "#d9cfb8"
FADED = "#66708a"
"""Ink for what is said in passing; 4.4 to 1 on paper, enough for lines and large text."""

SERIF = "Georgia, 'Liberation Serif', 'DejaVu Serif', serif"
FIGURES = "'Liberation Sans', Arial, Helvetica, 'DejaVu Sans', sans-serif"

POINTING_UP = "M0,0L-0.28,1.1L0.28,1.1Z"
POINTING_DOWN = "M0,0L-0.28,-1.1L0.28,-1.1Z"
POINTING_LEFT = "M0,0L1.1,-0.28L1.1,0.28Z"
POINTING_RIGHT = "M0,0L-1.1,-0.28L-1.1,0.28Z"
"""Arrow heads of dimension lines; the tip is the point marked."""

WIDTH = 820
"""Width of a chart's frame (px) on paper; a page on a screen may set another."""


def house(chart: alt.TopLevelMixin) -> alt.TopLevelMixin:
    """Return the chart in the house look.

    A screen reader gets the chart's description, not a thousand points.
    """
    axis = alt.AxisConfig(
        domainColor=INK, domainWidth=0.8, gridColor=RULE, gridWidth=0.6, labelColor=INK,
        labelFont=FIGURES, labelFontSize=13, labelPadding=5, tickColor=INK, tickSize=4,
        tickWidth=0.8, titleColor=INK, titleFont=SERIF, titleFontSize=15, titleFontStyle="italic",
        titleFontWeight="normal", titlePadding=10,
    )  # fmt: skip
    title = alt.TitleConfig(
        anchor="start", color=INK, font=SERIF, fontSize=22, fontWeight="normal", offset=14,
        subtitleColor=INK, subtitleFont=SERIF, subtitleFontSize=15, subtitleLineHeight=21,
        subtitlePadding=8,
    )  # fmt: skip
    legend = alt.LegendConfig(
        labelColor=INK, labelFont=SERIF, labelFontSize=15, orient="top", direction="horizontal",
        title=None, offset=6, symbolSize=90, columnPadding=22, padding=0,
    )  # fmt: skip
    return chart.configure(
        axis=axis, background=PAPER, font=SERIF, legend=legend, padding=18, title=title,
        mark=alt.MarkConfig(aria=False),
        view=alt.ViewConfig(stroke=None),
    )  # fmt: skip


def table(**columns: Sequence[object]) -> alt.InlineData:
    """Return columns of equal length as data for a chart.

    Examples
    --------
    >>> table(beat=[1, 2], side=["tick", "tock"]).values
    [{'beat': 1, 'side': 'tick'}, {'beat': 2, 'side': 'tock'}]
    """
    rows = zip(*columns.values(), strict=True)
    return alt.InlineData(values=[dict(zip(columns, row, strict=True)) for row in rows])
