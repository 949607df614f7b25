"""The drawings of the measuring desk, as they stand in the page: lengths and bearings as links."""

from collections.abc import Iterable, Mapping
from html import escape

from django.utils.safestring import SafeString, mark_safe

from sideshake.drawings.bearing_lengths import (
    WIDTH,
    LengthDrawn,
    LengthsSheet,
    bearing_plan,
    bearing_section,
)
from sideshake.drawings.movement_wear import MARK_HIGH, MARK_WIDE, bearing_mark
from sideshake.drawings.shapes import Drawing, Shape
from sideshake.drawings.svg import hatchings, number, svg_named
from sideshake.wear.place_judged import PlaceStage
from sideshake.wear.place_seen import BearingSeen
from sideshake.wear.verdict import BearingPlace


def lengths_pictures(words: Mapping[str, str], title: str) -> SafeString:
    """Return the section through a bearing and its hole from above; each length is a link.

    A link leads to the field of its size, which takes the focus so.
    """
    sheets = (bearing_section(words), bearing_plan(words))
    return mark_safe("".join(sheet_svg(each, title) for each in sheets if each.lengths))


def sheet_svg(sheet: LengthsSheet, title: str) -> str:
    """Return one sheet with its lengths as links."""
    drawing = Drawing(title=title, width=WIDTH, height=sheet.height, shapes=sheet.part)
    part = "".join(svg_named(each, sheet.height) for each in sheet.part)
    links = "".join(length_svg(each, sheet.height) for each in sheet.lengths)
    return (
        f'<svg viewBox="0 0 {number(WIDTH)} {number(sheet.height)}" role="group" '
        f'aria-label="{escape(title)}">{hatchings(drawing)}{part}{links}</svg>'
    )


def length_svg(drawn: LengthDrawn, high: float) -> str:
    """Return a length as a link to the field of its size."""
    (x0, y0), (x1, y1) = drawn.low, drawn.high
    box = (
        f'<rect class="hit" x="{number(x0)}" y="{number(high - y1)}" '
        f'width="{number(x1 - x0)}" height="{number(y1 - y0)}"/>'
    )
    body = "".join(svg_named(each, high) for each in drawn.shapes)
    return (
        f'<a href="#{drawn.size}" class="length {drawn.size}" '
        f'aria-label="{escape(drawn.words)}">{box}{body}</a>'
    )


def mark_svg(seen: BearingSeen) -> SafeString:
    """Return a bearing's mark in the picture of the movement; its words stand beside it."""
    shapes = bearing_mark(
        str(seen.stage),
        oval=seen.oval is not None,
        below=seen.place.side is BearingPlace.BELOW or seen.place.table == "floor",
    )
    return svg_alone(shapes)


def key_marks() -> list[tuple[str, SafeString]]:
    """Return what each mark means, with the mark."""
    return [(str(stage), svg_alone(bearing_mark(str(stage)))) for stage in PlaceStage]


def svg_alone(shapes: Iterable[Shape]) -> SafeString:
    """Return shapes as a picture that says nothing of its own."""
    body = "".join(svg_named(each, MARK_HIGH) for each in shapes)
    box = f"0 0 {number(MARK_WIDE)} {number(MARK_HIGH)}"
    return mark_safe(f'<svg viewBox="{box}" aria-hidden="true">{body}</svg>')
