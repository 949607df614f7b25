"""A drawing a jewel maker can work from: one part a sheet, with notes and a title block.

Several repairs are gathered into one order; equal parts become one. As DXF a part measures its
real size.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from sideshake.core.errors import InputError
from sideshake.drawings.drawing_signs import LETTER, edge_sign, first_angle_sign, texture
from sideshake.drawings.jewel_views import Views, part_views, right_of_views
from sideshake.drawings.shapes import (
    Drawing,
    DrawnLine,
    Point,
    Shape,
    ShapeRole,
    Text,
    line_width,
    paragraph,
    rectangle,
    within,
)
from sideshake.fit.jewel import Part
from sideshake.fit.making import OUTER_EDGE_MM, roughness, sink_of
from sideshake.fit.materials import RUBY
from sideshake.fit.shape import ENTERS_FIRST

FILING, MARGIN = 20.0, 10.0
"""The frame leaves 20 mm to file the sheet by, and 10 mm at the other edges (ISO 5457)."""
SCALES = (50.0, 20.0, 10.0, 5.0, 2.0, 1.0)
"""Enlargements of ISO 5455."""
LARGEST_ACROSS, LARGEST_ALONG = 80.0, 34.0
VIEWS_Y = 131.0
BESIDE_CUT, BETWEEN_VIEWS = 46.0, 60.0
"""Room left of the cut and between the views, for what is written there."""
BLOCK_WIDE, BLOCK_HIGH, ROWS = 165.0, 50.0, 5
"""The title block; at most 180 mm wide (ISO 7200)."""
SMALLEST = 2.9
"""Height of the smallest letters, mm: 8 pt are 2.82."""
MATERIALS = {
    "ruby": "synthetic ruby (corundum), {colour}",
    "phosphor bronze": "phosphor bronze, hard drawn",
    "hard brass": "leaded brass, hard drawn",
}
RUBY_FINISH = (
    "Ruby of one crystal; no crack, chip or inclusion to be seen 20 times enlarged. Polished: "
    "hole, its edges, {faces}; outside ground."
)
BUSH_FINISH = "Bored; the workshop opens and burnishes the hole after pressing."
DRAFT = "DRAFT, nothing is ordered"
STANDARDS = (
    "Lengths in mm. Limits by ISO 286-1, run-out and squareness by ISO 1101, datums by ISO 5459, "
    "texture by ISO 21920-1, edges by ISO 13715, first-angle projection by ISO 5456-2. All sizes "
    "hold at 20\u00a0°C (ISO\u00a01)."
)


class SheetSize(Enum):
    """The paper the drawing is made for, lying: width and height in mm."""

    A4 = (297.0, 210.0)
    US_LETTER = (279.4, 215.9)

    @property
    def width(self) -> float:
        """Return the longer side."""
        return self.value[0]

    @property
    def height(self) -> float:
        """Return the shorter side."""
        return self.value[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """One part, how many of it, for which repair, and what it is called there."""

    part: Part
    quantity: int
    reference: str
    name: str = ""

    def __post_init__(self) -> None:
        if self.quantity < 1:
            raise InputError(f"{self.reference}: a quantity is at least 1, got {self.quantity}")

    @property
    def called(self) -> str:
        """Return the part's name: its own, or what it is and of what."""
        kind = "Jewel" if self.part.material == RUBY else "Bush"
        return self.name or f"{kind}, {self.part.material.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderDrawing:
    """What goes to the maker, `to`; dates are written as given. Without a number it is a draft.

    `call` : whom to ask, `phone` and `email` how; `deliver` : where the parts go
    """

    workshop: str
    number: str
    date: str
    lines: tuple[OrderLine, ...]
    to: str = ""
    wanted: str = ""
    call: str = ""
    phone: str = ""
    email: str = ""
    deliver: str = ""
    packing: str = ""
    size: SheetSize = SheetSize.A4
    version: int = 1

    def __post_init__(self) -> None:
        if not self.lines:
            raise InputError("a jewel order needs at least one part")

    @property
    def called(self) -> str:
        """Return the order's number, or that it is a draft."""
        number = self.number.strip() or "draft"
        return f"{number}, version {self.version}" if self.version > 1 else number


