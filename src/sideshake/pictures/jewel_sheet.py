"""A drawing a jewel maker can work from: each part in plan and section, with limits and a list.

Several repairs are gathered into one order; up to three different parts share a sheet. As DXF the
parts measure their real size.
"""

from dataclasses import dataclass
from enum import Enum

from sideshake.errors import InputError
from sideshake.fit.jewel import THICKNESS_TOLERANCE_MM, Part
from sideshake.fit.limits import limits
from sideshake.fit.materials import RUBY
from sideshake.pictures.shapes import (
    Anchor,
    Circle,
    Dimension,
    Drawing,
    Fill,
    Line,
    Point,
    Polyline,
    Role,
    Shape,
    Text,
    paragraph,
    rectangle,
    within,
)

MARGIN = 10.0
PER_SHEET = 3
LARGEST_DRAWN = 52.0
SCALES = (50.0, 40.0, 30.0, 20.0, 15.0, 10.0, 5.0)
PLAN_Y, SECTION_Y = 142.0, 88.0
OUTSIDE_CLASS, HOLE_CLASS = "js6", "JS6"
"""Limits of ±0.003 mm, as the fit reckons with."""
RUNOUT_MM = 0.005
MATERIALS = {
    "ruby": "Synthetic ruby (corundum), clear, without cracks or inclusions at the hole.",
    "phosphor bronze": "Phosphor bronze, hard drawn.",
    "hard brass": "Leaded brass, hard drawn.",
}
FINISHES = {
    True: "Hole polished, its edges rounded and polished; faces flat and polished; outside ground.",
    False: "Hole bored, edges broken; the workshop opens and burnishes it after pressing.",
}


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
    """One part, how many of it, and for which repair."""

    part: Part
    quantity: int
    reference: str

    def __post_init__(self) -> None:
        if self.quantity < 1:
            raise InputError(f"{self.reference}: a quantity is at least 1, got {self.quantity}")


@dataclass(frozen=True, slots=True, kw_only=True)
class JewelOrder:
    """What goes to the maker, `to`; `date` is written as given, `reached` tells how to answer."""

    workshop: str
    number: str
    date: str
    lines: tuple[OrderLine, ...]
    to: str = ""
    reached: str = ""
    size: SheetSize = SheetSize.A4

    def __post_init__(self) -> None:
        if not self.lines:
            raise InputError("a jewel order needs at least one part")


def gathered(lines: tuple[OrderLine, ...]) -> tuple[OrderLine, ...]:
    """Return the lines with equal parts put together: quantities added, references joined."""
    parts = dict.fromkeys(line.part for line in lines)
    return tuple(
        OrderLine(
            part=part,
            quantity=sum(line.quantity for line in lines if line.part == part),
            reference=", ".join(
                dict.fromkeys(line.reference for line in lines if line.part == part)
            ),
        )
        for part in parts
    )


def jewel_sheets(order: JewelOrder) -> tuple[Drawing, ...]:
    """Return the sheets of an order, up to three different parts on each."""
    lines = gathered(order.lines)
    pages = [lines[first : first + PER_SHEET] for first in range(0, len(lines), PER_SHEET)]
    return tuple(
        sheet(order, page, number=number, of=len(pages), first=PER_SHEET * (number - 1) + 1)
        for number, page in enumerate(pages, start=1)
    )


def sheet(
    order: JewelOrder, page: tuple[OrderLine, ...], *, number: int, of: int, first: int
) -> Drawing:
    """Return one sheet: its parts side by side, the list and the title block."""
    scale = common_scale(page)
    width, height = order.size.value
    shapes: list[Shape] = [rectangle((5.0, 5.0), (width - 5.0, height - 5.0), role=Role.FINE)]
    room = (width - 2 * MARGIN) / len(page)
    for column, line in enumerate(page):
        x = MARGIN + room * (column + 0.5)
        shapes += part_names(line, (x, height), room - 4.0, number=first + column)
        shapes += part_views(line, x, scale)
    shapes += parts_list(page, first)
    shapes += title_block(order, scale, number=number, of=of)
    return Drawing(
        title=f"Jewel order {order.number}, sheet {number} of {of}",
        width=width,
        height=height,
        shapes=tuple(shapes),
        scale=scale,
        description=f"{len(page)} part(s), drawn {scale:g}:1, lengths in millimetres.",
    )


