"""Invoices without gaps in their numbers, payments, and what is still to be paid."""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from sideshake.bench.models import Invoice, Proposal, User, Visit, Workshop, the_workshop
from sideshake.bench.price_lines import invoice_totals
from sideshake.bench.services.saving import save
from sideshake.bench.services.visiting import locked_workshop
from sideshake.errors import InputError
from sideshake.shop.money import Amount
from sideshake.shop.numbers import Numbering, newest, next_number
from sideshake.shop.totals import balance

NUMBERING = Numbering(prefix="I")


@dataclass(frozen=True, slots=True, kw_only=True)
class Issuing:
    """What is asked for: lines, day, note, and how many invoices the visit was seen to have."""

    lines: list[dict[str, Any]]
    on: date
    note: str = ""
    seen: int | None = None


def agreed_proposal(visit: Visit) -> Proposal | None:
    """Return the version the owner agreed to."""
    return visit.proposals.filter(state="agreed").order_by("-edition").first()


def lines_to_ask(visit: Visit) -> list[dict[str, Any]]:
    """Return the price lines of what was agreed; nothing when an invoice asks for them already."""
    agreed = agreed_proposal(visit)
    if agreed is None or standing(visit):
        return []
    return [row for option in agreed.options.filter(chosen=True) for row in option.lines]


def standing(visit: Visit) -> list[Invoice]:
    """Return the visit's invoices that were not taken back."""
    return list(visit.invoices.filter(cancels=None, cancelled_by=None))


@transaction.atomic
def issue(visit: Visit, asked: Issuing, by: User) -> Invoice:
    """Return an issued invoice; it never changes.

    Raises
    ------
    InputError : there is no line, the day is before that of the last invoice, or another invoice
        was issued for the visit meanwhile
    """
    if not asked.lines:
        raise InputError(_("an invoice needs at least one line"))
    locked_workshop()
    if asked.seen is not None and asked.seen != visit.invoices.count():
        raise InputError(
            _("an invoice was issued for this visit meanwhile; look at it before adding another")
        )
    invoice = unissued(visit, asked.lines)
    invoice.number, invoice.issued_on, invoice.note = new_number(asked.on), asked.on, asked.note
    invoice.due_on = asked.on + timedelta(days=the_workshop().payment_days)
    invoice.issued_by = by
    invoice_totals(invoice)  # refuses a line that cannot be reckoned
    save(invoice, by, what=f"invoice {invoice.number} issued")
    return invoice


def unissued(visit: Visit, lines: list[dict[str, Any]]) -> Invoice:
    """Return an invoice over these lines that has no number yet; nothing is written."""
    shop = the_workshop()
    like: Proposal | Workshop = agreed_proposal(visit) or shop
    return Invoice(
        visit=visit,
        currency=currency_of(visit),
        prices_hold_tax=like.prices_hold_tax,
        tax_wording="" if taxed(lines) else shop.tax_wording,
        lines=lines,
    )


def taxed(lines: list[dict[str, Any]]) -> bool:
    """Whether every line carries tax, so that no reason for its lack is owed."""
    return all(Decimal(row["tax_percent"]) for row in lines)


def currency_of(visit: Visit) -> str:
    """Return the currency of a visit: the one agreed on, invoiced or paid in, else the shop's."""
    first = agreed_proposal(visit) or visit.invoices.first() or visit.payments.first()
    return first.currency if first else the_workshop().currency


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
    last_of_year = newest(of_year.values_list("number", flat=True), NUMBERING)
    return next_number(last_of_year, on.year, NUMBERING)


@transaction.atomic
def cancel(invoice: Invoice, by: User, *, on: date) -> Invoice:
    """Return the invoice that takes another one back, line by line.

    Raises
    ------
    InputError : it is cancelled already, or cancels one itself
    """
    locked_workshop()
    if invoice.cancels_id:
        raise InputError(_("invoice %(n)s takes another one back itself") % {"n": invoice.number})
    if Invoice.objects.filter(cancels=invoice).exists():
        raise InputError(_("invoice %(n)s is cancelled already") % {"n": invoice.number})
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
