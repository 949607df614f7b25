"""Invoices, payments and what is open."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.documents.kinds import PaperKind
from sideshake.web.base.access import pricing, visit_by_number
from sideshake.web.base.asking import Removal, SureQuestion, ask_and_remove, tried, unsure
from sideshake.web.base.editing import Editing, edit, visit_at
from sideshake.web.base.paging import kept_query, page_of
from sideshake.web.documents.agreed import agreed_words
from sideshake.web.documents.bills import reasons_of
from sideshake.web.documents.issuing import cancel_invoice as take_back
from sideshake.web.documents.issuing import issue_invoice
from sideshake.web.documents.parties import tax_name
from sideshake.web.documents.words import address_of, letterhead
from sideshake.web.models import Invoice, Issued, Payment, User, Visit, the_workshop
from sideshake.web.money.deposits import deposit_lines, lines_to_ask
from sideshake.web.money.forms import IssueForm, PaymentForm
from sideshake.web.money.ledger import Debts, debts, ledger
from sideshake.web.money.line_forms import (
    InvoiceLineForms,
    line_forms,
    with_more_lines,
)
from sideshake.web.money.price_lines import invoice_totals, with_usual
from sideshake.web.money.services import (
    Issuing,
    cancel,
    currency_of,
    issue,
    open_invoices,
    open_on,
    standing_of,
    still_to_pay,
    unissued,
)
from sideshake.web.money.untaxed import Untaxed, billed_rows
from sideshake.web.money.warnings import warnings
from sideshake.web.overview.overdue import overdue_money
from sideshake.web.owners.speaking import speaking_to_owner
from sideshake.web.proposals.rights import RIGHTS
from sideshake.web.templatetags.bench import amount
from sideshake.web.templatetags.bench import day as day_words
from sideshake.web.visit_page.sections.business import words
from sideshake.workshop_rules.due import days_over
from sideshake.workshop_rules.money import Amount
from sideshake.workshop_rules.totals import NoTax


def new_invoice(request: HttpRequest, number: str) -> HttpResponse:
    """Show the lines agreed on, to be added to and summed up; then issue the invoice."""
    user = pricing(request)
    visit = visit_by_number(number)
    more = bool({"more", "stay"} & set(request.POST))
    typed = with_more_lines(request.POST) if "more" in request.POST else request.POST or None
    first = {
        "kind": "deposit" if "deposit" in request.GET else "work",
        "issued_on": timezone.localdate(),
        "supplied_on": supplied_on(visit),
        "no_tax": the_workshop().no_tax,
        **{name: getattr(the_workshop(), name) for name in RIGHTS},
        "seen": visit.invoices.count(),
    }
    form = IssueForm(typed, initial=first)
    lines = line_forms(typed, first_lines(visit, form), forms_of=InvoiceLineForms)
    status = 200 if more or typed is None else 422
    if status != 200 and form.is_valid() and lines.is_valid():
        try:
            return issued_or_asked(request, visit, asked_for(visit, form, lines), user)
        except InputError as error:
            form.add_error(None, error.sentence)
    rows, untaxed = shown_rows(visit, form, lines)
    shown = {"visit": visit, "form": form, "lines": lines, "untaxed": untaxed}
    made = unissued(visit, with_usual(rows, known_reason(form)))
    shown["totals"] = invoice_totals(made) if rows else None
    shown["warnings"] = tuple(warnings(made))
    shown["standing"] = [each for each in standing_of(visit) if each.kind == "work"]
    return render(request, "money/invoice_new.html", shown, status=status)


def issued_or_asked(request: HttpRequest, visit: Visit, asked: Issuing, user: User) -> HttpResponse:
    """Ask once, with the number and the sum it will have, then issue an invoice."""
    page = unsure(request, tried(lambda: issue(visit, asked, user), issuing_question))
    if page:
        return page
    return redirect("invoice", issue_invoice(visit, asked, user).number)


def issuing_question(made: Invoice) -> SureQuestion:
    """Return the question whether an invoice is issued, from what it would be."""
    gross = invoice_totals(made).gross
    words = {
        "number": made.number,
        "sum": amount(gross.value, gross.currency),
        "who": made.visit.watch.owner,
        "due": day_words(made.due_on),
    }
    return SureQuestion(
        title=_("Issue invoice %(number)s over %(sum)s to %(who)s?") % words,
        told=(
            _(
                "It gets its number and does not change after that; only another invoice can "
                "cancel it."
            ),
            _("It is due on %(due)s.") % words,
            *warnings(made),
        ),
        do=_("Issue %(number)s") % words,
    )


def first_lines(visit: Visit, form: IssueForm) -> list[dict[str, Any]]:
    """Return the lines that an invoice begins with."""
    deposit = form["kind"].value() == "deposit"
    return deposit_lines(visit) if deposit else lines_to_ask(visit)


def supplied_on(visit: Visit) -> date:
    """Return the day of supply as far as it is known: when the work was done, else today."""
    done = [step.done_at for step in visit.plan.all() if step.done_at and step.kind == "work"]
    return timezone.localdate(max(done)) if done else timezone.localdate()


def asked_for(visit: Visit, form: IssueForm, lines: Any) -> Issuing:
    """Return what a filled-in form asks to be issued."""
    given = form.cleaned_data
    rows, _untaxed = billed_rows(visit, lines, given.get("no_tax") or "")
    with speaking_to_owner(visit):
        rights = form.rights()
    return Issuing(
        lines=form.reasoned(rows),
        on=given["issued_on"],
        kind=given["kind"] or "work",
        supplied_on=given.get("supplied_on"),
        note=given["note"],
        rights=rights,
        seen=given["seen"],
    )


def shown_rows(
    visit: Visit, form: IssueForm, lines: Any
) -> tuple[list[dict[str, Any]], tuple[Untaxed, ...]]:
    """Return the lines as they stand in the form, those without tax now; none if one is wrong."""
    if not lines.is_bound:
        return lines.initial, ()
    if not lines.is_valid():
        return [], ()
    return billed_rows(visit, lines, known_reason(form))


def known_reason(form: IssueForm) -> str:
    """Return the reason for lines with 0 % that is chosen in the form; empty for none."""
    chosen = str(form["no_tax"].value() or "")
    return chosen if chosen in set(NoTax) else ""


def invoice(request: HttpRequest, number: str) -> HttpResponse:
    """Show an invoice with what was paid on it."""
    pricing(request)
    rows = Invoice.objects.select_related("visit__watch__owner", "cancels", "cancelled_by")
    ready = rows.prefetch_related("visit__invoices", "visit__payments", "visit__proposals")
    found = get_object_or_404(ready, number=number)
    totals = invoice_totals(found)
    left, whole = open_on(found), still_to_pay(found.visit)
    shown = {
        "invoice": found,
        "totals": totals,
        "cancelled": getattr(found, "cancelled_by", None),
        "payments": found.payments.all(),
        "words": words(whole if whole is not None and whole.value < 0 else left),
        "open": left.value > 0,
        "late": days_over(found.due_on, timezone.localdate()) if left.value > 0 else 0,
        "reasons": reasons_of(found, totals),
        "address": issued_to(found) or address_of(found.visit),
        "pay_to": letterhead().bank,
        "tax_name": tax_name(),
        "agreed": "" if found.cancels else agreed_words(found.visit, until=found.issued_on),
    }
    return render(request, "money/invoice.html", shown)


def issued_to(found: Invoice) -> str:
    """Return the address on an invoice's paper; empty while no paper was made."""
    paper = Issued.objects.filter(kind=PaperKind.INVOICE.value, of=found.number).first()
    return paper.to if paper else ""