def common_scale(page: tuple[OrderLine, ...]) -> float:
    """Return the largest scale at which every part of the sheet has room."""
    largest = max(max(line.part.outside_mm, 2 * line.part.thickness_mm) for line in page)
    return next((each for each in SCALES if each * largest <= LARGEST_DRAWN), SCALES[-1])


def part_names(line: OrderLine, top: Point, width: float, *, number: int) -> tuple[Shape, ...]:
    """Return what a part is, how many of it and for which repairs, under the sheet's upper edge."""
    x, y = top
    kind = "Jewel" if line.part.material == RUBY else "Bush"
    name = f"{number}  {kind}, {line.part.material.name}"
    count = f"quantity {line.quantity}, for {line.reference}"
    lines = (
        Text(at=(x, y - 16.0), words=name, height=5.0, heading=True, anchor=Anchor.MIDDLE),
        Text(at=(x, y - 22.0), words=count, height=3.0, anchor=Anchor.MIDDLE),
    )
    return tuple(within(each, width) for each in lines)


def part_views(line: OrderLine, x: float, scale: float) -> tuple[Shape, ...]:
    """Return the plan and the section of a part, with dimensions."""
    return (
        *plan_view(line.part, (x, PLAN_Y), scale),
        *section_view(line.part, (x, SECTION_Y), scale),
        *part_dimensions(line.part, (x, SECTION_Y), scale),
    )


def plan_view(part: Part, centre: Point, scale: float) -> tuple[Shape, ...]:
    """Return the part from above with its centre lines."""
    outside, hole = (scale * each / 2 for each in (part.outside_mm, part.hole_mm))
    (x, y), reach = centre, outside + 4.0
    return (
        Circle(centre=centre, radius=outside),
        Circle(centre=centre, radius=outside - scale * part.chamfer_mm, role=Role.FINE),
        Circle(centre=centre, radius=hole),
        Line(start=(x - reach, y), end=(x + reach, y), role=Role.CENTRE),
        Line(start=(x, y - reach), end=(x, y + reach), role=Role.CENTRE),
    )


def fill_of(part: Part) -> Fill:
    """Return the filling of a part's material."""
    return Fill.JEWEL if part.material == RUBY else Fill.BRASS


def section_view(part: Part, middle: Point, scale: float) -> tuple[Shape, ...]:
    """Return the cut part: both halves, chamfered at the lower, leading edge."""
    x, y = middle
    outside, hole = (scale * each / 2 for each in (part.outside_mm, part.hole_mm))
    half, chamfer = scale * part.thickness_mm / 2, scale * part.chamfer_mm
    profile = (
        (hole, -half), (outside - chamfer, -half), (outside, -half + chamfer), (outside, half),
        (hole, half),
    )  # fmt: skip
    halves = tuple(
        Polyline(
            points=tuple((x + side * r, y + z) for r, z in profile), closed=True, fill=fill_of(part)
        )
        for side in (-1.0, 1.0)
    )
    edges = tuple(Line(start=(x - hole, y + z), end=(x + hole, y + z)) for z in (-half, half))
    axis = Line(start=(x, y - half - 4.0), end=(x, y + half + 4.0), role=Role.CENTRE)
    return (*halves, *edges, axis)


