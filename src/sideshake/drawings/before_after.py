"""The picture of before and after: each figure both times, with 95 % bars, and what changed.

Before is a hollow circle, after a full diamond, so that it reads without colour too.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from sideshake.core.quantities import Measured
from sideshake.drawings.axes import round_step
from sideshake.drawings.narrow import (
    EDGE,
    HEADING,
    NOTE,
    SMALL,
    WIDTH,
    heading,
    set_lines,
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
    within,
)
from sideshake.timing.compare.difference import ComparedFigure, Difference
from sideshake.wording import figures, noop
from sideshake.wording import gettext as _

LEFT, RIGHT = 8.0, 92.0
NAME, BAR, ROW = 11.2, 3.0, 17.4
"""From a row's top past its two lines of words, from bar to bar, and the whole row (mm)."""
AXIS, BLOCK = 8.6, 7.2
"""Under the rows of a figure, and above them."""
MARK = 1.1
MARGIN = 0.08
"""Room beside the outermost bar, as a share of the frame."""
FROM_ZERO = (ComparedFigure.RATE, ComparedFigure.BEAT_ERROR)
"""Figures whose frame holds 0, for that is what they should be."""
MOST_MARKS = 5
MEANING = noop(
    "Open circle: before. Full diamond: after. Bars: 95\u00a0% interval. An error that both have "
    "in common, such as that of one clock, is in the bars and not in the change."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureBlock:
    """The rows of one figure: where its frame ends, and where its top lies on the sheet (mm)."""

    what: ComparedFigure
    rows: tuple[Difference, ...]
    low: float
    high: float
    top: float

    def x(self, value: float) -> float:
        """Return where a value lies."""
        return LEFT + (value - self.low) / (self.high - self.low) * (RIGHT - LEFT)

    @property
    def bottom(self) -> float:
        """Return where its axis lies."""
        return self.top - BLOCK - ROW * len(self.rows)


def before_after_drawing(differences: Sequence[Difference]) -> Drawing:
    """Return the picture: a block for each figure, a row in it for each position."""
    lines, groups = text_lines([_(MEANING)]), by_figure(differences)
    blocks_mm = sum(BLOCK + AXIS + ROW * len(rows) for _, rows in groups)
    height = HEADING + 2 * EDGE + blocks_mm + text_height(lines) + 2 * EDGE
    top = height - HEADING - 2 * EDGE
    shapes: list[Shape] = [heading(_("Before and after"), height)]
    for what, rows in groups:
        low, high = frame_of(what, rows)
        block = FigureBlock(what=what, rows=rows, low=low, high=high, top=top)
        shapes += block_shapes(block)
        top = block.bottom - AXIS
    shapes += set_lines(lines, top)
    said = " ".join(each.sentence for each in differences)
    return Drawing(
        title=_("Before and after"),
        width=WIDTH,
        height=height,
        shapes=tuple(shapes),
        description=said,
    )


def figure_drawing(rows: Sequence[Difference]) -> Drawing:
    """Return the block of one figure alone, without title and without the meaning of its signs."""
    what = rows[0].what
    height = 2 * EDGE + BLOCK + ROW * len(rows) + AXIS
    low, high = frame_of(what, rows)
    block = FigureBlock(what=what, rows=tuple(rows), low=low, high=high, top=height - EDGE)
    return Drawing(
        title=_("{what}, before and after").format(what=_(what)),
        width=WIDTH,
        height=height,
        shapes=tuple(block_shapes(block)),
        description=" ".join(each.sentence for each in rows),
    )


def by_figure(
    differences: Sequence[Difference],
) -> list[tuple[ComparedFigure, tuple[Difference, ...]]]:
    """Return the differences of each figure, in their order."""
    return [(what, tuple(rows)) for what, rows in groupby(differences, lambda each: each.what)]


def frame_of(what: ComparedFigure, rows: Sequence[Difference]) -> tuple[float, float]:
    """Return the two ends of the figure's axis."""
    values = [side for row in rows for side in (row.before, row.after)]
    low = min(each.value - each.expanded for each in values)
    high = max(each.value + each.expanded for each in values)
    if what in FROM_ZERO:
        low, high = min(low, 0.0), max(high, 0.0)
    room = MARGIN * ((high - low) or 1.0)
    return low - room, high + room


def block_shapes(block: FigureBlock) -> Iterator[Shape]:
    """Yield the rows of one figure above their axis."""
    what = block.what
    words = f"{_(what)}, {what.unit.strip()}"
    yield Text(at=(EDGE, block.top - NOTE), words=words, height=NOTE, heading=True)
    yield from axis(block)
    for number, row in enumerate(block.rows):
        yield from row_shapes(block, row, block.top - BLOCK - ROW * number)


def axis(block: FigureBlock) -> Iterator[Shape]:
    """Yield the scale under the rows."""
    y = block.bottom
    yield DrawnLine(start=(LEFT, y), end=(RIGHT, y), role=ShapeRole.DIMENSION)
    step = round_step((block.high - block.low) * 8 / MOST_MARKS)
    first = -int(-block.low // step)
    for count in range(first, int(block.high // step) + 1):
        x = block.x(count * step)
        yield DrawnLine(start=(x, y), end=(x, y + 1.4), role=ShapeRole.DIMENSION)
        figure = figures(f"{count * step:.10g}".replace("-", "−"))
        yield Text(at=(x, y - 4.6), words=figure, height=SMALL, anchor=Anchor.MIDDLE)


def row_shapes(block: FigureBlock, row: Difference, top: float) -> Iterator[Shape]:
    """Yield a position's name, what has changed, its two bars, and where the figure should be."""
    y, room = top - 0.75 * SMALL, WIDTH - 2 * EDGE
    yield within(Text(at=(EDGE, y), words=row.place, height=SMALL), room, least=SMALL)
    yield within(
        Text(at=(EDGE, y - 1.4 * SMALL), words=change_words(row), height=SMALL), room, least=SMALL
    )
    if row.what in FROM_ZERO:
        zero, foot = block.x(0.0), top - NAME - BAR - 2.0
        yield DrawnLine(start=(zero, foot), end=(zero, top - NAME + 2.0), role=ShapeRole.DIMENSION)
    signed = row.what is ComparedFigure.RATE
    for when, side, at, full in (
        (_("before"), row.before, top - NAME, False),
        (_("after"), row.after, top - NAME - BAR, True),
    ):
        figure = figures(f"{side.text(sign=signed)}{row.what.unit}")
        words = _("{when}: {figure}").format(when=when, figure=figure)
        yield Named(words=words, shapes=tuple(bar(block, side, at, full=full)))


def bar(
    block: FigureBlock, side: Measured, y: float, *, full: bool
) -> Iterator[DrawnLine | Circle | Polyline]:
    """Yield the 95 % interval and the mark of the value."""
    low, value, high = (
        block.x(each)
        for each in (side.value - side.expanded, side.value, side.value + side.expanded)
    )
    if value - low > MARK:
        yield DrawnLine(start=(low, y), end=(value - MARK, y), role=ShapeRole.OUTLINE)
        yield DrawnLine(start=(value + MARK, y), end=(high, y), role=ShapeRole.OUTLINE)
    if full:
        points: tuple[Point, ...] = (
            (value - 1.3 * MARK, y), (value, y + 1.3 * MARK),
            (value + 1.3 * MARK, y), (value, y - 1.3 * MARK),
        )  # fmt: skip
        yield Polyline(points=points, role=ShapeRole.NONE, closed=True, fill=Fill.INK)
    else:
        yield Circle(centre=(value, y), radius=MARK, role=ShapeRole.OUTLINE)


def change_words(row: Difference) -> str:
    """Return the change with its 95 % interval and what it means."""
    change = figures(f"{row.change.text(sign=True)}{row.what.unit}")
    return _("{change}: {turn}").format(change=change, turn=_(row.turn))
