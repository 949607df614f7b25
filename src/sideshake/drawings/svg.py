"""A drawing as SVG: warm paper, ink-blue lines, one brass accent, ruby for what would break.

Only presentation attributes are used, so the picture may be put straight into a page with a strict
content security policy.
"""

from html import escape
from typing import assert_never

from sideshake.drawings.shapes import (
    Arc,
    Circle,
    Dimension,
    Drawing,
    DrawnLine,
    Fill,
    Named,
    Point,
    Polyline,
    Shape,
    ShapeRole,
    Single,
    Text,
    dimension_parts,
    on_circle,
    parts_of,
)

PAPER = "#f6f0e2"
INK = "#1f2f4a"
BRASS = "#a5782b"
RUBY = "#9b1b30"

STROKES = {
    ShapeRole.OUTLINE: f'stroke="{INK}" stroke-width="0.4"',
    ShapeRole.FINE: f'stroke="{INK}" stroke-width="0.12"',
    ShapeRole.CENTRE: f'stroke="{INK}" stroke-width="0.15" stroke-dasharray="4 0.8 0.8 0.8"',
    ShapeRole.HIDDEN: f'stroke="{INK}" stroke-width="0.18" stroke-dasharray="1.4 0.9"',
    ShapeRole.DIMENSION: f'stroke="{INK}" stroke-width="0.18"',
    ShapeRole.ACCENT: f'stroke="{BRASS}" stroke-width="0.5"',
    ShapeRole.DANGER: f'stroke="{RUBY}" stroke-width="0.5"',
    ShapeRole.FRAME: f'stroke="{INK}" stroke-width="0.25"',
    ShapeRole.NONE: 'stroke="none"',
}
FILLS = {
    Fill.NONE: "none",
    Fill.PLATE: "url(#plate)",
    Fill.BRASS: "#e3cfa0",
    Fill.STEEL: "#c3c9d2",
    Fill.JEWEL: "#e2b3ba",
    Fill.JEWEL_CUT: "url(#jewel-cut)",
    Fill.BRASS_CUT: "url(#brass-cut)",
    Fill.SAFE: "#d9dfd0",
    Fill.DANGER: RUBY,
    Fill.INK: INK,
}
BRASS_WORDS = "#7a5515"
"""Darker than the brass of lines: 5.9 to 1 on paper (WCAG 2.2 asks 4.5 of text)."""
TEXT_COLOURS = {ShapeRole.ACCENT: BRASS_WORDS, ShapeRole.DANGER: RUBY}
GROUNDS = {Fill.PLATE: "#efe3c4", Fill.JEWEL_CUT: "#e2b3ba", Fill.BRASS_CUT: "#e3cfa0"}
"""What is cut is hatched on the ground of its material."""


def svg_text(drawing: Drawing) -> str:
    """Return the drawing as the text of an SVG file.

    Text is escaped; the title and the description are there for those who cannot see the picture.
    """
    width, height = number(drawing.width), number(drawing.height)
    body = "\n".join(svg_named(each, drawing.height) for each in drawing.shapes)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{width}mm" '
        f'height="{height}mm" viewBox="0 0 {width} {height}">\n'
        f"<title>{escape(drawing.title)}</title>\n<desc>{escape(drawing.description)}</desc>\n"
        f"{hatchings(drawing)}"
        f'<rect width="{width}" height="{height}" fill="{PAPER}"/>\n{body}\n</svg>\n'
    )


def hatchings(drawing: Drawing) -> str:
    """Return the hatchings that a drawing uses; empty when it uses none."""
    used = [(fill, ground) for fill, ground in GROUNDS.items() if fill in drawing.fills]
    made = (
        f'<pattern id="{fill}" width="1.6" height="1.6" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate(45)"><rect width="1.6" height="1.6" fill="{ground}"/>'
        f'<path d="M0 0V1.6" stroke="{INK}" stroke-width="0.16"/></pattern>'
        for fill, ground in used
    )
    return f"<defs>{''.join(made)}</defs>" if used else ""


def svg_named(shape: Shape, sheet_height: float) -> str:
    """Return the SVG elements of one shape, or of several under their name."""
    parts = "\n".join(svg_shape(each, sheet_height) for each in parts_of(shape))
    if not isinstance(shape, Named):
        return parts
    return f"<g><title>{escape(shape.words)}</title>{parts}</g>"


def svg_shape(shape: Single, sheet_height: float) -> str:
    """Return the SVG elements of one shape on a sheet of the given height."""
    match shape:
        case DrawnLine():
            return polyline_svg(
                Polyline(points=(shape.start, shape.end), role=shape.role), sheet_height
            )
        case Polyline():
            return polyline_svg(shape, sheet_height)
        case Circle():
            x, y = flipped(shape.centre, sheet_height)
            place = f'cx="{number(x)}" cy="{number(y)}" r="{number(shape.radius)}"'
            return f'<circle {place} fill="{FILLS[shape.fill]}" {STROKES[shape.role]}/>'
        case Arc():
            return arc_svg(shape, sheet_height)
        case Text():
            return words_svg(shape, sheet_height)
        case Dimension():
            return "\n".join(svg_shape(each, sheet_height) for each in dimension_parts(shape))
        case _:
            assert_never(shape)


def polyline_svg(shape: Polyline, sheet_height: float) -> str:
    """Return a chain of lines, closed into a polygon when the shape is closed."""
    pairs = (flipped(point, sheet_height) for point in shape.points)
    points = " ".join(f"{number(x)},{number(y)}" for x, y in pairs)
    name = "polygon" if shape.closed else "polyline"
    return f'<{name} points="{points}" fill="{FILLS[shape.fill]}" {STROKES[shape.role]}/>'


def arc_svg(shape: Arc, sheet_height: float) -> str:
    """Return an arc as an SVG path."""
    x0, y0 = flipped(on_circle(shape.centre, shape.radius, shape.start_deg), sheet_height)
    x1, y1 = flipped(on_circle(shape.centre, shape.radius, shape.end_deg), sheet_height)
    large = int(shape.end_deg - shape.start_deg > 180)
    radius = number(shape.radius)
    path = f"M{number(x0)} {number(y0)}A{radius} {radius} 0 {large} 0 {number(x1)} {number(y1)}"
    return f'<path d="{path}" fill="none" {STROKES[shape.role]}/>'


def words_svg(shape: Text, sheet_height: float) -> str:
    """Return one line of text; headings in serif, figures of equal width."""
    x, y = (number(each) for each in flipped(shape.at, sheet_height))
    turn = f' transform="rotate({number(-shape.turn_deg)} {x} {y})"' if shape.turn_deg else ""
    family = "serif" if shape.heading else "sans-serif"
    return (
        f'<text x="{x}" y="{y}" font-size="{number(shape.height)}" font-family="{family}" '
        f'font-variant="tabular-nums" text-anchor="{shape.anchor}" '
        f'fill="{TEXT_COLOURS.get(shape.role, INK)}"{turn}>{escape(shape.words)}</text>'
    )


def flipped(point: Point, sheet_height: float) -> Point:
    """Return the point with y counted downwards from the top edge, as SVG does."""
    return (point[0], sheet_height - point[1])


def number(value: float) -> str:
    """Return a coordinate rounded to a micrometre of paper, without idle zeros.

    Examples
    --------
    >>> number(2.50), number(-0.0)
    ('2.5', '0')
    """
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
