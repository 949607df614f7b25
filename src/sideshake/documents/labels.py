"""Labels for parts trays, each with a code that opens its visit."""

import io
from dataclasses import dataclass
from datetime import date

import segno

from sideshake.core.errors import InputError
from sideshake.documents.blocks import Paper
from sideshake.documents.typeset import Sheet

LONGEST_ADDRESS = 300
MOST_LABELS = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One tray's label: the visit, what lies in the tray, and the address the code opens."""

    visit: str
    watch: str
    what: str
    address: str

    def __post_init__(self) -> None:
        if not self.address.startswith(("http://", "https://")):
            raise InputError(f"a label's code opens an http address, got {self.address!r}")
        if len(self.address) > LONGEST_ADDRESS:
            raise InputError(f"an address on a label has at most {LONGEST_ADDRESS} letters")


PLACES = {Paper.A4: 24, Paper.US_LETTER: 10}
"""How many labels a sheet of this paper has."""


def label_sheet(
    labels: tuple[Label, ...], *, day: date, paper: Paper = Paper.A4, first: int = 1
) -> Sheet:
    """Return labels: A4 three across, eight down (70 by 36 mm); US Letter two, five (4 by 2 in).

    Both are sizes in which sheets of labels are commonly sold (common practice, no source).
    `first` is the place of the first label, counted along the rows: those before it are used.

    Raises
    ------
    InputError : no label, more than 500, or no such place on the sheet
    """
    if not 1 <= first <= PLACES[paper]:
        raise InputError(f"labels begin at place 1 to {PLACES[paper]} of the sheet, got {first}")
    if not 1 <= len(labels) <= MOST_LABELS:
        raise InputError(f"1 to {MOST_LABELS} labels can be set at once, got {len(labels)}")
    codes = {label.address: f"code-{place}.svg" for place, label in enumerate(labels)}
    rows = [
        {
            "visit": label.visit,
            "watch": label.watch,
            "what": label.what,
            "code": codes[label.address],
            "alt": f"Code that opens {label.address}",
        }
        for label in labels
    ]
    return Sheet(
        template="labels.typ",
        day=day,
        said={"labels": rows, "paper": paper.value, "used": first - 1},
        pictures={name: code(address) for address, name in codes.items()},
    )


def code(address: str) -> bytes:
    """Return an address as a QR code (ISO/IEC 18004) with a quarter of it spare, as SVG."""
    written = io.BytesIO()
    segno.make(address, error="q", micro=False).save(written, kind="svg", border=2, dark="#1f2f4a")
    return written.getvalue()
