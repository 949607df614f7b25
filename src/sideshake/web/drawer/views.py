"""The drawer: what lies in it, what runs low, what fits a wish, which watch got which piece."""

from typing import Any

from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.asking import Removal, ask_and_remove
from sideshake.web.base.editing import Editing, edit, visit_at
from sideshake.web.base.paging import kept_query, page_of
from sideshake.web.drawer import services as service
from sideshake.web.drawer.forms import BatchForm, ItemForm, PricedBatchForm, UsedForm, WishForm
from sideshake.web.models import Batch, Item, Kind, Used, User

SHOWN_LOW = 30


def drawer(request: HttpRequest) -> HttpResponse:
    """List what lies in the drawer by kind, and what runs low."""
    low = list(service.low_items()[: SHOWN_LOW + 1])
    shown = {
        "page": page_of(request, sifted(service.items_in_stock(), request)),
        "kept": kept_query(request),
        "kinds": Kind.choices,
        "kind": request.GET.get("kind", ""),
        "words": request.GET.get("words", ""),
        "low": low[:SHOWN_LOW],
        "more_low": len(low) > SHOWN_LOW,
    }
    return render(request, "drawer/list.html", shown)


def sifted(rows: "QuerySet[Any]", request: HttpRequest) -> "QuerySet[Any]":
    """Return the items that the address asks for."""
    asked = request.GET
    if asked.get("kind") in Kind.values:
        rows = rows.filter(kind=asked["kind"])
    for word in asked.get("words", "").replace("\x00", "").split():
        rows = rows.filter(
            Q(name__icontains=word)
            | Q(place__icontains=word)
            | Q(calibre__icontains=word)
            | Q(note__icontains=word)
        )
    return rows


def find_jewel(request: HttpRequest) -> HttpResponse:
    """Show which jewels of the drawer fit the sizes of a wish."""
    form = WishForm(request.GET or None)
    found = service.fitting(wish_of(form)) if request.GET and form.is_valid() else None
    status = 422 if request.GET and form.errors else 200
    return render(request, "drawer/find.html", {"form": form, "found": found}, status=status)


def wish_of(form: WishForm) -> service.JewelWish:
    """Return the wish that was typed."""
    typed = form.cleaned_data
    usual = {"within_mm": typed["within"], "thickness_within_mm": typed["thickness_within"]}
    return service.JewelWish(
        hole_mm=typed["hole"],
        outside_mm=typed["outside"],
        thickness_mm=typed["thickness"],
        **{name: value for name, value in usual.items() if value is not None},
    )


def item(request: HttpRequest, pk: int) -> HttpResponse:
    """Show an item, its batches, and which watch got which piece."""
    found = get_object_or_404(service.items_in_stock(), pk=pk)
    used = Used.objects.filter(batch__item=found).select_related(
        "visit__watch__owner", "batch", "by"
    )
    shown = {
        "item": found,
        "batches": service.batches_in_stock().filter(item=found),
        "page": page_of(request, used.order_by("-on", "-pk")),
        "kept": "",
    }
    return render(request, "drawer/item.html", shown)


