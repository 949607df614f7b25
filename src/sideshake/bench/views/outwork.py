"""What goes out to others: the wishes for jewels, their orders, and other outwork."""

import csv

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.bench.access import publishing, signed_in, visit_by_number
from sideshake.bench.forms.work import (
    DayForm,
    JewelOrderForm,
    OrderEditForm,
    OutworkForm,
    PricedOutworkForm,
)
from sideshake.bench.models import JewelOrder, Outwork, User
from sideshake.bench.paging import kept_query, page_of
from sideshake.bench.papers.parts import drawn, issues_of, order_lacks
from sideshake.bench.services import ordering
from sideshake.bench.services import outworking as service
from sideshake.bench.services.saving import remove, save
from sideshake.bench.views.editing import Editing, edit, version_seen, visit_at
from sideshake.errors import InputError

BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")
MOST_WISHES = 500


def wishes(request: HttpRequest) -> HttpResponse:
    """List the jewels wished on all visits, equal sizes together, and make an order of them."""
    day = timezone.localdate()
    new = JewelOrder(
        number=service.next_order_number(day.year), ordered_on=day, ask=str(signed_in(request))
    )
    form = JewelOrderForm(request.POST or None, instance=new)
    ticked = {int(each) for each in request.POST.getlist("wish") if each.isdecimal()}
    if request.method == "POST" and form.is_valid():
        order = form.save(commit=False)
        try:
            service.make_order(order, sorted(ticked), signed_in(request))
            return redirect("jewel-order", order.pk)
        except InputError as error:
            form.add_error(None, error.sentence)
    shown = {
        "groups": service.by_size(service.open_wishes()[:MOST_WISHES]),
        "form": form,
        "ticked": ticked if request.method == "POST" else None,
        "page": page_of(request, JewelOrder.objects.all()),
        "kept": kept_query(request),
    }
    return render(request, "bench/outwork_jewels.html", shown, status=422 if form.errors else 200)


def order(request: HttpRequest, pk: int) -> HttpResponse:
    """Show an order as a table to print, with the visits each jewel is for."""
    found = get_object_or_404(JewelOrder, pk=pk)
    rows = list(found.wishes.select_related("visit__watch"))
    shown = {
        "order": found,
        "groups": service.by_size(rows),
        "drawn": drawn(found, rows),
        "gaps": order_lacks(found, rows),
        "day": DayForm(initial={"on": timezone.localdate()}),
        "issues": list(issues_of(found)),
    }
    return render(request, "bench/outwork_order.html", shown)


def edit_order(request: HttpRequest, pk: int) -> HttpResponse:
    """Change an order and what is in it; an issued one gets its next version at once."""
    record = get_object_or_404(JewelOrder, pk=pk)
    issued = issues_of(record).last()
    if issued is not None:
        publishing(request)
    ticked = [int(each) for each in request.POST.getlist("wish") if each.isdecimal()]
    shown = {
        "groups": service.by_size(ordering.wishes_to_choose(record)),
        "ticked": ticked if request.method == "POST" else [w.pk for w in record.wishes.all()],
        "issued": issued,
    }
    day = timezone.localdate()

    def write(changed: JewelOrder, by: User, *, seen: int | None) -> None:
        ordering.change_order(changed, ticked, by, on=day, seen=seen)

    editing = Editing(
        title=_("Jewel order %(number)s") % {"number": record.number},
        done=at_order,
        template="bench/outwork_order_edit.html",
        shown=shown,
        write=write,
    )
    return edit(request, OrderEditForm, record, editing)


@require_POST
def issue_order(request: HttpRequest, pk: int) -> HttpResponse:
    """Issue an order. From now on its paper is given again as it is today."""
    user = publishing(request)
    found = get_object_or_404(JewelOrder, pk=pk)
    issued = ordering.issue_order(found, user, on=timezone.localdate())
    messages.success(request, _("Issued: this paper is kept as it is today."))
    return redirect("issued-paper", issued.pk)


def at_order(record: JewelOrder) -> str:
    """Return the address of an order's page."""
    return reverse("jewel-order", args=[record.pk])


def order_table(_request: HttpRequest, pk: int) -> HttpResponse:
    """Return an order as a CSV table."""
    found = get_object_or_404(JewelOrder, pk=pk)
    answer = HttpResponse(content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="jewel-order-{found.pk}.csv"'
    table = csv.writer(answer)
    table.writerow(
        ["order", "hole_mm", "outside_mm", "thickness_mm", "quantity", "visits", "note", "shape"]
    )
    for group in service.by_size(found.wishes.select_related("visit")):
        sizes = (group.size.hole_mm, group.size.outside_mm, group.size.thickness_mm)
        visits = " ".join(sorted({each.visit.number for each in group.wishes}))
        notes = "; ".join(each.note for each in group.wishes if each.note)
        told = (f"{each:.3f}" if each >= 0 else "" for each in sizes)
        table.writerow(
            [tame(found.number), *told, group.quantity, visits, tame(notes), group.shape]
        )
    return answer


def tame(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(BEGINS_A_FORMULA) else text


@require_POST
def receive(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a received order into the drawer; its wishes are back."""
    found = get_object_or_404(JewelOrder, pk=pk)
    form = DayForm(request.POST)
    if not form.is_valid():
        raise InputError(_("the day on which it was received is missing or is no day"))
    count = service.receive_order(found, form.cleaned_data["on"], signed_in(request))
    messages.success(request, _("%(n)d jewels went into the drawer.") % {"n": count})
    return redirect("jewel-order", pk)


def outwork(request: HttpRequest) -> HttpResponse:
    """List what is out, what is late first."""
    shown = {
        "page": page_of(request, service.out_now()),
        "kept": kept_query(request),
        "day": timezone.localdate(),
    }
    return render(request, "bench/outwork.html", shown)


def new_outwork(request: HttpRequest, number: str) -> HttpResponse:
    """Note outwork or a wished jewel of a visit."""
    record = Outwork(visit=visit_by_number(number), jewel="jewel" in request.GET)
    title = _("A jewel to be made") if record.jewel else _("Outwork")
    return edit(request, form_for(signed_in(request)), record, editing_of(title, {}))


def edit_outwork(request: HttpRequest, pk: int) -> HttpResponse:
    """Edit outwork, or remove it."""
    record = outwork_by_pk(pk)
    shown = {"remove": reverse("remove-outwork", args=[pk])}
    return edit(request, form_for(signed_in(request)), record, editing_of(_("Outwork"), shown))


def editing_of(title: str, shown: dict[str, str]) -> Editing:
    """Return how outwork is edited."""
    return Editing(title=title, done=visit_at("bench"), shown=shown, write=service.write_outwork)


def form_for(user: User) -> type[OutworkForm]:
    """Return the form for outwork: what it costs is not an apprentice's business."""
    return PricedOutworkForm if user.may_price else OutworkForm


def outwork_by_pk(pk: int) -> Outwork:
    """Return outwork with its visit, or 404."""
    return get_object_or_404(Outwork.objects.select_related("visit__watch__owner"), pk=pk)


@require_POST
def back_today(request: HttpRequest, pk: int) -> HttpResponse:
    """Put outwork down as back today."""
    work = outwork_by_pk(pk)
    work.back_on = timezone.localdate()
    save(work, signed_in(request), seen=version_seen(request), what=f"back: {work.what}")
    return redirect("outwork")


@require_POST
def remove_outwork(request: HttpRequest, pk: int) -> HttpResponse:
    """Remove outwork; the history keeps it."""
    work = outwork_by_pk(pk)
    remove(work, signed_in(request), seen=version_seen(request))
    return redirect(visit_at("bench")(work))