def gathered(lines: tuple[OrderLine, ...]) -> tuple[OrderLine, ...]:
    """Return the lines, smallest hole first, equal parts put together with all their references."""
    parts = dict.fromkeys(line.part for line in lines)
    return tuple(
        OrderLine(
            part=part,
            quantity=sum(line.quantity for line in lines if line.part == part),
            reference=", ".join(
                dict.fromkeys(line.reference for line in lines if line.part == part)
            ),
            name="; ".join(
                dict.fromkeys(line.name for line in lines if line.part == part and line.name)
            ),
        )
        for part in sorted(
            parts, key=lambda each: (each.hole_mm, each.outside_mm, each.thickness_mm)
        )
    )


def jewel_sheets(order: OrderDrawing) -> tuple[Drawing, ...]:
    """Return the sheets of an order, one for each different part."""
    lines = gathered(order.lines)
    return tuple(
        sheet(order, line, number=number, of=len(lines))
        for number, line in enumerate(lines, start=1)
    )


def sheet(order: OrderDrawing, line: OrderLine, *, number: int, of: int) -> Drawing:
    """Return one part's sheet: two views, notes, the title block."""
    scale, (width, height) = scale_for(line.part), order.size.value
    views = placed(line.part, scale, width)
    frame = rectangle((FILING, MARGIN), (width - MARGIN, height - MARGIN), role=ShapeRole.FRAME)
    return Drawing(
        title=f"Jewel order {order.called}, sheet {number} of {of}",
        width=width,
        height=height,
        shapes=(
            frame,
            *draft_words(order, line),
            *part_views(views),
            *notes(line, width),
            *title_block(Titled(order=order, line=line, scale=scale, number=number, of=of)),
        ),
        scale=scale,
        description=(
            f"{line.called}, {line.part.sizes} mm (hole, outside, thickness): cut along its axis "
            f"and from the outer face, {scale:g}:1."
        ),
    )


def draft_words(order: OrderDrawing, line: OrderLine) -> Iterator[Shape]:
    """Yield in big letters that nothing is ordered, and for which visit the part is."""
    if order.number.strip():
        return
    width, height = order.size.value
    at = (FILING + 5.0, height - MARGIN - 13.0)
    words = Text(at=at, words=f"{DRAFT}, for {line.reference}", height=8.0, heading=True)
    yield within(words, width - MARGIN - FILING - 10.0)


def placed(part: Part, scale: float, width: float) -> Views:
    """Return where a part's views lie: in the middle of the sheet with all that stands beside."""
    half, rim = scale * part.thickness_mm / 2, scale * part.outside_mm / 2
    taken = BESIDE_CUT + 2 * half + BETWEEN_VIEWS + 2 * rim + right_of_views(part, scale)
    cut_x = FILING + max(0.0, width - MARGIN - FILING - taken) / 2 + BESIDE_CUT + half
    end_x = cut_x + half + BETWEEN_VIEWS + rim
    return Views(part=part, scale=scale, cut=(cut_x, VIEWS_Y), end=(end_x, VIEWS_Y))


def scale_for(part: Part) -> float:
    """Return the largest scale of ISO 5455 at which the part has room on the sheet."""
    fits = (
        each
        for each in SCALES
        if each * part.outside_mm <= LARGEST_ACROSS and each * part.thickness_mm <= LARGEST_ALONG
    )
    return next(fits, SCALES[-1])


def notes(line: OrderLine, width: float) -> Iterator[Shape]:
    """Yield finish, which edge enters first, and the standards, left of the title block."""
    room = width - MARGIN - BLOCK_WIDE - FILING - 4.0
    said = [finish_words(line.part)]
    if line.part.chamfer_mm:
        edges = f"other edges broken by at most {OUTER_EDGE_MM:g}"
        said.append(f"When it is pressed in, {ENTERS_FIRST}; {edges}.")
    said.append(STANDARDS)
    y = MARGIN + BLOCK_HIGH - LETTER
    for each in said:
        rows = paragraph(Text(at=(FILING + 2.0, y), words=each, height=SMALLEST), room)
        yield from rows
        y -= 1.4 * SMALLEST * len(rows) + 1.0


