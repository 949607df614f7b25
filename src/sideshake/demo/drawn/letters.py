"""Letters and figures of single strokes, so that no font is needed: the same on every machine.

Each is drawn in a box ten high, top at 0; capitals only, a small letter is a smaller capital.
"""

from sideshake.demo.drawn.ink import Point

GLYPHS = {
    "A": (7.0, "M0 10L3.5 0L7 10M1.2 6.6H5.8"),
    "B": (6.0, "M0 0V10H3.4A2.7 2.7 0 0 0 3.4 4.6H0M3.2 4.6A2.3 2.3 0 0 0 3.2 0H0"),
    "C": (7.2, "M7.2 2A4.2 5 0 1 0 7.2 8"),
    "D": (7.4, "M0 0V10H2.4A5 5 0 0 0 2.4 0Z"),
    "E": (5.4, "M5.4 0H0V10H5.4M0 4.8H4.4"),
    "F": (5.2, "M5.2 0H0V10M0 4.8H4.2"),
    "G": (7.6, "M7 1.9A4.2 5 0 1 0 7.5 6.2H4.8"),
    "H": (7.0, "M0 0V10M7 0V10M0 4.8H7"),
    "I": (0.4, "M0.2 0V10"),
    "J": (4.0, "M4 0V7A2.1 2.9 0 0 1 0 8"),
    "K": (6.3, "M0 0V10M6 0L0 6M2.2 4L6.3 10"),
    "L": (5.0, "M0 0V10H5"),
    "M": (8.4, "M0 10V0L4.2 7L8.4 0V10"),
    "N": (7.0, "M0 10V0L7 10V0"),
    "O": (8.2, "M4.1 0A4.1 5 0 1 0 4.1 10A4.1 5 0 1 0 4.1 0"),
    "P": (6.2, "M0 10V0H3.4A2.8 2.8 0 0 1 3.4 5.6H0"),
    "Q": (8.2, "M4.1 0A4.1 5 0 1 0 4.1 10A4.1 5 0 1 0 4.1 0M5 7.4L8.2 10.6"),
    "R": (6.4, "M0 10V0H3.4A2.8 2.8 0 0 1 3.4 5.6H0M3 5.6L6.4 10"),
    "S": (5.8, "M5.5 1.7A2.7 2.4 0 1 0 3 4.8A2.8 2.6 0 1 1 0.2 8.1"),
    "T": (7.0, "M0 0H7M3.5 0V10"),
    "U": (6.6, "M0 0V6.6A3.3 3.4 0 0 0 6.6 6.6V0"),
    "V": (7.0, "M0 0L3.5 10L7 0"),
    "W": (10.0, "M0 0L2.6 10L5 2L7.4 10L10 0"),
    "X": (6.5, "M0 0L6.5 10M6.5 0L0 10"),
    "Y": (6.8, "M0 0L3.4 5L6.8 0M3.4 5V10"),
    "Z": (6.5, "M0 0H6.5L0 10H6.5"),
    "0": (6.0, "M3 0A3 5 0 1 0 3 10A3 5 0 1 0 3 0"),
    "1": (3.0, "M0.4 2L2.6 0V10"),
    "2": (5.8, "M0.1 2.6A2.8 2.7 0 1 1 5 4.4L0 10H5.8"),
    "3": (5.6, "M0.4 1.4A2.6 2.4 0 1 1 2.6 4.7A2.8 2.65 0 1 1 0.1 8.4"),
    "4": (6.0, "M4.4 10V0L0 7H6"),
    "5": (5.8, "M5.2 0H1L0.6 4.4A3 3 0 1 1 0.2 8.6"),
    "6": (6.0, "M4.8 0.4C1.5 1.6 0.1 4.5 0.1 7A2.9 3 0 1 0 5.9 7A2.8 2.8 0 0 0 0.3 6"),
    "7": (5.6, "M0 0H5.6L2 10"),
    "8": (5.8, "M2.9 4.6A2.3 2.3 0 1 1 2.9 0A2.3 2.3 0 1 1 2.9 4.6A2.8 2.7 0 1 0 2.9 10"
          "A2.8 2.7 0 1 0 2.9 4.6"),
    "9": (6.0, "M1.2 9.6C4.5 8.4 5.9 5.5 5.9 3A2.9 3 0 1 0 0.1 3A2.8 2.8 0 0 0 5.7 4"),
    "&": (6.6, "M6.5 10L1.6 3.2A1.9 1.9 0 1 1 4.4 2.6C3.8 4.4 0.2 5 0.2 7.6C0.2 10.6 5 11 6.3 6"),
    "-": (3.0, "M0 5.4H3"),
    "/": (4.0, "M0 10L4 0"),
    ".": (0.6, "M0.3 9.8V10"),
    ",": (0.8, "M0.5 9.6L0.1 11.2"),
    " ": (3.4, ""),
}  # fmt: skip
GAP = 2.6
SMALL = 0.78
"""A small letter's height, of a capital's."""
HEIGHT = 10.0


def known(text: str) -> list[tuple[str, float]]:
    """Return the letters we can draw, each with its size; others are left out."""
    return [
        (each.upper(), SMALL if each.islower() else 1.0) for each in text if each.upper() in GLYPHS
    ]


def width_of(text: str) -> float:
    """Return the width of a line of letters in units of a tenth of their height."""
    return sum(GLYPHS[each][0] * size + GAP for each, size in known(text)) - GAP


def writing(text: str, at: Point, *, height: float, colour: str, weight: float = 1.0) -> str:
    """Return a line of letters, its middle at the point; `weight` is the stroke in tenths."""
    scale, x = height / HEIGHT, -width_of(text) / 2
    marks = []
    for each, size in known(text):
        width, data = GLYPHS[each]
        down = HEIGHT * (1 - size) - HEIGHT / 2
        marks.append(f'<path transform="translate({x:.2f} {down:.2f}) scale({size})" d="{data}"/>')
        x += width * size + GAP
    return (
        f'<g transform="translate({at[0]:.1f} {at[1]:.1f}) '
        f'scale({scale:.3f})" fill="none" stroke="{colour}" stroke-width="{weight:.2f}" '
        f'stroke-linecap="round" stroke-linejoin="round">{"".join(marks)}</g>'
    )
