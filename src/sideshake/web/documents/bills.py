"""An invoice as it stands on paper, and as the data inside it."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from django.utils.text import capfirst

from sideshake.documents.einvoice import BillKind, EarlierInvoice, EInvoice, lacking, percent_text
from sideshake.documents.invoice import Bill, BillLine, RateRow
from sideshake.web.documents.agreed import agreed_words
from sideshake.web.documents.parties import buyer, seller, tax_name
from sideshake.web.documents.words import (
    address_of,
    letterhead,
    paper_size,
    price_words,
    written_day,
    written_money,
    written_price,
)
from sideshake.web.models import Invoice, Payment, the_workshop
from sideshake.web.money.price_lines import DEPOSIT, invoice_totals, lines_of_invoice, prices_of
from sideshake.web.money.services import standing_of
from sideshake.wording import figures
from sideshake.wording import gettext as _
from sideshake.workshop_rules.billed import BilledLine, billed_lines
from sideshake.workshop_rules.money import Amount, sum_of
from sideshake.workshop_rules.totals import RateSum, Totals

DASH = "–"
MINUS = "\N{MINUS SIGN}"


def bill_of(invoice: Invoice) -> Bill:
    """Return an invoice for paper, with what was paid on it until it was issued."""
    told = figures_of(invoice)
    missing = lacking(told)
    cancels, works = invoice.cancels, invoice.kind == "work"
    before = () if cancels else tuple(open_rows(invoice, told))
    return Bill(
        head=letterhead(),
        day=invoice.issued_on,
        kind=told.kind,
        number=invoice.number,
        visit=invoice.visit.number,
        watch=invoice.visit.watch.title,
        to=address_of(invoice.visit),
        to_tax_number=invoice.visit.watch.owner.tax_number,
        tax_name=tax_name(),
        issued=written_day(invoice.issued_on),
        agreed="" if cancels else agreed_words(invoice.visit, until=invoice.issued_on),
        due=written_day(invoice.due_on) if told.is_to_be_paid else "",
        supplied=written_day(invoice.supplied_on) if works else "",
        lines=tuple(lines_text(told.lines, gross=invoice.prices_hold_tax, back=bool(cancels))),
        rates=tuple(rate_row(each) for each in told.totals.by_rate),
        total=total_row(told.totals),
        margin=all(map(in_margin, told.totals.by_rate)),
        paid=tuple(paid_row(each) for each in paid_before(invoice)),
        left=("", "") if cancels else left_row(invoice, told, alone=not before),
        open_before=before,
        cancels=cancels.number if cancels else "",
        cancels_on=written_day(cancels.issued_on) if cancels else "",
        reasons=reasons_of(invoice, told.totals),
        note=invoice.note,
        words="" if cancels else the_workshop().invoice_words,
        rights=invoice.rights,
        paper=paper_size(),
        data=b"" if missing else data_of(told),
        data_gaps=missing,
    )


def figures_of(invoice: Invoice) -> EInvoice:
    """Return an invoice in figures."""
    totals = invoice_totals(invoice)
    lines = lines_of_invoice(invoice)
    paid = tuple(amount_of(each) for each in paid_before(invoice))
    return EInvoice(
        kind=kind_of(invoice),
        number=invoice.number,
        issued_on=invoice.issued_on,
        due_on=invoice.due_on,
        supplied_on=invoice.supplied_on,
        seller=seller(),
        buyer=buyer(invoice.visit.watch.owner),
        lines=billed_lines(lines, currency=invoice.currency, prices=prices_of(invoice)),
        totals=totals,
        paid=sum_of(paid, invoice.currency),
        earlier=tuple(earlier_of(invoice)),
        notes=(*notes_of(invoice), invoice.note, invoice.tax_wording),
        other_reason=invoice.tax_wording,
        bank=letterhead().bank,
        bic=the_workshop().bic,
    )


def notes_of(invoice: Invoice) -> Iterator[str]:
    """Yield for which watch an invoice is, what it cancels, and what it rests on."""
    watch = _("For our work on: {watch}").format(watch=invoice.visit.watch.title)
    yield f"{watch} ({invoice.visit.number})"
    if invoice.cancels:
        said = {"number": invoice.cancels.number, "day": written_day(invoice.cancels.issued_on)}
        yield _("This cancels our invoice %(number)s of %(day)s in full.") % said
    elif agreed := agreed_words(invoice.visit, until=invoice.issued_on):
        yield _("Agreed on %(agreed)s") % {"agreed": agreed}


def data_of(figures: EInvoice) -> bytes:
    """Return an invoice as XML."""
    from sideshake.documents.cii import cii

    return cii(figures)


def kind_of(invoice: Invoice) -> BillKind:
    """Return what an invoice is."""
    if invoice.cancels_id:
        return BillKind.CANCELLATION
    return BillKind.DEPOSIT if invoice.kind == "deposit" else BillKind.INVOICE


def earlier_of(invoice: Invoice) -> Iterator[EarlierInvoice]:
    """Yield the invoice that is cancelled, or the deposit invoices that are taken off."""
    if invoice.cancels:
        yield EarlierInvoice(number=invoice.cancels.number, on=invoice.cancels.issued_on)
    else:
        for each in taken_deposits(invoice):
            yield EarlierInvoice(number=each.number, on=each.issued_on)


def taken_deposits(invoice: Invoice) -> list[Invoice]:
    """Return the deposit invoices that an invoice takes off."""
    if not any(row.get("kind") == DEPOSIT for row in invoice.lines):
        return []
    return [each for each in standing_of(invoice.visit) if each.kind == "deposit"]


def paid_before(invoice: Invoice) -> list[Payment]:
    """Return what was paid on this invoice until it was issued: what came later is not on it."""
    return paid_until(invoice, invoice.issued_on)


def paid_until(invoice: Invoice, day: date) -> list[Payment]:
    """Return what was paid on an invoice until a day."""
    return [each for each in invoice.payments.all() if each.on <= day]


def amount_of(payment: Payment) -> Amount:
    """Return a payment's amount."""
    return Amount(payment.amount.normalize(), payment.currency)


