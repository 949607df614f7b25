"""Owners and their watches."""

from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from sideshake.web.base.editing import Editing, edit
from sideshake.web.base.paging import kept_query, page_of
from sideshake.web.models import Invoice, Owner, Watch
from sideshake.web.owners.forms import OwnerForm, WatchForm


def owners(request: HttpRequest) -> HttpResponse:
    """List the owners."""
    words = request.GET.get("words", "").strip()
    rows = Owner.objects.annotate(count=Count("watches")).order_by("name", "pk")
    for word in words.split():
        rows = rows.filter(name__icontains=word)
    shown = {"page": page_of(request, rows), "kept": kept_query(request), "words": words}
    return render(request, "owners/list.html", shown)


def owner(request: HttpRequest, pk: int) -> HttpResponse:
    """Show an owner with watches and visits."""
    found = get_object_or_404(Owner.objects.prefetch_related("watches__visits"), pk=pk)
    bills = bool(found.erased_on) and Invoice.objects.filter(visit__watch__owner=found).exists()
    return render(request, "owners/one.html", {"owner": found, "bills": bills})


def edit_owner(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Edit an owner, or add one."""
    record = get_object_or_404(Owner, pk=pk) if pk else Owner()
    title = _("Owner: %(name)s") % {"name": record.name} if pk else _("New owner")
    editing = Editing(title=title, done=lambda saved: reverse("owner", args=[saved.pk]))
    return edit(request, OwnerForm, record, editing)


def watch(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a watch with its story and every visit."""
    rows = Watch.objects.select_related("owner").prefetch_related("visits")
    return render(request, "owners/watch.html", {"watch": get_object_or_404(rows, pk=pk)})


def edit_watch(request: HttpRequest, pk: int) -> HttpResponse:
    """Edit a watch."""
    record = get_object_or_404(Watch, pk=pk)
    editing = Editing(
        title=_("Watch: %(title)s") % {"title": record.title},
        done=lambda saved: reverse("watch", args=[saved.pk]),
    )
    return edit(request, WatchForm, record, editing)


def new_watch(request: HttpRequest, pk: int) -> HttpResponse:
    """Add a watch to an owner."""
    record = Watch(owner=get_object_or_404(Owner, pk=pk))
    editing = Editing(
        title=_("New watch of %(owner)s") % {"owner": record.owner},
        done=lambda saved: reverse("watch", args=[saved.pk]),
    )
    return edit(request, WatchForm, record, editing)
