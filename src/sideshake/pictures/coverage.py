"""The curve of cost against coverage for a batch of jewels."""

import altair as alt
import vl_convert

from sideshake.fit.batch import Batch
from sideshake.pictures.svg import BRASS, INK, PAPER

WIDTH, HEIGHT = 520, 320


def coverage_chart(curve: tuple[Batch, ...]) -> str:
    """Return the chart as SVG: what share of the repairs a sum of money serves."""
    rows = [
        {"cost": each.cost, "served": 100 * each.coverage, "sizes": str(len(each.sizes))}
        for each in curve
    ]
    base = alt.Chart(alt.Data(values=rows)).encode(
        x=alt.X("cost:Q", title="cost of the batch", scale=alt.Scale(zero=True)),
        y=alt.Y("served:Q", title="repairs served, %", scale=alt.Scale(domain=[0, 100])),
    )
    line = base.mark_line(color=INK, interpolate="step-after", strokeWidth=1.5)
    points = base.mark_point(color=BRASS, filled=True, size=60, opacity=1)
    names = base.mark_text(color=INK, dy=12, dx=10, font="serif").encode(text="sizes:N")
    title = alt.Title(
        "Jewels to have made", subtitle="the number at each point is how many sizes", anchor="start"
    )
    chart = (line + points + names).properties(width=WIDTH, height=HEIGHT, title=title)
    return str(vl_convert.vegalite_to_svg(house_style(chart).to_dict()))


def house_style(chart: alt.LayerChart) -> alt.LayerChart:
    """Return the chart on warm paper with ink-blue lines and serif headings."""
    styled = chart.configure(background=PAPER, padding=20).configure_view(stroke=None)
    axis = {"labelColor": INK, "titleColor": INK, "gridColor": "#ded3ba", "domainColor": INK}
    titled = styled.configure_axis(**axis, tickColor=INK, titleFontWeight="normal")
    return titled.configure_title(
        color=INK, subtitleColor=INK, font="serif", fontSize=20, fontWeight="normal"
    )
