"""The invoice on paper, as Article 226 of Directive 2006/112/EC asks for it."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from sideshake.core.errors import InputError
from sideshake.documents.blocks import (
    Block,
    Document,
    Letterhead,
    Paper,
    Table,
    Words,
    known_facts,
    rights_blocks,
)
from sideshake.documents.einvoice import BillKind
from sideshake.wording import gettext as _
from sideshake.wording import inside, noop

TITLES = {
    BillKind.INVOICE: noop("Invoice {number}"),
    BillKind.DEPOSIT: noop("Deposit invoice {number}"),
    BillKind.CANCELLATION: noop("Cancellation {number}"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class BillLine:
    """One line as text: prices before tax, and the sum with it where prices contain it."""

    what: str
    quantity: str
    each: str
    tax: str
    net: str
    gross: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RateRow:
    """The sums of one rate, or of all, as text."""

    words: str
    net: str
    tax: str
    gross: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """An invoice's text; amounts are already written in the owner's way."""

    head: Letterhead
    day: date
    kind: BillKind = BillKind.INVOICE
    number: str
    visit: str
    watch: str
    to: str
    to_tax_number: str = ""
    tax_name: str = noop("Tax no.")
    """What the number under which the workshop is taxed is called."""
    issued: str
    agreed: str = ""
    """On which day and by which way the owner agreed."""
    due: str = ""
    supplied: str = ""
    lines: tuple[BillLine, ...]
    rates: tuple[RateRow, ...]
    """Every rate, 0 % included, with its reason."""
    total: RateRow
    margin: bool = False
    """Whether all is under a margin scheme: then no tax and no sum without it may be shown."""
    paid: tuple[tuple[str, str], ...] = ()
    """What was paid on this very invoice until it was issued."""
    left: tuple[str, str] = ("", "")
    """What is still to be paid: words and sum; empty words when nothing is."""
    open_before: tuple[tuple[str, str], ...] = ()
    """What deposit invoices that are taken off still ask for, and all in all; the last in bold."""
    cancels: str = ""
    cancels_on: str = ""
    reasons: tuple[str, ...] = ()
    """Why no tax is charged."""
    note: str = ""
    words: str = ""
    """The workshop's own last words."""
    rights: str = ""
    """The customer's rights, as the workshop words them."""
    paper: Paper = Paper.A4
    data: bytes = field(default=b"", repr=False)
    """The same as XML."""
    data_gaps: tuple[str, ...] = ()
    """What the XML would need to say, when it cannot be made."""

    def __post_init__(self) -> None:
        if not self.lines or not self.rates:
            raise InputError(f"invoice {self.number}: an invoice needs a line and a sum")


def invoice(bill: Bill) -> Document:
    """Return the invoice as a letter to the owner."""
    cells = (
        (_("Visit"), bill.visit),
        (_("Date"), bill.issued),
        (_("Supplied on"), bill.supplied),
        (_("Due"), bill.due),
        (_("Agreed on"), bill.agreed),
    )
    title = _(TITLES[bill.kind]).format(number=bill.number)
    return Document(
        title=title,
        head=bill.head,
        day=bill.day,
        to=bill.to,
        cells=tuple((name, words) for name, words in cells if words),
        blocks=tuple(invoice_blocks(bill)),
        first_foot=bill.head.name,
        foot=f"{bill.head.name} · {inside(title)}",
        paper=bill.paper,
        tight=True,
        gaps=(*bill_gaps(bill.head, bill.to), *data_gap(bill)),
        invoice_data=bill.data,
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


def data_gap(bill: Bill) -> tuple[str, ...]:
    """Return that the invoice carries no data for machines, and what they would need to say."""
    if not bill.data_gaps:
        return ()
    return (f"its data for other programs (EN 16931), which need {', '.join(bill.data_gaps)}",)


def invoice_blocks(bill: Bill) -> Iterator[Block]:
    """Yield the lines, the sums and how to pay."""
    yield Words(words=first_words(bill))
    yield margin_table(bill.lines) if bill.margin else lines_table(bill.lines)
    yield sums_table(bill)
    if bill.paid or bill.left[0]:
        left = (bill.left, *bill.open_before) if bill.left[0] else ()
        yield Table(
            columns=(_("Paid and to pay"), _("Amount")),
            rows=(*bill.paid, *left),
            numbers=(1,),
            sums=min(len(left), 1),
        )
    for words in (*bill.reasons, bill.note):
        if words:
            yield Words(words=words)
    yield from known_facts(
        (_("Please pay to"), bill.head.bank if bill.due else ""),
        (_("Reference"), bill.number if bill.due else ""),
        (_(bill.tax_name), bill.head.tax_number),
        (_("Your VAT number"), bill.to_tax_number),
    )
    if bill.words.strip():
        yield Words(words=bill.words.strip())
    yield from rights_blocks(bill.rights)


def first_words(bill: Bill) -> str:
    """Return what the invoice is for."""
    if bill.kind is BillKind.CANCELLATION:
        return _(
            "This cancels our invoice {number} of {day} in full: nothing is to be paid on it any "
            "more. It was for our work on: {watch}."
        ).format(number=bill.cancels, day=bill.cancels_on, watch=bill.watch)
    if bill.kind is BillKind.DEPOSIT:
        return _(
            "For work still to be done on: {watch}. The invoice for the finished work takes this "
            "deposit off, with its tax."
        ).format(watch=bill.watch)
    return _("For our work on: {watch}").format(watch=bill.watch)


def lines_table(lines: tuple[BillLine, ...]) -> Table:
    """Return the lines; the sum with tax stands where the agreed prices contain it."""
    columns = (_("What"), _("Quantity"), _("Each without tax"), _("Tax"), _("Without tax"))
    rows = [(line.what, line.quantity, line.each, line.tax, line.net) for line in lines]
    if not any(line.gross for line in lines):
        return Table(columns=columns, rows=tuple(rows), numbers=(1, 2, 3, 4))
    with_gross = [(*row, line.gross) for row, line in zip(rows, lines, strict=True)]
    return Table(columns=(*columns, _("With tax")), rows=tuple(with_gross), numbers=(1, 2, 3, 4, 5))


def margin_table(lines: tuple[BillLine, ...]) -> Table:
    """Return lines under a margin scheme: prices alone (Directive 2006/112/EC, Article 325)."""
    rows = tuple((line.what, line.quantity, line.each, line.net) for line in lines)
    columns = (_("What"), _("Quantity"), _("Each"), _("Sum"))
    return Table(columns=columns, rows=rows, numbers=(1, 2, 3))


def sums_table(bill: Bill) -> Table:
    """Return the sums of every rate, and all together; under a margin scheme one sum alone."""
    if bill.margin:
        total = (bill.total.words, bill.total.gross)
        return Table(columns=(_("Sum"), _("Amount")), rows=(total,), numbers=(1,), sums=1)
    rows = (*bill.rates, bill.total)
    return Table(
        columns=(_("Sums"), _("Without tax"), _("Tax"), _("With tax")),
        rows=tuple((row.words, row.net, row.tax, row.gross) for row in rows),
        numbers=(1, 2, 3),
        sums=1,
    )
