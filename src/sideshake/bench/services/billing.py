"""Invoices without gaps in their numbers, payments, and what is still to be paid."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from sideshake.bench.models import Invoice, Proposal, User, Visit, Workshop, the_workshop
from sideshake.bench.price_lines import invoice_totals
from sideshake.bench.services.saving import save
from sideshake.errors import InputError
from sideshake.shop.money import Amount
from sideshake.shop.numbers import Numbering, next_number
from sideshake.shop.totals import balance

NUMBERING = Numbering(prefix="I")


def agreed_lines(visit: Visit) -> list[dict[str, Any]]:
    """Return the price lines of what the owner agreed to; nothing when there is no agreement."""
    agreed = visit.proposals.filter(state="agreed").order_by("-edition").first()
    if agreed is None:
        return []
    return [row for option in agreed.options.filter(chosen=True) for row in option.lines]


@transaction.atomic
def issue(visit: Visit, lines: list[dict[str, Any]], by: User, *, on: date, note: str) -> Invoice:
    """Return an issued invoice; it never changes.

    Raises
    ------
    InputError : there is no line, or the day is before that of the last invoice
    """
    if not lines:
        raise InputError(_("an invoice needs at least one line"))
    shop = locked_workshop()
    agreed: Any = visit.proposals.filter(state="agreed").order_by("-edition").first()
    like: Proposal | Workshop = agreed or shop
    invoice = Invoice(
        visit=visit,
        number=new_number(on),
        issued_on=on,
        due_on=on + timedelta(days=shop.payment_days),
        currency=like.currency,
        prices_hold_tax=like.prices_hold_tax,
        tax_wording=shop.tax_wording
        if not any(Decimal(row["tax_percent"]) for row in lines)
        else "",
        lines=lines,
        note=note,
        issued_by=by,
    )
    invoice_totals(invoice)  # refuses a line that cannot be reckoned
    save(invoice, by, what=f"invoice {invoice.number} issued")
    return invoice


def taxed(lines: list[dict[str, Any]]) -> bool:
    """Whether any line carries tax."""
    return any(Decimal(row["tax_percent"]) for row in lines)


def locked_workshop() -> Workshop:
    """Return the workshop's row, locked: invoices are numbered one after the other."""
    the_workshop()
    return Workshop.objects.select_for_update().get()


def new_number(on: date) -> str:
    """Return the next invoice number of the year.

    Raises
    ------
    InputError : an invoice of a later day exists
    """
    last = Invoice.objects.order_by("-issued_on").first()
    if last is not None and last.issued_on > on:
        raise InputError(
            _("the last invoice, %(number)s, is of %(day)s; an invoice cannot be older than that")
            % {"number": last.number, "day": last.issued_on}
        )
    of_year = Invoice.objects.filter(number__startswith=f"{NUMBERING.prefix}{on.year}-")
    numbers = list(of_year.values_list("number", flat=True))
    newest = max(numbers, key=lambda number: NUMBERING.parts(number)[1], default=None)
    return next_number(newest, on.year, NUMBERING)


@transaction.atomic
def cancel(invoice: Invoice, by: User, *, on: date) -> Invoice:
    """Return the invoice that takes another one back, line by line.

    Raises
    ------
    InputError : it is cancelled already, or cancels one itself
    """
    if invoice.cancels_id or Invoice.objects.filter(cancels=invoice).exists():
        raise InputError(_("invoice %(n)s is cancelled already") % {"n": invoice.number})
    locked_workshop()
    lines = [{**row, "each": str(-Decimal(row["each"]))} for row in invoice.lines]
    taken_back = Invoice(
        visit=invoice.visit,
        number=new_number(on),
        issued_on=on,
        due_on=on,
        currency=invoice.currency,
        prices_hold_tax=invoice.prices_hold_tax,
        tax_wording=invoice.tax_wording,
        lines=lines,
        cancels=invoice,
        issued_by=by,
    )
    save(taken_back, by, what=f"invoice {invoice.number} cancelled by {taken_back.number}")
    return taken_back


def still_to_pay(visit: Visit) -> Amount | None:
    """Return what the owner still owes for a visit; None when nothing was invoiced or paid.

    Reckoned from rows already fetched.
    """
    invoices, payments = list(visit.invoices.all()), list(visit.payments.all())
    if not invoices and not payments:
        return None
    currency = (invoices or payments)[0].currency
    asked = Amount(Decimal(0), currency)
    for invoice in invoices:
        asked += invoice_totals(invoice).gross
    paid = tuple(Amount(payment.amount.normalize(), payment.currency) for payment in payments)
    return balance(asked, paid)