def part_dimensions(part: Part, middle: Point, scale: float) -> tuple[Shape, ...]:
    """Return the dimensions of the section, each with its limits."""
    x, y = middle
    outside, hole = (scale * each / 2 for each in (part.outside_mm, part.hole_mm))
    half = scale * part.thickness_mm / 2
    return (
        Dimension(
            start=(x - hole, y + half), end=(x + hole, y + half), words=hole_words(part), offset=6.0
        ),
        Dimension(
            start=(x - outside, y - half),
            end=(x + outside, y - half),
            words=outside_words(part),
            offset=-9.0,
        ),
        Dimension(
            start=(x - outside, y - half),
            end=(x - outside, y + half),
            words=f"{part.thickness_mm:.2f} ±{THICKNESS_TOLERANCE_MM:.2f}",
            offset=8.0,
        ),
        Text(
            at=(x, y - half - 17.0),
            words=f"chamfer {part.chamfer_mm:.2f} × 45° on one side, run-out {RUNOUT_MM:.3f}",
            height=2.83,
            anchor=Anchor.MIDDLE,
        ),
    )


def outside_words(part: Part) -> str:
    """Return the outside diameter with its limits."""
    held = limits(OUTSIDE_CLASS, part.outside_mm)
    return f"Ø {part.outside_mm:.3f} {OUTSIDE_CLASS} ({held.text()})"


def hole_words(part: Part) -> str:
    """Return the hole's diameter with its limits."""
    return f"Ø {part.hole_mm:.3f} {HOLE_CLASS} ({limits(HOLE_CLASS, part.hole_mm).text()})"


def parts_list(page: tuple[OrderLine, ...], first: int) -> tuple[Shape, ...]:
    """Return the notes on material and finish at the lower left."""
    shapes: list[Shape] = [
        Text(at=(MARGIN, 50.0), words="Material and finish", height=4.2, heading=True)
    ]
    notes = dict.fromkeys(note_of(line.part) for line in page)
    y = 44.5
    for note in notes:
        numbers = [str(first + row) for row, line in enumerate(page) if note_of(line.part) == note]
        words = f"{' and '.join(numbers)}: {note}"
        rows = paragraph(Text(at=(MARGIN, y), words=words, height=3.0), 150.0)
        shapes += rows
        y -= 4.2 * len(rows) + 1.5
    general = "Run-out of hole to outside as stated. Lengths in mm; limits by ISO 286 up to 3 mm."
    shapes += paragraph(Text(at=(MARGIN, y), words=general, height=3.0), 150.0)
    return tuple(shapes)


def note_of(part: Part) -> str:
    """Return the material and finish of a part in words."""
    known = MATERIALS.get(part.material.name, f"{part.material.name.capitalize()}.")
    return f"{known} {FINISHES[part.material == RUBY]}"


def title_block(order: JewelOrder, scale: float, *, number: int, of: int) -> tuple[Shape, ...]:
    """Return the title block at the lower right."""
    left, right, top = order.size.width - 117.0, order.size.width - 5.0, 53.0
    rows = (
        ("workshop", order.workshop),
        *((("reached by", order.reached),) if order.reached else ()),
        *((("to", order.to),) if order.to else ()),
        ("order", order.number),
        ("date", order.date),
        ("scale, unit", f"{scale:g}:1, millimetres"),
        ("sheet", f"{number} of {of}"),
        ("agreed by maker", ""),
    )
    height = (top - 5.0 - 9.0) / len(rows)
    shapes: list[Shape] = [
        rectangle((left, 5.0), (right, top)),
        Text(at=(left + 3.0, top - 6.5), words="Jewel order", height=5.5, heading=True),
        Line(start=(left + 32.0, 5.0), end=(left + 32.0, top - 9.0), role=Role.FINE),
    ]
    for row, (name, value) in enumerate(rows):
        y = top - 9.0 - row * height
        shapes += (
            Line(start=(left, y), end=(right, y), role=Role.FINE),
            Text(at=(left + 3.0, y - 0.68 * height), words=name, height=2.83),
            within(Text(at=(left + 35.0, y - 0.7 * height), words=value, height=3.4), 75.0),
        )
    return tuple(shapes)
