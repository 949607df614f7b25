"""Invoices without gaps in their numbers, payments, and what is still to be paid."""

import re
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.web.base.holding import hold_workshop
from sideshake.web.base.saving import save
from sideshake.web.models import Invoice, Payment, Proposal, User, Visit, Workshop, the_workshop
from sideshake.web.money.price_lines import DEPOSIT, invoice_totals, with_usual
from sideshake.workshop_rules.money import Amount
from sideshake.workshop_rules.numbers import Numbering
from sideshake.workshop_rules.totals import NoTax, balance

NUMBERING = Numbering(prefix="INV-")
NUMBER = re.compile(r"[A-Za-z]{0,6}-?[0-9]{4}-([0-9]+)")
"""A number under this prefix or an earlier one: the running number goes on without a gap."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Issuing:
    """What is asked for: lines, days, texts, and how many invoices the visit was seen to have."""

    lines: list[dict[str, Any]]
    on: date
    kind: str = "work"
    supplied_on: date | None = None
    note: str = ""
    rights: str = ""
    seen: int | None = None


def agreed_proposal(visit: Visit) -> Proposal | None:
    """Return the version the owner agreed to."""
    return visit.proposals.filter(state="agreed").order_by("-edition").first()


@transaction.atomic
def issue(visit: Visit, asked: Issuing, by: User) -> Invoice:
    """Return an issued invoice; it never changes. Payments that are for no invoice yet are for it.

    Raises
    ------
    InputError : there is no line, one lacks the reason why it carries no tax, the day is before
        that of the last invoice, or another invoice was issued for the visit meanwhile
    """
    if not asked.lines:
        raise InputError(_("an invoice needs at least one line"))
    hold_workshop()
    if asked.seen is not None and asked.seen != visit.invoices.count():
        raise InputError(
            _("an invoice was issued for this visit meanwhile; look at it before adding another")
        )
    invoice = unissued(visit, asked.lines)
    require_lawful(invoice)
    invoice.kind, invoice.supplied_on, invoice.rights = asked.kind, asked.supplied_on, asked.rights
    invoice.number, invoice.issued_on, invoice.note = new_number(asked.on), asked.on, asked.note
    invoice.due_on = asked.on + timedelta(days=the_workshop().payment_days)
    invoice.issued_by = by
    save(invoice, by, what=f"invoice {invoice.number} issued")
    for payment in visit.payments.filter(invoice=None, currency=invoice.currency):
        put_down(payment, invoice, by)
    return invoice


def put_down(payment: Payment, invoice: Invoice | None, by: User) -> None:
    """Write for which invoice a payment is."""
    payment.invoice = invoice
    save(payment, by)


def unissued(visit: Visit, lines: list[dict[str, Any]]) -> Invoice:
    """Return an invoice over these lines that has no number yet; nothing is written."""
    shop = the_workshop()
    like: Proposal | Workshop = agreed_proposal(visit) or shop
    reasoned = with_usual(lines, usual_reason(shop))
    own = {shop.no_tax, NoTax.OTHER.value} - {""}
    needed = any(not Decimal(row["tax_percent"]) and row.get("no_tax") in own for row in reasoned)
    return Invoice(
        visit=visit,
        currency=currency_of(visit),
        prices_hold_tax=like.prices_hold_tax,
        tax_wording=shop.tax_wording if needed else "",
        lines=reasoned,
    )


def usual_reason(shop: Workshop) -> str:
    """Return the shop's usual reason for 0 %; empty where it has none."""
    return shop.no_tax or (NoTax.OTHER.value if shop.tax_wording else "")