def edit_item(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Write a new item, or edit one."""
    record = get_object_or_404(Item, pk=pk) if pk else Item()
    shown = {"remove": reverse("remove-item", args=[pk])} if pk else {"back": reverse("drawer")}
    title = _("Item of the drawer") if pk else _("New item in the drawer")
    return edit(request, ItemForm, record, Editing(title=title, done=at_item, shown=shown))


@require_POST
def remove_item(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put an item aside that has no batch."""
    record = get_object_or_404(Item, pk=pk)
    service.require_no_batch(record)
    removal = Removal(
        done=reverse("drawer"), stay=reverse("edit-item", args=[pk]), act=service.drop_item
    )
    return ask_and_remove(request, record, signed_in(request), removal)


def edit_batch(request: HttpRequest, pk: int, batch: int | None = None) -> HttpResponse:
    """Write a new batch of an item, or edit one."""
    owner = get_object_or_404(Item, pk=pk)
    new = Batch(item=owner, received_on=timezone.localdate(), quantity=1)
    record = get_object_or_404(owner.batches, pk=batch) if batch else new
    shown = {"remove": reverse("remove-batch", args=[batch])} if batch else {}
    editing = Editing(
        title=_("Batch of %(item)s") % {"item": owner},
        done=lambda saved: at_item(saved.item),
        shown=shown,
        write=service.write_batch,
    )
    return edit(request, batch_form(signed_in(request)), record, editing)


def batch_form(user: User) -> type[BatchForm]:
    """Return the form for a batch: what it cost is not an apprentice's business."""
    return PricedBatchForm if user.may_price else BatchForm


@require_POST
def remove_batch(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put a batch aside of which nothing was used."""
    batch = get_object_or_404(Batch.objects.select_related("item"), pk=pk)
    service.require_unused(batch)
    told = ngettext(
        "The drawer then holds one %(item)s less.",
        "The drawer then holds %(n)d of %(item)s less.",
        batch.quantity,
    )
    removal = Removal(
        done=at_item(batch.item),
        stay=reverse("edit-batch", args=[batch.item_id, pk]),
        also=(told % {"n": batch.quantity, "item": batch.item},),
        act=service.drop_batch,
    )
    return ask_and_remove(request, batch, signed_in(request), removal)


def use(request: HttpRequest, number: str) -> HttpResponse:
    """Choose what went into the watch: the items that have stock, sifted by words."""
    visit = visit_by_number(number)
    rows = sifted(service.items_in_stock().filter(stock__gt=0), request)
    shown = {
        "visit": visit,
        "page": page_of(request, rows),
        "kept": kept_query(request),
        "kinds": Kind.choices,
        "kind": request.GET.get("kind", ""),
        "words": request.GET.get("words", ""),
    }
    return render(request, "drawer/use.html", shown)


def use_item(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """Choose the batch of an item."""
    visit = visit_by_number(number)
    found = get_object_or_404(service.items_in_stock(), pk=pk)
    batches = list(service.batches_in_stock().filter(item=found, left__gt=0))
    if len(batches) == 1:
        return redirect("use-batch", number, batches[0].pk)
    shown = {"visit": visit, "item": found, "batches": batches}
    return render(request, "drawer/use_item.html", shown)


def use_batch(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """Put a piece of a batch into the watch."""
    visit = visit_by_number(number)
    batch = get_object_or_404(service.batches_in_stock().select_related("item"), pk=pk)
    old = "returned" if visit.return_old_parts else "kept"
    record = Used(visit=visit, batch=batch, on=timezone.localdate(), old_part=old)
    title = _("%(item)s for %(watch)s") % {"item": batch.item, "watch": visit.watch}
    editing = Editing(
        title=title,
        done=visit_at("bench"),
        template="drawer/use_batch.html",
        shown={"visit": visit, "batch": batch, "left": batch.left},
        write=service.use_piece,
    )
    return edit(request, UsedForm, record, editing)


def edit_used(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct what went into a watch, or bring it back into the drawer."""
    record = get_object_or_404(used_rows(), pk=pk)
    editing = Editing(
        title=_("%(item)s in %(watch)s") % {"item": record.batch.item, "watch": record.visit.watch},
        done=visit_at("bench"),
        template="drawer/used.html",
        shown={"visit": record.visit},
        write=service.use_piece,
    )
    return edit(request, UsedForm, record, editing)


def used_rows() -> "QuerySet[Used]":
    """Return the used pieces with all that their page shows."""
    return Used.objects.select_related("visit__watch__owner", "batch__item")


@require_POST
def bring_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then bring a piece back into the drawer: it did not go into this watch."""
    record = get_object_or_404(used_rows(), pk=pk)
    words = {"item": record.batch.item, "n": record.quantity, "watch": record.visit.watch}
    then = _("Then it did not go into %(watch)s, and no paper made from now on names it.")
    removal = Removal(
        done=visit_at("bench")(record),
        stay=reverse("used", args=[pk]),
        also=(then % words,),
        title=_("Bring %(n)d × %(item)s back into the drawer?") % words,
        do=_("Back into the drawer"),
        said=_("%(item)s is back in the drawer.") % words,
    )
    return ask_and_remove(request, record, signed_in(request), removal)


def at_item(record: Item) -> str:
    """Return the address of an item's page."""
    return reverse("item", args=[record.pk])
