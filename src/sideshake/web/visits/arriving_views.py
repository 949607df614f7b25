"""A new visit: owner, watch and parcel on one page."""

from typing import Any

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from sideshake.web.base.access import signed_in
from sideshake.web.models import Owner, Visit, Watch
from sideshake.web.owners.forms import OwnerForm, WatchForm
from sideshake.web.visits.forms import ArrivalForm
from sideshake.web.visits.services import arrive

OFFERED = 12


def new_visit(request: HttpRequest) -> HttpResponse:
    """Take in a watch: a known one that comes back, a new one of a known owner, or all new."""
    known = known_records(request)
    forms = arrival_forms(request, known)
    valid = [form.is_valid() for form in forms.values()]
    if request.method == "POST" and all(valid):
        owner = forms["owner"].save(commit=False) if "owner" in forms else known["owner"]
        watch = forms["watch"].save(commit=False) if "watch" in forms else known["watch"]
        visit = arrive(owner, watch, forms["visit"].save(commit=False), signed_in(request))
        return redirect("visit", visit.number)
    shown = {
        **known,
        "forms": forms,
        "offered": offered(request),
        "q": request.GET.get("q", ""),
        "any_before": Watch.objects.exists,
    }
    failed = any(form.errors for form in forms.values())
    return render(request, "visits/new.html", shown, status=422 if failed else 200)


def known_records(request: HttpRequest) -> dict[str, Any]:
    """Return the watch and owner that the address names."""
    if request.GET.get("watch", "").isdecimal():
        rows = Watch.objects.select_related("owner").prefetch_related("visits")
        watch = get_object_or_404(rows, pk=request.GET["watch"])
        return {"watch": watch, "owner": watch.owner}
    if request.GET.get("owner", "").isdecimal():
        return {"owner": get_object_or_404(Owner, pk=request.GET["owner"])}
    return {}


def arrival_forms(request: HttpRequest, known: dict[str, Any]) -> dict[str, Any]:
    """Return the forms that are still needed."""
    data = request.POST or None
    first = {"arrived_on": timezone.localdate()}
    forms: dict[str, Any] = {}
    if "owner" not in known:
        forms["owner"] = OwnerForm(data, prefix="owner")
    if "watch" not in known:
        forms["watch"] = WatchForm(data, prefix="watch")
    forms["visit"] = ArrivalForm(
        data, prefix="visit", instance=Visit(), initial=first, user=signed_in(request)
    )
    return forms


def offered(request: HttpRequest) -> list[Watch]:
    """Return watches whose name or owner holds the words typed."""
    words = request.GET.get("q", "").split()
    rows = Watch.objects.select_related("owner")
    for word in words:
        rows = rows.filter(
            Q(title__icontains=word)
            | Q(owner__name__icontains=word)
            | Q(case_serial__icontains=word)
            | Q(movement_serial__icontains=word)
        )
    return list(rows[:OFFERED]) if words else []
