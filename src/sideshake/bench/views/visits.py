"""The visit page, its arrival and way home, its steps and history; the list of all visits."""

from datetime import date

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.bench.access import signed_in, visit_by_number
from sideshake.bench.forms.records import ArrivalForm, HomeForm, StepForm
from sideshake.bench.models import Change, Step, User, Visit
from sideshake.bench.paging import kept_query, page_of
from sideshake.bench.queries import whole_visit
from sideshake.bench.services.saving import folded
from sideshake.bench.services.visiting import move, next_step
from sideshake.bench.views.editing import Editing, edit, visit_at
from sideshake.bench.views.sections import SECTIONS


def visit(request: HttpRequest, number: str) -> HttpResponse:
    """Show one visit from top to bottom."""
    found = whole_visit(number)
    user = signed_in(request)
    sections = [section.filled(found, user) for section in SECTIONS if section.is_for(user)]
    shown = {"visit": found, "sections": sections, "next_step": next_step(found)}
    return render(request, "bench/visit.html", {**shown, "day": timezone.localdate()})


def visits(request: HttpRequest) -> HttpResponse:
    """List all visits, by step, year and words."""
    rows = filtered(Visit.objects.select_related("watch__owner"), request)
    shown = {
        "page": page_of(request, rows),
        "kept": kept_query(request),
        "steps": Step.choices,
        "step": request.GET.get("step", ""),
        "words": request.GET.get("words", ""),
        "order": request.GET.get("order", ""),
        "year": request.GET.get("year", ""),
        "years": [day.year for day in Visit.objects.dates("arrived_on", "year", order="DESC")],
    }
    return render(request, "bench/visits.html", shown)


def filtered(rows: QuerySet[Visit], request: HttpRequest) -> QuerySet[Visit]:
    """Return the visits that the address asks for."""
    asked = request.GET
    if asked.get("step") in Step.values:
        rows = rows.filter(step=asked["step"])
    if asked.get("year", "").isdecimal():
        year = min(max(int(asked["year"]), 1), 9998)
        rows = rows.filter(arrived_on__range=(date(year, 1, 1), date(year, 12, 31)))
    for word in folded(asked.get("words", "")).split():
        rows = rows.filter(text__folded__contains=word)
    return rows.order_by("promised_on", "pk") if asked.get("order") == "promised" else rows


def arrival(request: HttpRequest, number: str) -> HttpResponse:
    """Edit the arrival."""
    found = visit_by_number(number)
    title = _("Arrival of visit %(number)s") % {"number": number}
    return edit(request, ArrivalForm, found, Editing(title=title, done=visit_at("arrived")))


def home(request: HttpRequest, number: str) -> HttpResponse:
    """Edit the way home."""
    found = visit_by_number(number)
    title = _("The way home of visit %(number)s") % {"number": number}
    return edit(request, HomeForm, found, Editing(title=title, done=visit_at("home")))


def step(request: HttpRequest, number: str) -> HttpResponse:
    """Bring the visit to a step: by one press to the next, or by choice to any."""
    found = visit_by_number(number)
    first = {"step": found.step, "on": timezone.localdate(), "seen": found.version}
    form = StepForm(request.POST or None, initial=first)
    if request.method == "POST" and form.is_valid():
        found.declined_why = form.cleaned_data["why"] or found.declined_why
        chosen, on = Step(form.cleaned_data["step"]), form.cleaned_data["on"]
        move(found, chosen, signed_in(request), on=on, seen=form.cleaned_data["seen"])
        messages.success(request, _("Visit %(n)s: %(s)s") % {"n": number, "s": chosen.label})
        return redirect("visit", number)
    title = _("The step of visit %(number)s") % {"number": number}
    shown = {"form": form, "title": title, "back": reverse("visit", args=[number])}
    return render(request, "bench/edit.html", shown, status=422 if form.errors else 200)


def history(request: HttpRequest, number: str) -> HttpResponse:
    """Show who changed what in a visit, the newest first; an apprentice sees no prices there."""
    found = visit_by_number(number)
    page = page_of(request, told_to(signed_in(request), found))
    shown = {"visit": found, "page": page, "kept": ""}
    return render(request, "bench/history.html", shown)


PRICED_KINDS = ("proposal", "option", "invoice", "payment")
PRICED_FIELDS = {"budget_limit", "cost"}


def told_to(user: User, found: Visit) -> list[Change] | QuerySet[Change]:
    """Return the visit's changes as far as they are the reader's business."""
    rows = Change.objects.filter(visit=found).select_related("by")
    if user.may_price:
        return rows
    seen = list(rows.exclude(kind__in=PRICED_KINDS))
    for change in seen:
        change.fields = {k: v for k, v in change.fields.items() if k not in PRICED_FIELDS}
    return seen
