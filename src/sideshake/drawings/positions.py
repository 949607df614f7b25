"""The picture of a round: rate and amplitude by position, each with its 95 % interval.

One round, or two laid over each other: before and after, full wind and 24 h, chronograph off and
on. The first is a dot, the second an open diamond, so that it can be read without colour.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import altair as alt

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.drawings.attitudes import COLUMN, GAP_AT, column_axis, head
from sideshake.drawings.style import (
    BRASS,
    FIGURES,
    INK,
    PAPER,
    POINTING_DOWN,
    POINTING_UP,
    RULE,
    SERIF,
    WIDTH,
    house,
    table,
)
from sideshake.timing.positions.summary import (
    HANGING,
    LYING,
    Figures,
    HeardRound,
    Position,
    Summary,
    rates_of,
    summary,
    swings_of,
)

SHAPES = ("circle", "diamond")
MARKS = ("●", "◊")
"""The same two in words; these signs stand in the fonts that have the letters."""
HEIGHTS = {"rate": 270, "amplitude": 190}
ASIDE = 0.13
"""How far two rounds stand left and right of the column's middle, in columns."""
LEAST_SPAN = {"rate": 6.0, "amplitude": 40.0}
"""The frame spans at least this much (s a day, degrees), so that nothing is made of noise."""
LEAST_DIMENSION = 0.16
"""A smaller part of the frame leaves no room for a dimension's arrows and figure."""
FAR_FROM_0 = 1.5
"""The rate's frame holds 0, unless the rates lie this many times their span away from it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnRound:
    """A round to draw, its name in the legend, and whether its readings with chronograph on."""

    name: str
    heard: HeardRound
    chronograph_on: bool = False

    @property
    def counted(self) -> HeardRound:
        """Return the round of just the readings drawn."""
        chosen = self.heard.latest(chronograph_on=self.chronograph_on).values()
        return replace(
            self.heard, readings=tuple(replace(each, chronograph_on=False) for each in chosen)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One figure of each round: its name, unit, values by position, means lying and hanging.

    `change` : hanging minus lying in the first round
    """

    kind: str
    unit: str
    names: tuple[str, ...]
    figures: tuple[Figures, ...]
    means: tuple[tuple[Measured | None, Measured | None], ...]
    change: Measured | None
    signed: bool


def positions_chart(rounds: Sequence[DrawnRound]) -> alt.TopLevelMixin:
    """Return rate and amplitude by position, lying left, hanging right, of one or two rounds.

    Bars are 95 % intervals; those of the rates leave out the sound clock's share, which moves all
    alike. Fine rules are the means lying and hanging.

    Raises
    ------
    InputError : no round, more than two, or two with the same name
    NotEnough : neither a rate nor an amplitude in any position
    """
    names = tuple(each.name for each in rounds)
    if not 1 <= len(names) <= 2 or len(set(names)) < len(names):
        raise InputError(f"one round or two with different names are drawn, got {list(names)}")
    counted = [each.counted for each in rounds]
    said = [summary(each) for each in counted]
    panels = [each for each in panels_of(names, counted, said) if any(each.figures)]
    if not panels:
        raise NotEnough("neither a rate nor an amplitude was heard in any position")
    lines = captions(names, counted, said)
    return house(
        alt.vconcat(
            head(), *(drawn(each) for each in panels), spacing=10,
            title=alt.TitleParams("Positions", subtitle=lines),
            description="Rate and amplitude by position: " + "; ".join(lines),
        )
    )  # fmt: skip


def panels_of(
    names: tuple[str, ...], counted: Sequence[HeardRound], said: Sequence[Summary]
) -> Iterator[Panel]:
    """Yield the panel of the rates and that of the amplitudes."""
    heard = [each.latest() for each in counted]
    fall = said[0].fall_deg
    yield Panel(
        kind="rate", unit="s a day", names=names, signed=True,
        figures=tuple(rates_of(each) for each in heard),
        means=tuple((each.lying_s_per_day, each.hanging_s_per_day) for each in said),
        change=said[0].hanging_minus_lying_s_per_day,
    )  # fmt: skip
    yield Panel(
        kind="amplitude", unit="°", names=names, signed=False,
        figures=tuple(swings_of(each) for each in heard),
        means=tuple((each.lying_deg, each.hanging_deg) for each in said),
        change=fall and Measured(-fall.value, fall.u),
    )  # fmt: skip


def captions(
    names: Sequence[str], counted: Sequence[HeardRound], said: Sequence[Summary]
) -> list[str]:
    """Return the lines under the title: what is drawn, then the figures of each round."""
    lines = ["bars: 95 % intervals; fine rules: means lying and hanging"]
    clock = max(each.clock_u_s_per_day for each in counted)
    if clock > 0:
        within = Measured(0.0, clock).text().partition("± ")[2]
        lines.append(
            f"the sound clock may move all rates together by {within} s a day; bars leave it out"
        )
    for mark, name, each in zip(MARKS, names, said, strict=False):
        lines += [f"{mark} {name}: {figure}" for figure in round_words(each)]
    return lines


