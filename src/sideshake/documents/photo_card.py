"""The card for photographs on paper: three sizes to be cut out, and two lines to be measured.

Dots and lines are pure black, not the ink of our papers: printers screen a colour, and the edge of
a screened dot is rough.
"""

from datetime import date

from sideshake.documents.blocks import Paper
from sideshake.documents.typeset import Sheet
from sideshake.photo.card import HALF_SIDE, LINE_MM, ScaleCardSize, dots

WIDE_MM, HIGH_MM = 180.0, 232.0
"""What fits on A4 and on US Letter."""
ACROSS_AT, ALONG_AT = (40.0, 150.0), (8.0, 130.0)
"""Where the two lines begin, mm from the upper left."""
TICK_MM = 4.0
CARDS = (
    (ScaleCardSize.LARGE, 51.5, 51.5),
    (ScaleCardSize.MIDDLE, 133.0, 26.0),
    (ScaleCardSize.MIDDLE, 133.0, 77.5),
    *((ScaleCardSize.SMALL, 10.3 + 26.0 * place, 118.0) for place in range(7)),
)
"""Each card's size and its middle, mm from the upper left."""
STEPS = (
    "Print at 100 %, not fitted to the page, on matt white paper or card. Glue it flat on thin "
    "metal or stiff card, and cut out along the fine lines, window and all.",
    "Measure both lines with a calliper, from the outer edge of one tick to the outer edge of the "
    "other. Do it once for each printer and paper; give both with every photograph.",
    "Lay the card so that its printed side lies as high as the rim of the hole, round the hole or "
    "beside it: shim it with paper (a sheet of 80 g/m² is 0.1 mm). At 60 mm from the lens 0.1 mm "
    "costs 0.17 %: of all errors the largest.",
    "Take the photograph square on, from as far as the lens still shows the hole large, in the "
    "ordinary mode, without digital zoom. All dots must be in the picture, and nothing burnt out.",
)


def photo_card_sheet(*, day: date, paper: Paper = Paper.A4) -> Sheet:
    """Return the sheet of cards ready for setting."""
    return Sheet(
        template="photo_card.typ",
        day=day,
        said={"paper": paper.value, "width": WIDE_MM, "steps": list(STEPS)},
        pictures={"cards.svg": cards_svg().encode()},
    )


def cards_svg() -> str:
    """Return all cards and both lines as one picture in millimetres."""
    drawn = "".join(card_svg(size, x, y) for size, x, y in CARDS) + lines_svg()
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE_MM:g}mm" height="{HIGH_MM:g}mm" '
        f'viewBox="0 0 {WIDE_MM:g} {HIGH_MM:g}">{drawn}</svg>'
    )


def card_svg(size: ScaleCardSize, x_mm: float, y_mm: float) -> str:
    """Return one card round its middle: dots, where to cut, and how wide its window is."""
    half = size.value / 2 * HALF_SIDE
    cut = 'fill="none" stroke="#8a8a8a" stroke-width="0.1"'
    ink = "".join(
        f'<circle cx="{x_mm + dot.x_mm:.4f}" cy="{y_mm - dot.y_mm:.4f}" r="{dot.radius_mm:.4f}"/>'
        for dot in dots(size)
    )
    return (
        f'<rect x="{x_mm - half:g}" y="{y_mm - half:g}" width="{2 * half:g}" '
        f'height="{2 * half:g}" {cut}/>'
        f'<circle cx="{x_mm:g}" cy="{y_mm:g}" r="{size.value / 2:g}" {cut}/>'
        f'<g fill="#000">{ink}</g>'
        f'<text x="{x_mm + 0.93 * half:.2f}" y="{y_mm + 0.95 * half:.2f}" text-anchor="end" '
        f'font-family="Libertinus Serif" font-size="{0.06 * size.value + 1.2:.2f}" '
        f'fill="#000">{size.value:g}</text>'
    )


def lines_svg() -> str:
    """Return the two lines of 100 mm with a tick at each end, outer edge to outer edge."""
    (x, y), (u, v) = ACROSS_AT, ALONG_AT
    marks = (
        bar(x, y - 0.1, LINE_MM, 0.2),
        bar(x, y - TICK_MM / 2, 0.2, TICK_MM),
        bar(x + LINE_MM - 0.2, y - TICK_MM / 2, 0.2, TICK_MM),
        bar(u - 0.1, v, 0.2, LINE_MM),
        bar(u - TICK_MM / 2, v, TICK_MM, 0.2),
        bar(u - TICK_MM / 2, v + LINE_MM - 0.2, TICK_MM, 0.2),
    )
    words = 'font-family="Libertinus Serif" font-size="4" fill="#000"'
    return (
        f'<g fill="#000">{"".join(marks)}</g>'
        f'<text x="{x + 3:g}" y="{y - 2:g}" {words}>across: drawn {LINE_MM:g} mm long</text>'
        f'<text transform="translate({u + 4:g} {v + LINE_MM - 3:g}) rotate(-90)" {words}>'
        f"along: drawn {LINE_MM:g} mm long</text>"
    )


def bar(x: float, y: float, wide: float, high: float) -> str:
    """Return a black bar."""
    return f'<rect x="{x:g}" y="{y:g}" width="{wide:g}" height="{high:g}"/>'
