"""The jewel order on paper: the order, a drawing of each part, the checks when they come."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from sideshake.documents.blocks import Letterhead, Paper
from sideshake.documents.document import head_data
from sideshake.documents.typeset import Sheet
from sideshake.drawings.jewel_sheet import (
    DRAFT,
    OrderDrawing,
    OrderLine,
    SheetSize,
    gathered,
    jewel_sheets,
    material_words,
)
from sideshake.drawings.shapes import Drawing
from sideshake.drawings.svg import svg_text
from sideshake.fit.jewel import (
    HOLE_TOLERANCE_MM,
    OUTSIDE_TOLERANCE_MM,
    THICKNESS_TOLERANCE_MM,
)
from sideshake.fit.making import (
    bore_words,
    form_tolerance_words,
    sink_of,
    sink_words,
    tolerance_words,
)
from sideshake.fit.materials import RUBY
from sideshake.fit.shape import SIZES as SIZE_ORDER
from sideshake.fit.shape import BoreShape

SIZES = {Paper.A4: SheetSize.A4, Paper.US_LETTER: SheetSize.US_LETTER}
INSPECTED = (
    "We check each part when it comes: the hole with pin gauges of its two limits, outside and "
    "thickness with a micrometer."
)
ASKS = "Please send your price and the day of delivery before you begin."


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptRow:
    """One part to check on receipt, with room for what was measured."""

    number: int
    line: OrderLine

    @property
    def cells(self) -> list[str]:
        """Return what stands in the row; its sizes to be measured stand in their order."""
        part = self.line.part
        kind = f"{self.line.called}: {part.sizes} mm".replace(" × ", "\u00a0×\u00a0")
        limits = (
            f"{size - held:.3f} to {size + held:.3f}"
            for size, held in (
                (part.hole_mm, HOLE_TOLERANCE_MM),
                (part.outside_mm, OUTSIDE_TOLERANCE_MM),
                (part.thickness_mm, THICKNESS_TOLERANCE_MM),
            )
        )
        return [str(self.number), kind, str(self.line.quantity), self.line.reference, *limits]


def jewel_order_sheet(
    order: OrderDrawing, *, day: date, head: Letterhead | None = None, paper: Paper = Paper.A4
) -> Sheet:
    """Return the order ready for setting, on lying paper; without a number it is a draft.

    Without a `head` the workshop's name alone stands over it.
    """
    head = head or Letterhead(name=order.workshop)
    drawings = {
        f"sheet-{number}.svg": drawing
        for number, drawing in enumerate(jewel_sheets(replace(order, size=SIZES[paper])), start=1)
    }
    logo = {head.logo.name: head.logo.data} if head.logo else {}
    lines = gathered(order.lines)
    return Sheet(
        template="jewel_order.typ",
        day=day,
        said={
            **head_data(head),
            "paper": paper.value,
            "number": order.called,
            "draft": "" if order.number.strip() else f"{DRAFT}, for {references(order)}",
            "to": order.to,
            "facts": [list(each) for each in facts(order)],
            "sizes": f"{SIZE_ORDER[0].upper()}{SIZE_ORDER[1:]}, mm",
            "parts": [part_cells(number, line) for number, line in enumerate(lines, start=1)],
            "said": said(order),
            "sheets": [sheet_data(name, drawing) for name, drawing in drawings.items()],
            "rows": [row.cells for row in receipt_rows(order)],
            "checks": list(checks(lines)),
        },
        pictures={**logo, **{name: svg_text(each).encode() for name, each in drawings.items()}},
    )


def references(order: OrderDrawing) -> str:
    """Return what the parts are for, each once."""
    return ", ".join(dict.fromkeys(line.reference for line in order.lines))


def facts(order: OrderDrawing) -> Iterator[tuple[str, str]]:
    """Yield what is known of the order besides its parts."""
    again = f"{order.version}; it takes the place of version {order.version - 1}"
    asked = (
        ("Version", again if order.version > 1 else ""),
        ("Ordered on" if order.number.strip() else "As of", order.date),
        ("Wanted by", order.wanted),
        ("Whom to ask", ", ".join(e for e in (order.call, order.phone, order.email) if e)),
        ("Deliver to", ", ".join(order.deliver.splitlines())),
        ("Packing", order.packing),
    )
    yield from (each for each in asked if each[1])


def order_gaps(order: OrderDrawing) -> tuple[str, ...]:
    """Return what a maker would have to telephone about; nothing of a draft, which is not sent."""
    if not order.number.strip():
        return ()
    asked = (
        (order.to, "who makes it"),
        (order.wanted, "the day it is wanted"),
        (order.call, "whom to ask"),
        (order.phone or order.email, "how to reach you"),
        (order.deliver, "where to send it"),
        (order.packing, "how to pack it"),
    )
    return tuple(gap for told, gap in asked if not told)


def said(order: OrderDrawing) -> list[str]:
    """Return the sentences below the parts."""
    count = len(gathered(order.lines))
    drawing = "The drawing follows" if count == 1 else "The drawing of each part follows"
    sentences = [
        f"{drawing}; where order and drawing differ, the drawing holds. "
        f"Tolerances: {tolerance_words()}; {form_tolerance_words()}.",
        INSPECTED,
    ]
    return [*sentences, ASKS] if order.number.strip() else sentences


def part_cells(number: int, line: OrderLine) -> list[str]:
    """Return one part's row of the order."""
    part = line.part
    shape = f"{bore_words(part)}, {sink_words(part)}".replace("Ø ", "Ø\u00a0")
    return [
        str(number),
        line.called,
        part.sizes,
        shape[0].upper() + shape[1:],
        material_words(part),
        str(line.quantity),
        line.reference,
    ]


def checks(lines: tuple[OrderLine, ...]) -> Iterator[str]:
    """Yield what to look at when the parts come; of sink and ruby only where there is one."""
    parts = [line.part for line in lines]
    yield "Number and quantity agree with the order."
    yield "Hole tried with a pin gauge of its lower limit (goes) and its upper one (does not go)."
    yield "Outside measured in two directions with a micrometer; inside its limits."
    yield "Thickness measured with a micrometer; inside its limits."
    olive = [part.bore is BoreShape.OLIVE for part in parts]
    yield from said_of("The hole is olive, narrowest in its middle", olive)
    chamfered = [part.chamfer_mm > 0 for part in parts]
    yield from said_of("The chamfer is on one edge only, the one that enters first", chamfered)
    sunk = [sink_of(part) is not None for part in parts]
    yield from said_of("The oil sink is on the chamfered side; the flat face has none", sunk)
    if any(part.material == RUBY for part in parts):
        yield "Under the microscope: no crack, chip or inclusion; hole and flat face polished."
    yield "Run-out of hole to outside, flat face square to hole: where a fixture is at hand."


def said_of(words: str, is_so: list[bool]) -> Iterator[str]:
    """Yield a check with the numbers of the parts it is of; without them where it is of all."""
    numbers = [str(number) for number, so in enumerate(is_so, start=1) if so]
    if numbers:
        yield f"{words}." if all(is_so) else f"{words} (no. {', '.join(numbers)})."


def sheet_data(name: str, drawing: Drawing) -> dict[str, str]:
    """Return what the template needs of a drawing besides its lines."""
    return {"name": name, "alt": f"{drawing.title}. {drawing.description}"}


def receipt_rows(order: OrderDrawing) -> tuple[ReceiptRow, ...]:
    """Return a row for each different part."""
    return tuple(
        ReceiptRow(number=number, line=line)
        for number, line in enumerate(gathered(order.lines), start=1)
    )