def round_words(said: Summary) -> list[str]:
    """Return a round's rates in one line and its amplitudes in another, of what there is."""
    mean, change = said.mean_s_per_day, said.hanging_minus_lying_s_per_day
    rates = [
        mean and f"mean {mean.text(sign=True)} ({len(said.rates_in)} positions)",
        change and f"hanging minus lying {change.text(sign=True)}",
    ]
    if said.spread is not None:
        ends = f"{said.spread.smallest} to {said.spread.largest}"
        rates.append(f"spread {said.spread.value.text()} ({ends})")
    swings = [
        each and f"{name} {each.text()}°"
        for name, each in (("lying", said.lying_deg), ("hanging", said.hanging_deg),
                           ("fall", said.fall_deg))
    ]  # fmt: skip
    told = [" · ".join(each for each in group if each) for group in (rates, swings)]
    return [f"{told[0]} s a day"] * bool(told[0]) + [f"swings {told[1]}"] * bool(told[1])


def drawn(panel: Panel) -> alt.LayerChart:
    """Return one panel: frame, means, bars, points and their figures."""
    layers = [*ground(panel), *mean_rules(panel), *points(panel), *difference(panel)]
    return alt.layer(*layers).properties(width=WIDTH, height=HEIGHTS[panel.kind])


def frame(panel: Panel) -> tuple[float, float]:
    """Return where the axis begins and ends: all bars, some room, and 0 unless that is far off."""
    ends = [end for group in panel.figures for each in group.values()
            for end in (each.value - each.expanded, each.value + each.expanded)]  # fmt: skip
    low, high = min(ends), max(ends)
    span = max(high - low, LEAST_SPAN[panel.kind])
    if panel.signed and min(abs(low), abs(high)) < FAR_FROM_0 * span:
        low, high = min(low, 0.0), max(high, 0.0)
    room = max(0.12 * (high - low), (LEAST_SPAN[panel.kind] - (high - low)) / 2)
    return low - room, high + room


def value_axis(panel: Panel, field: str = "value:Q") -> alt.Y:
    """Return the axis of the panel's figure; gains stand above 0 with their sign."""
    shown = alt.Axis(
        title=f"{panel.kind}, {panel.unit}",
        tickCount=6 if panel.signed else 4,
        format="+~r" if panel.signed else "~r",
        labelExpr="datum.value === 0 ? '0' : datum.label",
    )
    return alt.Y(field, axis=shown, scale=alt.Scale(domain=list(frame(panel)), nice=False))


def ground(panel: Panel) -> list[alt.Chart]:
    """Return a fine upright rule in each column, and the line where it keeps time."""
    data = alt.Chart(table(at=list(COLUMN.values())))
    layers = [data.mark_rule(color=RULE, strokeWidth=0.6).encode(x=column_axis())]
    low, high = frame(panel)
    if panel.signed and low < 0 < high:
        even = alt.Chart(table(value=[0.0])).mark_rule(color=INK, strokeWidth=0.9)
        layers.append(even.encode(y=value_axis(panel)))
    return layers


def aside(panel: Panel, number: int) -> float:
    """Return how far right of the column's middle a round stands."""
    return 0.0 if len(panel.names) == 1 else ASIDE * (2 * number - 1)


def mean_rules(panel: Panel) -> list[alt.Chart]:
    """Return the means as fine rules over their columns; the second round's are dashed."""
    rules = []
    for number, pair in enumerate(panel.means):
        for group, mean in zip((LYING, HANGING), pair, strict=True):
            if mean is None or sum(p in panel.figures[number] for p in group) < 2:
                continue
            data = table(
                at=[COLUMN[group[0]] - 0.38], to=[COLUMN[group[-1]] + 0.38], value=[mean.value]
            )
            mark = alt.Chart(data).mark_rule(
                color=(INK, BRASS)[number], strokeWidth=1.2, strokeDash=([], [7, 4])[number]
            )
            rules.append(mark.encode(x=column_axis(), x2="to:Q", y=value_axis(panel)))
    return rules