@require_POST
def cancel_invoice(request: HttpRequest, number: str) -> HttpResponse:
    """Cancel an invoice by another one."""
    user, day = pricing(request), timezone.localdate()
    words = partial(cancelling, paid=by_number(number).payments.exists())
    page = unsure(request, tried(lambda: cancel(by_number(number), user, on=day), words))
    if page:
        return page
    return redirect("invoice", take_back(by_number(number), user, on=day).number)


def by_number(number: str) -> Invoice:
    """Return an invoice with its visit, or 404."""
    rows = Invoice.objects.select_related("visit__watch__owner")
    return get_object_or_404(rows, number=number)


def cancelling(made: Invoice, *, paid: bool) -> SureQuestion:
    """Return the question whether an invoice is cancelled, from the one that would do it."""
    invoice = made.cancels
    if invoice is None:
        raise InputError(_("this invoice takes none back"))
    gross = invoice_totals(invoice).gross
    words = {
        "number": invoice.number,
        "new": made.number,
        "sum": amount(gross.value, gross.currency),
        "who": invoice.visit.watch.owner,
    }
    told = [_("Invoice %(new)s takes it back, line by line. Both stay, and neither changes.")]
    if paid:
        told.append(
            _("What was paid on %(number)s is then for no invoice, until the next one is issued.")
        )
    return SureQuestion(
        title=_("Cancel invoice %(number)s over %(sum)s to %(who)s?") % words,
        told=tuple(each % words for each in told),
        do=_("Cancel %(number)s") % words,
        stay=reverse("invoice", args=[invoice.number]),
    )


