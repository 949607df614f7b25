"""The invoice on paper."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from sideshake.errors import InputError
from sideshake.paper.blocks import Block, Document, Letterhead, Paper, Table, Words, known_facts
from sideshake.paper.proposal import PricedLine


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """An invoice's text; amounts are already written in the owner's way."""

    head: Letterhead
    day: date
    number: str
    visit: str
    watch: str
    to: str
    issued: str
    due: str
    lines: tuple[PricedLine, ...]
    sums: tuple[tuple[str, str], ...]
    """Net, tax by rate, total, payments, and last what is still to be paid."""
    cancels: str = ""
    tax_wording: str = ""
    note: str = ""
    words: str = ""
    """The workshop's own last words."""
    paper: Paper = Paper.A4

    def __post_init__(self) -> None:
        if not self.lines or not self.sums:
            raise InputError(f"invoice {self.number}: an invoice needs a line and a sum")


def invoice(bill: Bill) -> Document:
    """Return the invoice as a letter to the owner."""
    kind = f"Cancellation of invoice {bill.cancels}" if bill.cancels else "Invoice"
    return Document(
        title=f"{kind} {bill.number}" if not bill.cancels else f"{kind}: {bill.number}",
        head=bill.head,
        day=bill.day,
        to=bill.to,
        cells=(
            ("Number", bill.number),
            ("Visit", bill.visit),
            ("Date", bill.issued),
            ("Due", bill.due),
        ),
        blocks=tuple(invoice_blocks(bill)),
        foot=f"{bill.head.name} · invoice {bill.number}",
        paper=bill.paper,
        gaps=bill_gaps(bill.head, bill.to),
    )


def bill_gaps(head: Letterhead, to: str) -> tuple[str, ...]:
    """Return what an invoice should say and does not; `to` is the address in its window."""
    wanted = (
        (head.tax_number, "the workshop's tax number"),
        (head.bank, "the workshop's bank details"),
        (head.address, "the workshop's address"),
        (len(to.splitlines()) > 1, "the owner's address"),
    )
    return tuple(words for there, words in wanted if not there)


def invoice_blocks(bill: Bill) -> Iterator[Block]:
    """Yield the lines, the sums and how to pay."""
    yield Words(words=f"For our work on: {bill.watch}")
    yield Table(
        columns=("What", "Quantity", "Each", "Sum"),
        rows=tuple((line.what, line.quantity, line.each, line.sum) for line in bill.lines),
        numbers=(1, 2, 3),
    )
    yield Table(columns=("", "Amount"), rows=bill.sums, numbers=(1,), sums=1)
    for words in (bill.tax_wording, bill.note):
        if words:
            yield Words(words=words)
    yield from known_facts(("Please pay to", bill.head.bank), ("Tax number", bill.head.tax_number))
    if bill.words.strip():
        yield Words(words=bill.words.strip())
