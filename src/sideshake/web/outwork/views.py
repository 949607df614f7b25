"""What goes out to others: the wishes for jewels, their orders, and other outwork."""

import csv
from copy import copy

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.web.base.access import publishing, signed_in, visit_by_number
from sideshake.web.base.asking import Removal, SureQuestion, ask_and_remove, tried, unsure
from sideshake.web.base.characters import guarded
from sideshake.web.base.editing import Editing, edit, version_seen, visit_at
from sideshake.web.base.paging import kept_query, page_of
from sideshake.web.base.saving import save
from sideshake.web.documents.jewel_orders import drawn, order_lacks
from sideshake.web.documents.pivot_truing import untrued_for
from sideshake.web.models import JewelOrder, Outwork, User
from sideshake.web.outwork import ordering as after_making
from sideshake.web.outwork import services as service
from sideshake.web.outwork.forms import (
    DayForm,
    JewelOrderForm,
    OrderEditForm,
    OutworkForm,
    PricedOutworkForm,
)
from sideshake.web.outwork.queries import issues_of
from sideshake.web.templatetags.bench import day as day_words

MOST_WISHES = 500


def wishes(request: HttpRequest) -> HttpResponse:
    """List the jewels wished on all visits, equal sizes together, and make an order of them."""
    day = timezone.localdate()
    new = JewelOrder(
        number=service.next_order_number(day.year), ordered_on=day, ask=str(signed_in(request))
    )
    form = JewelOrderForm(request.POST or None, instance=new)
    ticked = {int(each) for each in request.POST.getlist("wish") if each.isdecimal()}
    if request.method == "POST" and "stay" not in request.POST and form.is_valid():
        try:
            return ordered_or_asked(request, form, sorted(ticked))
        except InputError as error:
            form.add_error(None, error.sentence)
    shown = {
        "groups": service.by_size(service.open_wishes()[:MOST_WISHES]),
        "form": form,
        "ticked": ticked if request.method == "POST" else None,
        "page": page_of(request, JewelOrder.objects.all()),
        "kept": kept_query(request),
    }
    return render(request, "outwork/jewels.html", shown, status=422 if form.errors else 200)


def ordered_or_asked(request: HttpRequest, form: JewelOrderForm, ticked: list[int]) -> HttpResponse:
    """Ask once, with what goes to whom, then order jewels."""
    user, order = signed_in(request), form.save(commit=False)

    def made() -> JewelOrder:
        trial: JewelOrder = copy(order)
        service.make_order(trial, ticked, user)
        return trial

    page = unsure(request, tried(made, about_order))
    if page:
        return page
    service.make_order(order, ticked, user)
    return redirect("jewel-order", order.pk)


def about_order(made: JewelOrder) -> SureQuestion:
    """Return the question whether jewels are ordered, from the order they would be in."""
    rows = list(made.wishes.select_related("visit"))
    count = sum(each.quantity for each in rows)
    visits = ", ".join(sorted({each.visit.number for each in rows}))
    words = {"number": made.number, "who": made.to, "n": count, "visits": visits}
    title = ngettext(
        "Order one jewel from %(who)s, as %(number)s?",
        "Order %(n)d jewels from %(who)s, as %(number)s?",
        count,
    )
    told = _(
        "For %(visits)s. The order keeps its number; what is in it can be changed until it comes."
    )
    return SureQuestion(title=title % words, told=(told % words,), do=_("Order %(number)s") % words)


def order(request: HttpRequest, pk: int) -> HttpResponse:
    """Show an order as a table to print, with the visits each jewel is for."""
    found = get_object_or_404(JewelOrder, pk=pk)
    rows = list(found.wishes.select_related("visit__watch"))
    issues = list(issues_of(found))
    shown = {
        "order": found,
        "groups": service.by_size(rows),
        "drawn": drawn(found, rows),
        "gaps": (*order_lacks(found, rows), *(() if issues else untrued_for(rows))),
        "day": DayForm(initial={"on": timezone.localdate()}),
        "issues": issues,
    }
    return render(request, "outwork/order.html", shown)


