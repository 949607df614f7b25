"""Invoices, payments and what is open."""

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
    IssueForm,
    PaymentForm,
    line_forms,
    stored_lines,
    with_more_lines,
)
from sideshake.bench.models import Invoice, Payment, Visit
from sideshake.bench.paging import kept_query, page_of
from sideshake.bench.price_lines import invoice_totals
from sideshake.bench.services.billing import (
    Issuing,
    cancel,
    currency_of,
    issue,
    lines_to_ask,
    standing,
    still_to_pay,
    unissued,
)
from sideshake.bench.services.ledger import Debts, debts, ledger
from sideshake.bench.services.saving import remove
from sideshake.bench.views.editing import Editing, edit, version_seen, visit_at
from sideshake.bench.views.sections.business import words
from sideshake.errors import InputError
from sideshake.shop.totals import Totals


def new_invoice(request: HttpRequest, number: str) -> HttpResponse:
    """Show the lines agreed on, to be added to and summed up; then issue the invoice."""
    user = pricing(request)
    visit = visit_by_number(number)
    more = "more" in request.POST
    typed = with_more_lines(request.POST) if more else request.POST or None
    first = {"issued_on": timezone.localdate(), "seen": visit.invoices.count()}
    form, lines = IssueForm(typed, initial=first), line_forms(typed, lines_to_ask(visit))
    status = 200 if more or typed is None else 422
    if status != 200 and form.is_valid() and lines.is_valid():
        try:
            return redirect("invoice", issue(visit, asked_for(form, lines), user).number)
        except InputError as error:
            form.add_error(None, error.sentence)
    shown = {"visit": visit, "form": form, "lines": lines, "totals": preview(visit, lines)}
    shown["standing"] = standing(visit)
    return render(request, "bench/invoice_new.html", shown, status=status)


def asked_for(form: IssueForm, lines: Any) -> Issuing:
    """Return what a filled-in form asks to be issued."""
    given = form.cleaned_data
    return Issuing(
        lines=stored_lines(lines), on=given["issued_on"], note=given["note"], seen=given["seen"]
    )


def preview(visit: Visit, lines: Any) -> Totals | None:
    """Return the sums of the lines as they stand in the form; None while one is wrong."""
    if lines.is_bound and not lines.is_valid():
        return None
    rows = stored_lines(lines) if lines.is_bound else lines.initial
    return invoice_totals(unissued(visit, rows)) if rows else None


def invoice(request: HttpRequest, number: str) -> HttpResponse:
    """Show an invoice as it is printed, with what was paid on its visit."""
    pricing(request)
    rows = Invoice.objects.select_related("visit__watch__owner", "cancels", "cancelled_by")
    found = get_object_or_404(rows, number=number)
    left = still_to_pay(found.visit)
    shown = {
        "invoice": found,
        "totals": invoice_totals(found),
        "cancelled": getattr(found, "cancelled_by", None),
        "payments": found.visit.payments.all(),
        "words": words(left) if left is not None else "",
    }
    return render(request, "bench/invoice.html", shown)


@require_POST
def cancel_invoice(request: HttpRequest, number: str) -> HttpResponse:
    """Cancel an invoice by another one."""
    user = pricing(request)
    found = get_object_or_404(Invoice.objects.select_related("visit"), number=number)
    return redirect("invoice", cancel(found, user, on=timezone.localdate()).number)


def new_payment(request: HttpRequest, number: str) -> HttpResponse:
    """Write down money that came in or went back."""
    pricing(request)
    visit = visit_by_number(number)
    record = Payment(visit=visit, currency=currency_of(visit), on=timezone.localdate())
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
    rows = Invoice.objects.select_related("visit__watch__owner").order_by("-issued_on", "-pk")
    page = page_of(request, sifted(rows, request, open_now))
    shown = {
        "page": page,
        "kept": kept_query(request),
        "rows": [
            (each, invoice_totals(each).gross, open_now.left.get(each.visit_id)) for each in page
        ],
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
