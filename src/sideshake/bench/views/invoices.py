"""Invoices, payments and what is open."""

from datetime import date
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.bench.access import pricing, visit_by_number
from sideshake.bench.forms.business import (
    InvoiceLineForms,
    IssueForm,
    PaymentForm,
    line_forms,
    stored_lines,
    with_more_lines,
)
from sideshake.bench.models import Invoice, Issued, Payment, Visit, the_workshop
from sideshake.bench.paging import kept_query, page_of
from sideshake.bench.papers.bills import reasons_of
from sideshake.bench.papers.words import address_of
from sideshake.bench.price_lines import invoice_totals
from sideshake.bench.rights import RIGHTS
from sideshake.bench.services.billing import (
    Issuing,
    currency_of,
    left_of,
    standing,
    unissued,
)
from sideshake.bench.services.deposits import deposit_lines, lines_to_ask
from sideshake.bench.services.issuing import cancel_invoice as take_back
from sideshake.bench.services.issuing import issue_invoice
from sideshake.bench.services.ledger import Debts, debts, ledger
from sideshake.bench.services.saving import remove
from sideshake.bench.views.editing import Editing, edit, version_seen, visit_at
from sideshake.bench.views.sections.business import words
from sideshake.errors import InputError
from sideshake.paper.kinds import Kind
from sideshake.shop.totals import Totals


def new_invoice(request: HttpRequest, number: str) -> HttpResponse:
    """Show the lines agreed on, to be added to and summed up; then issue the invoice."""
    user = pricing(request)
    visit = visit_by_number(number)
    more = "more" in request.POST
    typed = with_more_lines(request.POST) if more else request.POST or None
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
            issued = issue_invoice(visit, asked_for(form, lines), user)
            return redirect("invoice", issued.number)
        except InputError as error:
            form.add_error(None, error.sentence)
    shown = {"visit": visit, "form": form, "lines": lines, "totals": preview(visit, lines)}
    shown["standing"] = [each for each in standing(visit) if each.kind == "work"]
    shown["untaxable"] = taxed_without_number(shown["totals"])
    return render(request, "bench/invoice_new.html", shown, status=status)


def first_lines(visit: Visit, form: IssueForm) -> list[dict[str, Any]]:
    """Return the lines that an invoice begins with."""
    deposit = form["kind"].value() == "deposit"
    return deposit_lines(visit) if deposit else lines_to_ask(visit)


def supplied_on(visit: Visit) -> date:
    """Return the day of supply as far as it is known: when the work was done, else today."""
    done = [step.done_at for step in visit.plan.all() if step.done_at and step.kind == "work"]
    return timezone.localdate(max(done)) if done else timezone.localdate()


def taxed_without_number(totals: Totals | None) -> bool:
    """Whether tax would be charged though the workshop has no tax number."""
    taxed = bool(totals and any(each.tax_percent for each in totals.by_rate))
    return taxed and not the_workshop().tax_number


def asked_for(form: IssueForm, lines: Any) -> Issuing:
    """Return what a filled-in form asks to be issued."""
    given = form.cleaned_data
    return Issuing(
        lines=form.reasoned(stored_lines(lines)),
        on=given["issued_on"],
        kind=given["kind"] or "work",
        supplied_on=given.get("supplied_on"),
        note=given["note"],
        rights=form.rights(),
        seen=given["seen"],
    )


def preview(visit: Visit, lines: Any) -> Totals | None:
    """Return the sums of the lines as they stand in the form; None while one is wrong."""
    if lines.is_bound and not lines.is_valid():
        return None
    rows = stored_lines(lines) if lines.is_bound else lines.initial
    return invoice_totals(unissued(visit, rows)) if rows else None


def invoice(request: HttpRequest, number: str) -> HttpResponse:
    """Show an invoice with what was paid on it."""
    pricing(request)
    rows = Invoice.objects.select_related("visit__watch__owner", "cancels", "cancelled_by")
    found = get_object_or_404(rows, number=number)
    left = left_of(found)
    shown = {
        "invoice": found,
        "totals": invoice_totals(found),
        "cancelled": getattr(found, "cancelled_by", None),
        "payments": found.payments.all(),
        "words": words(left),
        "reasons": reasons_of(found, invoice_totals(found)),
        "address": issued_to(found) or address_of(found.visit),
    }
    return render(request, "bench/invoice.html", shown)


def issued_to(found: Invoice) -> str:
    """Return the address on an invoice's paper; empty while no paper was made."""
    paper = Issued.objects.filter(kind=Kind.INVOICE.value, of=found.number).first()
    return paper.to if paper else ""


@require_POST
def cancel_invoice(request: HttpRequest, number: str) -> HttpResponse:
    """Cancel an invoice by another one."""
    user = pricing(request)
    found = get_object_or_404(Invoice.objects.select_related("visit"), number=number)
    return redirect("invoice", take_back(found, user, on=timezone.localdate()).number)


def new_payment(request: HttpRequest, number: str) -> HttpResponse:
    """Write down money that came in or went back."""
    pricing(request)
    visit = visit_by_number(number)
    record = Payment(
        visit=visit,
        currency=currency_of(visit),
        on=timezone.localdate(),
        invoice=next((each for each in standing(visit) if left_of(each).value > 0), None),
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
    """Remove a payment that was none; the history keeps it."""
    user = pricing(request)
    record = get_object_or_404(Payment.objects.select_related("visit"), pk=pk)
    remove(record, user, seen=version_seen(request))
    return redirect(visit_at("money")(record))


def money(request: HttpRequest) -> HttpResponse:
    """List what is still to be paid and the invoices, by year, the newest first."""
    pricing(request)
    book = ledger()
    open_now = debts(book)
    rows = Invoice.objects.select_related("visit__watch__owner", "cancelled_by")
    rows = rows.prefetch_related("payments").order_by("-issued_on", "-pk")
    page = page_of(request, sifted(rows, request, open_now))
    shown = {
        "page": page,
        "kept": kept_query(request),
        "rows": [(each, invoice_totals(each).gross, left_of(each).value) for each in page],
        "years": book.newest_first(),
        "open_now": open_now,
        "year": request.GET.get("year", ""),
        "only_open": "open" in request.GET,
    }
    return render(request, "bench/money.html", shown)


def sifted(rows: QuerySet[Invoice], request: HttpRequest, open_now: Debts) -> QuerySet[Invoice]:
    """Return the invoices that the address asks for."""
    year = request.GET.get("year", "")
    if year.isdecimal():
        rows = rows.filter(issued_on__year=min(max(int(year), 1), 9998))
    if "open" in request.GET:
        rows = rows.filter(visit__in=open_now.debtors)
    return rows