def points(panel: Panel) -> list[alt.Chart]:
    """Return the bars, the points in two shapes, and a figure beside each."""
    names = list(panel.names)
    colours = alt.Scale(domain=names, range=[INK, BRASS][: len(names)])
    shapes = alt.Scale(domain=names, range=list(SHAPES)[: len(names)])
    fills = alt.Scale(domain=names, range=[INK, PAPER][: len(names)])
    base = alt.Chart(point_table(panel)).encode(x=column_axis())
    stroke = alt.Stroke("round:N", scale=colours, legend=None)
    bars = base.mark_rule(strokeWidth=1.6).encode(
        y=value_axis(panel, "low:Q"), y2="high:Q", stroke=stroke
    )
    marks = base.mark_point(size=95, strokeWidth=1.5, opacity=1).encode(
        y=value_axis(panel),
        stroke=stroke,
        shape=alt.Shape("round:N", scale=shapes, legend=None),
        fill=alt.Fill("round:N", scale=fills, legend=None),
        tooltip=[
            alt.Tooltip("position:N", title="position"),
            alt.Tooltip("round:N", title="round"),
            alt.Tooltip("said:N", title=panel.kind),
        ],
    )
    return [bars, marks, *figures(panel, base)]


def point_table(panel: Panel) -> alt.InlineData:
    """Return one row for each point drawn; the higher of two has its figure above its bar."""
    rows = [
        (number, position, each)
        for number, group in enumerate(panel.figures)
        for position, each in group.items()
    ]
    above = [number == higher_in(panel, position) for number, position, _ in rows]
    unit = "°" if panel.unit == "°" else f" {panel.unit}"
    ends = [(each.value - each.expanded, each.value + each.expanded) for _, _, each in rows]
    return table(
        at=[COLUMN[position] + aside(panel, number) for number, position, _ in rows],
        value=[each.value for _, _, each in rows],
        low=[low for low, _ in ends],
        high=[high for _, high in ends],
        above=above,
        figure_at=[high if up else low for (low, high), up in zip(ends, above, strict=True)],
        figure=[figure(each, signed=panel.signed) for _, _, each in rows],
        said=[f"{each.text(sign=panel.signed)}{unit}" for _, _, each in rows],
        round=[panel.names[number] for number, _, _ in rows],
        position=[f"{position}, {position.words}" for _, position, _ in rows],
    )


def higher_in(panel: Panel, position: Position) -> int:
    """Return which round has the larger value in a position; the first of equals."""
    heard = [number for number, group in enumerate(panel.figures) if position in group]
    return max(heard, key=lambda number: panel.figures[number][position].value)


def figure(value: Measured, *, signed: bool) -> str:
    """Return a value alone, rounded to what its uncertainty supports; its bar is drawn."""
    return value.text(sign=signed).partition(" ±")[0].replace("-", "−")


def figures(panel: Panel, base: alt.Chart) -> list[alt.Chart]:
    """Return the figures: right of the points of one round, above and below those of two."""
    look = alt.MarkDef(type="text", baseline="middle", font=FIGURES, fontSize=13)
    if len(panel.names) == 1:
        look.align, look.dx = "left", 10
    else:
        look.align, look.dy = "center", alt.expr("datum.above ? -11 : 12")
    field = "value:Q" if len(panel.names) == 1 else "figure_at:Q"
    return on_paper(base.encode(y=value_axis(panel, field), text="figure:N"), look)


def on_paper(base: alt.Chart, look: alt.MarkDef) -> list[alt.Chart]:
    """Return a text in ink with paper round its letters, so that no rule strikes it through."""
    said = look.to_dict()
    said.pop("type")
    halo = base.mark_text(**said, stroke=PAPER, strokeWidth=5, strokeJoin="round", color=PAPER)
    return [halo, base.mark_text(**said, color=INK)]


def difference(panel: Panel) -> list[alt.Chart]:
    """Return hanging minus lying dimensioned in the gap, as on a drawing, for a single round."""
    lying, hanging = panel.means[0]
    change = panel.change
    if len(panel.names) > 1 or lying is None or hanging is None or change is None:
        return []
    low, high = sorted((lying.value, hanging.value))
    bottom, top = frame(panel)
    if high - low < LEAST_DIMENSION * (top - bottom):
        return []
    data = table(at=[GAP_AT], low=[low], high=[high], middle=[(low + high) / 2])
    base = alt.Chart(data).encode(x=column_axis())
    ends = base.mark_point(size=150, filled=True, color=INK, opacity=1)
    value, _, within = change.text(sign=True).partition(" ± ")
    look = alt.MarkDef(
        type="text", align="left", baseline="middle", dx=8, dy=-8, font=SERIF, fontSize=14,
        text=[value, f"± {within}"] if within else value,
    )  # fmt: skip
    return [
        base.mark_rule(color=INK, strokeWidth=0.9).encode(
            y=value_axis(panel, "low:Q"), y2="high:Q"
        ),
        ends.encode(y=value_axis(panel, "low:Q"), shape=alt.value(POINTING_DOWN)),
        ends.encode(y=value_axis(panel, "high:Q"), shape=alt.value(POINTING_UP)),
        *on_paper(base.encode(y=value_axis(panel, "middle:Q")), look),
    ]