def edit_order(request: HttpRequest, pk: int) -> HttpResponse:
    """Change an order and what is in it; an issued one gets its next version at once."""
    record = get_object_or_404(JewelOrder, pk=pk)
    issued = issues_of(record).last()
    if issued is not None:
        publishing(request)
    ticked = [int(each) for each in request.POST.getlist("wish") if each.isdecimal()]
    shown = {
        "groups": service.by_size(after_making.wishes_to_choose(record)),
        "ticked": ticked if request.method == "POST" else [w.pk for w in record.wishes.all()],
        "issued": issued,
    }
    day = timezone.localdate()

    def write(changed: JewelOrder, by: User, *, seen: int | None) -> None:
        after_making.change_order(changed, ticked, by, on=day, seen=seen)

    editing = Editing(
        title=_("Jewel order %(number)s") % {"number": record.number},
        done=at_order,
        template="outwork/order_edit.html",
        shown=shown,
        write=write,
    )
    return edit(request, OrderEditForm, record, editing)


@require_POST
def issue_order(request: HttpRequest, pk: int) -> HttpResponse:
    """Issue an order. From now on its paper is given again as it is today."""
    user = publishing(request)
    found = get_object_or_404(JewelOrder, pk=pk)
    after_making.require_issuable(found)
    page = unsure(request, about_issue(found))
    if page:
        return page
    issued = after_making.issue_order(found, user, on=timezone.localdate())
    messages.success(request, _("Issued: this paper is kept as it is today."))
    return redirect("issued-paper", issued.pk)


def about_issue(found: JewelOrder) -> SureQuestion:
    """Return the question whether an order is issued."""
    words = {"number": found.number, "who": found.to, "day": day_words(timezone.localdate())}
    return SureQuestion(
        title=_("Issue order %(number)s for %(who)s?") % words,
        told=(
            _("It is kept as it is on %(day)s, and given again unchanged.") % words,
            _("It cannot be taken back; when the order changes, its next version is issued."),
        ),
        do=_("Issue it"),
        stay=at_order(found),
    )


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
            [guarded(found.number), *told, group.quantity, visits, guarded(notes), group.shape]
        )
    return answer


@require_POST
def receive(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a received order into the drawer; its wishes are back."""
    found = get_object_or_404(JewelOrder, pk=pk)
    form = DayForm(request.POST)
    if not form.is_valid():
        raise InputError(_("the day on which it was received is missing or is no day"))
    on, user = form.cleaned_data["on"], signed_in(request)

    def received() -> tuple[JewelOrder, int]:
        trial = get_object_or_404(JewelOrder, pk=pk)
        return trial, service.receive_order(trial, on, user)

    page = unsure(request, tried(received, receiving))
    if page:
        return page
    count = service.receive_order(found, on, user)
    messages.success(request, _("%(n)d jewels went into the drawer.") % {"n": count})
    return redirect("jewel-order", pk)


def receiving(made: tuple[JewelOrder, int]) -> SureQuestion:
    """Return the question whether an order is put into the drawer as received."""
    words = {"number": made[0].number, "n": made[1], "who": made[0].to}
    title = ngettext(
        "Put one jewel of order %(number)s into the drawer?",
        "Put %(n)d jewels of order %(number)s into the drawer?",
        made[1],
    )
    return SureQuestion(
        title=title % words,
        told=(_("The order from %(who)s is then received, and every wish in it is back.") % words,),
        do=_("Received"),
        stay=reverse("jewel-order", args=[made[0].pk]),
    )


def outwork(request: HttpRequest) -> HttpResponse:
    """List what is out, what is late first."""
    shown = {
        "page": page_of(request, service.out_now()),
        "kept": kept_query(request),
        "day": timezone.localdate(),
    }
    return render(request, "outwork/list.html", shown)


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
    return get_object_or_404(Outwork.objects.select_related("visit__watch__owner", "order"), pk=pk)


@require_POST
def back_today(request: HttpRequest, pk: int) -> HttpResponse:
    """Put outwork down as back today."""
    work = outwork_by_pk(pk)
    work.back_on = timezone.localdate()
    save(work, signed_in(request), seen=version_seen(request), what=f"back: {work.what}")
    return redirect("outwork")


@require_POST
def remove_outwork(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put outwork aside."""
    work = outwork_by_pk(pk)
    ordered = _("It is ordered with %(order)s: the maker has it on paper.") % {"order": work.order}
    removal = Removal(
        done=visit_at("bench")(work),
        stay=reverse("edit-outwork", args=[pk]),
        also=(ordered,) if work.order else (),
    )
    return ask_and_remove(request, work, signed_in(request), removal)