def require_lawful(invoice: Invoice) -> None:
    """Refuse an invoice that lacks what the law asks for.

    Raises
    ------
    InputError : a line cannot be reckoned, or does not say why it carries no tax; the customer owes
        the tax and has no VAT number
    """
    invoice_totals(invoice)
    for row in invoice.lines:
        if not Decimal(row["tax_percent"]) and not row.get("no_tax"):
            raise InputError(
                _("the line “%(text)s” carries no tax: choose the reason") % {"text": row["text"]}
            )
    reversed_ = any(row.get("no_tax") == NoTax.REVERSE_CHARGE.value for row in invoice.lines)
    if reversed_ and not invoice.visit.watch.owner.tax_number:
        raise InputError(_("reverse charge: write the customer's VAT number at the owner first"))


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
    of_year = Invoice.objects.filter(number__contains=f"{on.year}-")
    found = (NUMBER.fullmatch(each) for each in of_year.values_list("number", flat=True))
    return NUMBERING.text(on.year, max((int(each[1]) for each in found if each), default=0) + 1)


@transaction.atomic
def cancel(invoice: Invoice, by: User, *, on: date) -> Invoice:
    """Return the invoice that takes another one back, line by line.

    What was paid on it is for no invoice any more, until the next one is issued.

    Raises
    ------
    InputError : it is cancelled already, or cancels one itself; or it is a deposit invoice that
        the invoice for the work takes off
    """
    hold_workshop()
    if invoice.cancels_id:
        raise InputError(_("invoice %(n)s takes another one back itself") % {"n": invoice.number})
    if Invoice.objects.filter(cancels=invoice).exists():
        raise InputError(_("invoice %(n)s is cancelled already") % {"n": invoice.number})
    require_not_taken_off(invoice)
    lines = [{**row, "each": str(-Decimal(row["each"]))} for row in invoice.lines]
    taken_back = Invoice(
        visit=invoice.visit,
        kind=invoice.kind,
        number=new_number(on),
        issued_on=on,
        due_on=on,
        supplied_on=invoice.supplied_on,
        currency=invoice.currency,
        prices_hold_tax=invoice.prices_hold_tax,
        tax_wording=invoice.tax_wording,
        lines=lines,
        cancels=invoice,
        issued_by=by,
    )
    save(taken_back, by, what=f"invoice {invoice.number} cancelled by {taken_back.number}")
    for payment in invoice.payments.all():
        put_down(payment, None, by)
    return taken_back


def require_not_taken_off(invoice: Invoice) -> None:
    """Refuse to cancel a deposit invoice which another one, that holds, takes off."""
    for other in standing_of(invoice.visit):
        taken = (row["text"] for row in other.lines if row.get("kind") == DEPOSIT)
        if invoice.kind == "deposit" and any(invoice.number in text for text in taken):
            raise InputError(
                _("invoice %(other)s takes this deposit off; cancel that one first")
                % {"other": other.number}
            )


def standing_of(visit: Visit) -> list[Invoice]:
    """Return the visit's invoices that were not taken back; rows already fetched will do."""
    invoices = list(visit.invoices.all())
    taken_back = {each.cancels_id for each in invoices}
    return [each for each in invoices if each.cancels_id is None and each.pk not in taken_back]


def open_invoices(visit: Visit) -> list[tuple[Invoice, Amount]]:
    """Return the invoices of a visit on which something is to be paid, with what that is.

    Reckoned from rows already fetched. No more is asked for than is open on the whole visit: what
    was paid for no invoice counts too.
    """
    whole = still_to_pay(visit)
    if whole is None or whole.value <= 0:
        return []
    paid: dict[int | None, Decimal] = {}
    for payment in visit.payments.all():
        paid[payment.invoice_id] = paid.get(payment.invoice_id, Decimal(0)) + payment.amount
    found = []
    for invoice in standing_of(visit):
        gross = invoice_totals(invoice).gross
        left = min(gross.value - paid.get(invoice.pk, Decimal(0)), whole.value)
        if left > 0:
            found.append((invoice, Amount(left, gross.currency)))
    return found


def open_on(invoice: Invoice) -> Amount:
    """Return what is to be paid on an invoice, as `open_invoices` of its visit has it."""
    nothing = Amount(Decimal(0), invoice.currency)
    return next((left for each, left in open_invoices(invoice.visit) if each == invoice), nothing)


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
