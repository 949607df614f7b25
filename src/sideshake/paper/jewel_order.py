"""The jewel order on paper: the dimensioned sheets, then what to check when the parts come."""

from dataclasses import dataclass, replace
from datetime import date

from sideshake.errors import InputError
from sideshake.paper.blocks import Letterhead, Paper
from sideshake.paper.document import head_data
from sideshake.paper.typeset import Sheet
from sideshake.pictures.jewel_sheet import (
    JewelOrder,
    OrderLine,
    SheetSize,
    gathered,
    jewel_sheets,
)
from sideshake.pictures.shapes import Drawing
from sideshake.pictures.svg import svg_text

CHECKS = (
    "Number and batch agree with the order.",
    "Outside measured in two directions with a micrometer; inside the limits of the drawing.",
    "Hole tried with a pin gauge of the least size (goes) and of the largest (does not go).",
    "Thickness and chamfer; the chamfer is on the leading edge only.",
    "Under the microscope: no crack, chip or inclusion at the hole; faces and hole polished.",
    "Run-out of hole to outside, where a fixture is at hand.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptRow:
    """One part to check on receipt, with room for what was measured."""

    number: int
    line: OrderLine

    @property
    def cells(self) -> list[str]:
        """Return what stands in the row."""
        part = self.line.part
        kind = f"{part.material.name}, {part.outside_mm:.3f} × {part.hole_mm:.3f} mm"
        return [str(self.number), kind, str(self.line.quantity), self.line.reference, "", "", ""]


SIZES = {Paper.A4: SheetSize.A4, Paper.US_LETTER: SheetSize.US_LETTER}


def jewel_order_sheet(
    order: JewelOrder, *, day: date, head: Letterhead | None = None, paper: Paper = Paper.A4
) -> Sheet:
    """Return the order ready for setting: drawings first, on lying paper, then what to check.

    Without a `head` the workshop's name alone stands over the checks.

    Raises
    ------
    InputError : the order's number is blank
    """
    if not order.number.strip():
        raise InputError("a jewel order needs a number, so that parts and paper find each other")
    head = head or Letterhead(name=order.workshop)
    drawings = {
        f"sheet-{number}.svg": drawing
        for number, drawing in enumerate(jewel_sheets(replace(order, size=SIZES[paper])), start=1)
    }
    logo = {head.logo.name: head.logo.data} if head.logo else {}
    return Sheet(
        template="jewel_order.typ",
        day=day,
        said={
            **head_data(head),
            "paper": paper.value,
            "number": order.number,
            "sheets": [sheet_data(name, drawing) for name, drawing in drawings.items()],
            "rows": [row.cells for row in receipt_rows(order)],
            "checks": list(CHECKS),
        },
        pictures={**logo, **{name: svg_text(each).encode() for name, each in drawings.items()}},
    )


def sheet_data(name: str, drawing: Drawing) -> dict[str, str]:
    """Return what the template needs of a drawing besides its lines."""
    return {"name": name, "alt": f"{drawing.title}. {drawing.description}"}


def receipt_rows(order: JewelOrder) -> tuple[ReceiptRow, ...]:
    """Return a row for each different part."""
    return tuple(
        ReceiptRow(number=number, line=line)
        for number, line in enumerate(gathered(order.lines), start=1)
    )
