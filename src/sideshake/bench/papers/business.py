"""An invoice as it stands on paper, and the price lines and sums that a proposal shares."""

from decimal import Decimal

from django.utils.translation import gettext as _

from sideshake.bench.models import (
    Invoice,
    the_workshop,
)
from sideshake.bench.papers.words import (
    address_of,
    letterhead,
    paper_size,
    written_day,
    written_money,
)
from sideshake.bench.price_lines import (
    invoice_totals,
    lines_of,
)
from sideshake.bench.services.billing import still_to_pay
from sideshake.paper.invoice import Bill
from sideshake.paper.proposal import PricedLine
from sideshake.shop.money import Amount
from sideshake.shop.totals import Totals


def priced_lines(rows: list[dict[str, str]], currency: str) -> list[PricedLine]:
    """Return price lines as text."""
    return [
        PricedLine(
            what=line.text,
            quantity=f"{Decimal(line.quantity).normalize():f}",
            each=written_money(line.each),
            sum=written_money(line.total),
        )
        for line in lines_of(rows, currency)
    ]


def sum_rows(sums: Totals) -> tuple[tuple[str, str], ...]:
    """Return net, tax by rate and total as rows; the total last."""
    rows = [
        row
        for each in sums.by_rate
        if each.tax.value
        for row in (
            (_("Without tax"), written_money(each.net)),
            (tax_words(each.tax_percent), written_money(each.tax)),
        )
    ]
    return (*rows, (_("Together"), written_money(sums.gross)))


def tax_words(percent: Decimal) -> str:
    """Return the tax and its rate."""
    return _("Tax %(p)s %%") % {"p": f"{percent.normalize():f}"}


def bill_of(invoice: Invoice) -> Bill:
    """Return an invoice for paper, with what was paid and is still open on its visit."""
    paid = [
        (
            _("Paid %(day)s") % {"day": written_day(payment.on)},
            written_money(Amount(-payment.amount.normalize(), payment.currency)),
        )
        for payment in invoice.visit.payments.all()
    ]
    left = still_to_pay(invoice.visit)
    rest = ((_("Still to be paid"), written_money(left)),) if paid and left else ()
    return Bill(
        head=letterhead(),
        day=invoice.issued_on,
        number=invoice.number,
        visit=invoice.visit.number,
        watch=invoice.visit.watch.title,
        to=address_of(invoice.visit),
        issued=written_day(invoice.issued_on),
        due=written_day(invoice.due_on),
        lines=tuple(priced_lines(invoice.lines, invoice.currency)),
        sums=(*sum_rows(invoice_totals(invoice)), *paid, *rest),
        cancels=invoice.cancels.number if invoice.cancels else "",
        tax_wording=invoice.tax_wording,
        note=invoice.note,
        words=the_workshop().invoice_words,
        paper=paper_size(),
    )