def finish_words(part: Part) -> str:
    """Return how a part's surfaces are finished."""
    if part.material != RUBY:
        return BUSH_FINISH
    return RUBY_FINISH.format(faces="oil sink and flat face" if sink_of(part) else "flat face")


def material_words(part: Part) -> str:
    """Return what a part is made of, a jewel with its colour."""
    known = MATERIALS.get(part.material.name, part.material.name)
    return known.format(colour=part.colour)


@dataclass(frozen=True, slots=True, kw_only=True)
class Titled:
    """What a title block tells."""

    order: OrderDrawing
    line: OrderLine
    scale: float
    number: int
    of: int

    def rows(self) -> tuple[tuple[tuple[str, str, float], ...], ...]:
        """Return the block's rows of cells: label, value, share of the width; from the top."""
        order, line = self.order, self.line
        ask = ", ".join(each for each in (order.call, order.phone or order.email) if each)
        return (
            (("part", line.called, 0.8), ("quantity", str(line.quantity), 0.2)),
            (
                ("material", material_words(line.part), 0.8),
                ("scale, unit", f"{self.scale:g}:1, mm", 0.2),
            ),
            shared(("from", order.workshop), ("ask", ask), ("to", order.to)),
            (
                ("drawing", f"{order.called} / {self.number}", 0.2),
                ("for", line.reference, 0.4),
                ("date", order.date, 0.25),
                ("sheet", f"{self.number} of {self.of}", 0.15),
            ),
            (("other surfaces", "", 0.3), ("other edges", "", 0.3), ("projection", "", 0.4)),
        )


BESIDE_WORDS = 4.0
"""What a cell has beside its words, mm."""


def shared(*said: tuple[str, str]) -> tuple[tuple[str, str, float], ...]:
    """Return cells with the width shared by what their words need; empty ones left out.

    Examples
    --------
    >>> [cell[2] for cell in shared(("from", "a maker"), ("ask", ""), ("to", "a maker"))]
    [0.5, 0.5]
    """
    cells = [
        (label, words, BESIDE_WORDS + line_width(words, SMALLEST)) for label, words in said if words
    ]
    whole = sum(needed for _label, _words, needed in cells)
    return tuple((label, words, needed / whole) for label, words, needed in cells)


def title_block(told: Titled) -> Iterator[Shape]:
    """Yield the title block at the lower right: what, of what, from whom (ISO 7200)."""
    right = told.order.size.width - MARGIN
    left, high = right - BLOCK_WIDE, BLOCK_HIGH / ROWS
    yield rectangle((left, MARGIN), (right, MARGIN + BLOCK_HIGH), role=ShapeRole.FRAME)
    for row, cells in enumerate(told.rows()):
        y, x = MARGIN + BLOCK_HIGH - (row + 1) * high, left
        yield DrawnLine(start=(left, y), end=(right, y), role=ShapeRole.FRAME)
        for label, value, share in cells:
            yield from cell((x, y), (label, value), share * BLOCK_WIDE)
            x += share * BLOCK_WIDE
    yield from signs((left, MARGIN), told.line.part)


def cell(corner: Point, said: tuple[str, str], wide: float) -> Iterator[Shape]:
    """Yield one cell: its label above its value, and the line at its right."""
    x, y = corner
    high = BLOCK_HIGH / ROWS
    label, value = said
    yield DrawnLine(start=(x + wide, y), end=(x + wide, y + high), role=ShapeRole.FRAME)
    at = (x + 1.5, y + high - 3.2)
    yield Text(at=at, words=label, height=SMALLEST, role=ShapeRole.FINE)
    if value:
        at = (x + 1.5, y + 1.5)
        yield within(Text(at=at, words=value, height=3.8, heading=label == "part"), wide - 2.0)


def signs(corner: Point, part: Part) -> Iterator[Shape]:
    """Yield the signs in the block's lowest row: other surfaces, other edges, projection."""
    x, y = corner
    yield from texture((x + 28.0, y + 0.8), f"Ra {roughness(part).outside_um:g}")
    yield from edge_sign((x + 0.3 * BLOCK_WIDE + 28.0, y + 3.4), f"−{OUTER_EDGE_MM:g}")
    yield from first_angle_sign((x + 0.6 * BLOCK_WIDE + 42.0, y + 5.0))