def lines_text(
    lines: tuple[BilledLine, ...], *, gross: bool, back: bool = False
) -> Iterator[BillLine]:
    """Yield the lines as text; what costs nothing beside others that cost is included in them.

    As in the data, no price is below zero: where something is taken back, the quantity is.

    `gross` : with the sum with tax, where the agreed prices contain it
    `back` : whether the invoice takes another one back
    """
    within = any(line.net.value for line in lines)
    for line in lines:
        net = price_words(line.net, within=within)
        yield BillLine(
            what=capfirst(line.text),
            quantity=f"{line.counted(back=back).normalize():f}".replace("-", MINUS),
            each=written_price(line.price, line.net.currency) if line.net.value else net,
            tax=DASH if in_margin(line) else percent_words(line.tax_percent),
            net=net,
            gross=price_words(line.gross, within=within) if gross else "",
        )


def in_margin(each: BilledLine | RateSum) -> bool:
    """Return whether its tax lies in the margin and may not be shown."""
    return each.no_tax is not None and each.no_tax.is_margin


def rate_row(each: RateSum) -> RateRow:
    """Return the sums of a rate, 0 % with its reason."""
    words = tax_words(each.tax_percent)
    return RateRow(
        words=rate_words(each, words),
        net=written_money(each.net),
        tax=DASH if in_margin(each) else written_money(each.tax),
        gross=written_money(each.gross),
    )


def rate_words(each: RateSum, words: str) -> str:
    """Return what stands before the sums of a rate."""
    if each.no_tax is None:
        return words
    if each.no_tax.is_margin:
        return capfirst(each.no_tax.short)
    return f"{words}, {each.no_tax.short}"


def percent_words(percent: Decimal) -> str:
    """Return a rate."""
    return _("%(p)s %%") % {"p": figures(percent_text(percent))}


def total_row(totals: Totals) -> RateRow:
    """Return all rates together."""
    return RateRow(
        words=_("Total"),
        net=written_money(totals.net),
        tax=written_money(totals.tax),
        gross=written_money(totals.gross),
    )


def tax_words(percent: Decimal) -> str:
    """Return the tax and its rate."""
    return _("Tax %(p)s %%") % {"p": figures(percent_text(percent))}


def paid_row(payment: Payment) -> tuple[str, str]:
    """Return when something was paid, and how much; a deposit where the record says it is one."""
    taken_off = Amount(-amount_of(payment).value, payment.currency)
    came = _("Deposit received %(day)s") if payment.deposit else _("Paid %(day)s")
    words = came if taken_off.value < 0 else _("Given back %(day)s")
    return words % {"day": written_day(payment.on)}, written_money(taken_off)


def left_row(invoice: Invoice, figures: EInvoice, *, alone: bool) -> tuple[str, str]:
    """Return what is left of this invoice; `alone` where nothing is open from another one."""
    left, day = figures.due, {"day": written_day(invoice.due_on)}
    if left.value < 0:
        return _("We owe you"), written_money(Amount(-left.value, left.currency))
    if not left.value:
        words = _("Nothing is left to be paid") if alone else _("Nothing for this invoice")
        return words, written_money(left)
    if figures.paid.value:
        return _("Still to be paid by %(day)s") % day, written_money(left)
    return _("To be paid by %(day)s") % day, written_money(left)


def open_rows(invoice: Invoice, figures: EInvoice) -> Iterator[tuple[str, str]]:
    """Yield what is unpaid of each deposit invoice that is taken off, then all that is to be paid.

    What was paid until this invoice was issued counts.
    """
    whole = figures.due
    if invoice.kind != "work" or whole.value < 0:
        return
    for each in taken_deposits(invoice):
        if each.currency != invoice.currency:
            continue
        paid = sum_of(tuple(map(amount_of, paid_until(each, invoice.issued_on))), each.currency)
        left = invoice_totals(each).gross - paid
        if left.value > 0:
            whole += left
            yield _("Still open from %(number)s") % {"number": each.number}, written_money(left)
    if whole != figures.due:
        yield _("In all"), written_money(whole)


def reasons_of(invoice: Invoice, totals: Totals) -> tuple[str, ...]:
    """Return why no tax is charged: in the law's words, and in the workshop's."""
    own = (invoice.tax_wording,) if invoice.tax_wording else ()
    return (*totals.wordings, *own)