def new_payment(request: HttpRequest, number: str) -> HttpResponse:
    """Write down money that came in or went back."""
    pricing(request)
    visit = visit_by_number(number)
    record = Payment(
        visit=visit,
        currency=currency_of(visit),
        on=timezone.localdate(),
        invoice=next((each for each, _left in open_invoices(visit)), None),
    )
    editing = Editing(title=_("Payment for %(n)s") % {"n": number}, done=visit_at("money"))
    return edit(request, PaymentForm, record, editing)


def edit_payment(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct a payment."""
    pricing(request)
    record = get_object_or_404(Payment.objects.select_related("visit"), pk=pk)
    shown = {"remove": reverse("remove-payment", args=[pk])}
    editing = Editing(title=_("Payment"), done=visit_at("money"), shown=shown)
    return edit(request, PaymentForm, record, editing)


@require_POST
def remove_payment(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put a payment aside that was none."""
    user = pricing(request)
    rows = Payment.objects.select_related("visit__watch__owner", "invoice")
    record = get_object_or_404(rows, pk=pk)
    removal = Removal(
        done=visit_at("money")(record),
        stay=reverse("edit-payment", args=[pk]),
        also=(payment_words(record),),
        called=_("payment of %(sum)s") % {"sum": amount(record.amount, record.currency)},
    )
    return ask_and_remove(request, record, user, removal)


def payment_words(record: Payment) -> str:
    """Return what no longer holds without a payment."""
    words = {
        "who": record.visit.watch.owner,
        "visit": record.visit.number,
        "invoice": record.invoice or "–",
        "sum": amount(record.amount, record.currency),
    }
    if record.invoice is None:
        return _("%(who)s then has paid %(sum)s less for visit %(visit)s.") % words
    return _("%(sum)s of invoice %(invoice)s to %(who)s are then to be paid again.") % words


def money(request: HttpRequest) -> HttpResponse:
    """List what is still to be paid and the invoices, by year, the newest first."""
    pricing(request)
    book, day = ledger(), timezone.localdate()
    open_now = debts(book)
    rows = Invoice.objects.select_related("visit__watch__owner", "cancelled_by")
    rows = rows.prefetch_related("visit__invoices", "visit__payments")
    rows = rows.order_by("-issued_on", "-pk")
    page = page_of(request, sifted(rows, request, open_now))
    late = overdue_money(day, open_now.debtors)
    shown = {
        "page": page,
        "kept": kept_query(request),
        "rows": [bill_row(each, day) for each in page],
        "overdue": sum_by_currency(each.sum for each in late if each.sum),
        "years": book.newest_first(),
        "open_now": open_now,
        "year": request.GET.get("year", ""),
        "only_open": "open" in request.GET,
    }
    return render(request, "money/list.html", shown)


def bill_row(invoice: Invoice, day: date) -> tuple[Invoice, Amount, Decimal, int]:
    """Return an invoice with its sum, what is open on it, and for how many days that is overdue."""
    left = open_on(invoice).value
    late = days_over(invoice.due_on, day) if left > 0 else 0
    return invoice, invoice_totals(invoice).gross, left, late


def sum_by_currency(sums: Iterable[Amount]) -> list[Amount]:
    """Return the sums of each currency."""
    found: dict[str, Amount] = {}
    for each in sums:
        found[each.currency] = found[each.currency] + each if each.currency in found else each
    return list(found.values())


def sifted(rows: QuerySet[Invoice], request: HttpRequest, open_now: Debts) -> QuerySet[Invoice]:
    """Return the invoices that the address asks for."""
    year = request.GET.get("year", "")
    if year.isdecimal():
        rows = rows.filter(issued_on__year=min(max(int(year), 1), 9998))
    if "open" in request.GET:
        rows = rows.filter(visit__in=open_now.debtors)
    return rows
