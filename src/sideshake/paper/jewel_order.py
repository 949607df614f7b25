"""The jewel order on paper: the dimensioned sheets, then what to check when the parts come."""

from dataclasses import dataclass
from datetime import date

from sideshake.errors import InputError
from sideshake.paper.typeset import Sheet
from sideshake.pictures.jewel_sheet import JewelOrder, OrderLine, gathered, jewel_sheets
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


def jewel_order_sheet(order: JewelOrder, *, day: date) -> Sheet:
    """Return the order ready for setting: landscape A4, drawings first.

    Raises
    ------
    InputError : the order's number is blank
    """
    if not order.number.strip():
        raise InputError("a jewel order needs a number, so that parts and paper find each other")
    drawings = jewel_sheets(order)
    names = [f"sheet-{number}.svg" for number in range(1, len(drawings) + 1)]
    rows = [
        ReceiptRow(number=number, line=line).cells
        for number, line in enumerate(gathered(order.lines), start=1)
    ]
    return Sheet(
        template="jewel_order.typ",
        day=day,
        said={
            "workshop": order.workshop,
            "number": order.number,
            "sheets": [
                {"name": name, "alt": f"{drawing.title}. {drawing.description}"}
                for name, drawing in zip(names, drawings, strict=True)
            ],
            "rows": rows,
            "checks": list(CHECKS),
        },
        pictures={
            name: svg_text(drawing).encode() for name, drawing in zip(names, drawings, strict=True)
        },
    )
