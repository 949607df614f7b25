"""The head of a picture by position: which way the watch is held, drawn small, in each column.

Lying it is seen from the side, the dial as a thick line above or below; hanging it is seen from the
front, the crown as a stub. Columns stand lying left, hanging right in turn, with room between.
"""

import altair as alt

from sideshake.drawings.style import FIGURES, INK, SERIF, WIDTH, table
from sideshake.timing.positions.summary import HANGING, LYING, Position

COLUMN = {
    Position.CH: 0.0, Position.FH: 1.0,
    Position.H3: 2.5, Position.H6: 3.5, Position.H9: 4.5, Position.H12: 5.5,
}  # fmt: skip
GAP_AT = 1.75
"""The middle between the lying and the hanging columns."""
ENDS = (-0.55, 6.05)
HEIGHT = 93

RING = "M-0.75,0A0.75,0.75,0,1,1,0.75,0A0.75,0.75,0,1,1,-0.75,0Z"
CROWN = {
    Position.H3: "M-0.16,-0.78L-0.16,-1.05L0.16,-1.05L0.16,-0.78",
    Position.H6: "M-0.78,-0.16L-1.05,-0.16L-1.05,0.16L-0.78,0.16",
    Position.H9: "M-0.16,0.78L-0.16,1.05L0.16,1.05L0.16,0.78",
    Position.H12: "M0.78,-0.16L1.05,-0.16L1.05,0.16L0.78,0.16",
}
TWELVE = {
    Position.H3: "M-0.75,0L-0.4,0",
    Position.H6: "M0,0.75L0,0.4",
    Position.H9: "M0.75,0L0.4,0",
    Position.H12: "M0,-0.75L0,-0.4",
}
"""A stroke at 12 o'clock, so that the eye finds the top of the dial."""
CASE = "M-0.9,-0.22L0.9,-0.22L0.9,0.22L-0.9,0.22L-0.9,-0.22M0.9,-0.08L1.1,-0.08L1.1,0.08L0.9,0.08"
DIAL = {
    Position.CH: "M-0.62,-0.22L-0.62,-0.36L0.62,-0.36L0.62,-0.22",
    Position.FH: "M-0.62,0.22L-0.62,0.36L0.62,0.36L0.62,0.22",
}


def sign_of(position: Position) -> str:
    """Return the outline of a watch held so; the mark's size scales it."""
    if position.lying:
        return CASE + DIAL[position]
    return RING + CROWN[position] + TWELVE[position]


def head(positions: tuple[Position, ...] = tuple(Position)) -> alt.LayerChart:
    """Return the head: a small watch, the symbol of ISO 3158 and plain words in each column."""
    base = alt.Chart(
        table(
            at=[COLUMN[p] for p in positions],
            symbol=[p.value for p in positions],
            words=[p.words for p in positions],
            sign=[sign_of(p) for p in positions],
            y=[0.0] * len(positions),
        )
    ).encode(x=column_axis())
    signs = base.mark_point(size=620, stroke=INK, strokeWidth=1.1, filled=False, opacity=1).encode(
        shape=alt.Shape("sign:N", scale=None), y=alt.value(38)
    )
    symbols = base.mark_text(font=FIGURES, fontSize=14, color=INK, baseline="top").encode(
        text="symbol:N", y=alt.value(59)
    )
    words = base.mark_text(font=SERIF, fontSize=14, color=INK, baseline="top").encode(
        text="words:N", y=alt.value(77)
    )
    return alt.layer(*groups(), signs, symbols, words).properties(width=WIDTH, height=HEIGHT)


def groups() -> list[alt.Chart]:
    """Return the words "lying" and "hanging", each over a fine rule across its columns."""
    data = table(
        at=[COLUMN[group[0]] - 0.42 for group in (LYING, HANGING)],
        to=[COLUMN[group[-1]] + 0.42 for group in (LYING, HANGING)],
        name=["lying", "hanging"],
    )
    base = alt.Chart(data)
    rules = base.mark_rule(color=INK, strokeWidth=0.7).encode(
        x=column_axis(), x2="to:Q", y=alt.value(13)
    )
    names = base.mark_text(
        align="left", baseline="bottom", color=INK, font=SERIF, fontSize=15, fontStyle="italic"
    ).encode(x=column_axis(), text="name:N", y=alt.value(10))
    return [rules, names]


def column_axis(field: str = "at:Q") -> alt.X:
    """Return the common axis of the columns; the head names them, so it has no figures."""
    return alt.X(field, axis=None, scale=alt.Scale(domain=list(ENDS), nice=False))
