"""Invoices, payments and what is open."""

from decimal import Decimal

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.bench.access import pricing, visit_by_number
from sideshake.bench.forms.business import IssueForm, PaymentForm, line_forms, stored_lines
from sideshake.bench.models import Invoice, Payment, Visit, the_workshop
from sideshake.bench.paging import kept_query, page_of
from sideshake.bench.price_lines import invoice_totals, lines_of
from sideshake.bench.services.billing import agreed_lines, cancel, issue, still_to_pay
from sideshake.bench.services.saving import remove
from sideshake.bench.views.editing import Editing, edit, visit_at


def new_invoice(request: HttpRequest, number: str) -> HttpResponse:
    """Show the lines agreed on, to be added to; then issue the invoice."""
    user = pricing(request)
    visit = visit_by_number(number)
    form = IssueForm(request.POST or None, initial={"issued_on": timezone.localdate()})
    lines = line_forms(request.POST or None, agreed_lines(visit))
    if request.method == "POST" and form.is_valid() and lines.is_valid():
        on, note = form.cleaned_data["issued_on"], form.cleaned_data["note"]
        made = issue(visit, stored_lines(lines), user, on=on, note=note)
        return redirect("invoice", made.number)
    shown = {"visit": visit, "form": form, "lines": lines}
    wrong = bool(request.method == "POST")
    return render(request, "bench/invoice_new.html", shown, status=422 if wrong else 200)


def invoice(request: HttpRequest, number: str) -> HttpResponse:
    """Show an invoice as it is printed."""
    pricing(request)
    rows = Invoice.objects.select_related("visit__watch__owner", "cancels", "cancelled_by")
    found = get_object_or_404(rows, number=number)
    shown = {
        "invoice": found,
        "lines": lines_of(found.lines, found.currency),
        "totals": invoice_totals(found),
        "cancelled": getattr(found, "cancelled_by", None),
        "open": still_to_pay(found.visit),
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
    record = Payment(visit=visit, currency=the_workshop().currency, on=timezone.localdate())
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
    seen = request.POST.get("seen", "")
    remove(record, user, seen=int(seen) if seen.isdecimal() else None)
    return redirect(visit_at("money")(record))


def money(request: HttpRequest) -> HttpResponse:
    """List invoices with what is still open on their visits, the newest first."""
    pricing(request)
    rows = Invoice.objects.select_related("visit__watch__owner").order_by("-issued_on", "-pk")
    rows = rows.prefetch_related("visit__invoices", "visit__payments")
    page = page_of(request, rows)
    shown = {
        "page": page,
        "kept": kept_query(request),
        "rows": [(each, invoice_totals(each).gross, open_of(each.visit)) for each in page],
    }
    return render(request, "bench/money.html", shown)


def open_of(visit: Visit) -> Decimal:
    """Return what is open on a visit, as a decimal."""
    left = still_to_pay(visit)
    return left.value if left else Decimal(0)
