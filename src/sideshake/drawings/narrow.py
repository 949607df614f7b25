"""The narrow sheet: 100 mm wide, so that its letters can be read on a telephone too.

Shown 358 px wide, as on a telephone of 390 px, its smallest letters are 12 px high.
"""

from collections.abc import Iterator

from sideshake.drawings.shapes import Circle, DrawnLine, Fill, Shape, ShapeRole, Text, paragraph
from sideshake.wording import gettext as _
from sideshake.wording import noop

WIDTH, EDGE = 100.0, 4.0
HEADING, NOTE, SMALL = 4.8, 3.7, 3.5
"""Heights of letters (mm): the title, sentences, figures at a scale.

Two such sheets stand side by side on A4, 81 mm wide each: 3.5 mm are 8 pt there.
"""
LEADING = 1.35
BETWEEN = 0.5
"""Between two sentences, of a letter's height."""
STEMS = {0: ShapeRole.OUTLINE, 1: ShapeRole.DIMENSION}
FILLS = {0: Fill.INK, 1: Fill.NONE}
"""A tick's stem is thick and its head full, a tock's thin and open: by more than colour."""
HEAD = 0.85
SIDES = (noop("tick"), noop("tock"))


def heading(words: str, sheet_height: float) -> Text:
    """Return the title at the top of the sheet."""
    return Text(at=(EDGE, sheet_height - EDGE - HEADING), words=words, height=HEADING, heading=True)


def sides_key(y: float, *, heads: bool = True) -> Iterator[Shape]:
    """Yield how a tick and a tock are drawn."""
    middle = y + 0.36 * NOTE
    for side, x in ((0, 56.0), (1, 77.0)):
        yield DrawnLine(start=(x, middle), end=(x + 5.0, middle), role=STEMS[side])
        if heads:
            yield Circle(
                centre=(x + 5.0 + HEAD, middle),
                radius=HEAD,
                role=ShapeRole.DIMENSION,
                fill=FILLS[side],
            )
        yield Text(at=(x + 8.0, y), words=_(SIDES[side]), height=NOTE)


def text_lines(said: list[str]) -> list[str]:
    """Return sentences broken into lines of the sheet's width, with an empty one between."""
    lines: list[str] = []
    for words in said:
        broken = paragraph(Text(at=(EDGE, 0.0), words=words, height=NOTE), WIDTH - 2 * EDGE)
        lines += [*([""] if lines else []), *(line.words for line in broken)]
    return lines


def text_height(lines: list[str]) -> float:
    """Return how much paper the lines take."""
    return NOTE * sum(LEADING if words else BETWEEN for words in lines)


def set_lines(lines: list[str], top: float) -> Iterator[Shape]:
    """Yield the lines below each other."""
    y = top
    for words in lines:
        y -= NOTE * (LEADING if words else BETWEEN)
        if words:
            yield Text(at=(EDGE, y), words=words, height=NOTE)
