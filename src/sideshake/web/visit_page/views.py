"""The visit page, its arrival and way home, its steps and history; the list of all visits."""

from datetime import date
from functools import partial

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.editing import Editing, edit, visit_at
from sideshake.web.base.paging import kept_query, page_of
from sideshake.web.base.saving import holding
from sideshake.web.models import Step, User, Visit
from sideshake.web.visit_page.hints import hint_at
from sideshake.web.visit_page.next_press import next_press
from sideshake.web.visit_page.sections import SECTIONS
from sideshake.web.visits.forms import ArrivalForm, HomeForm, VisitStepForm
from sideshake.web.visits.queries import whole_visit
from sideshake.web.visits.services import move, next_step


def visit(request: HttpRequest, number: str) -> HttpResponse:
    """Show one visit from top to bottom."""
    found = whole_visit(number)
    user = signed_in(request)
    sections = [section.filled(found, user) for section in SECTIONS if section.is_for(user)]
    unasked = next(each.shown["left"] for each in sections if each.slug == "looked-over")
    shown = {
        "visit": found,
        "sections": sections,
        "next_step": next_step(found),
        "press": next_press(found, user, unasked=unasked),
        "hint": hint_at(found, user),
    }
    return render(request, "visit_page/page.html", {**shown, "day": timezone.localdate()})


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
    return render(request, "visit_page/list.html", shown)


def filtered(rows: QuerySet[Visit], request: HttpRequest) -> QuerySet[Visit]:
    """Return the visits that the address asks for."""
    asked = request.GET
    if asked.get("step") in Step.values:
        rows = rows.filter(step=asked["step"])
    if asked.get("year", "").isdecimal():
        year = min(max(int(asked["year"]), 1), 9998)
        rows = rows.filter(arrived_on__range=(date(year, 1, 1), date(year, 12, 31)))
    rows = holding(rows, asked.get("words", ""), signed_in(request))
    return rows.order_by("promised_on", "pk") if asked.get("order") == "promised" else rows


def arrival(request: HttpRequest, number: str) -> HttpResponse:
    """Edit the arrival."""
    found = visit_by_number(number)
    title = _("Arrival of visit %(number)s") % {"number": number}
    form = partial(ArrivalForm, user=signed_in(request))
    return edit(request, form, found, Editing(title=title, done=visit_at("arrived")))


def home(request: HttpRequest, number: str) -> HttpResponse:
    """Edit the way home."""
    found = visit_by_number(number)
    title = _("The way home of visit %(number)s") % {"number": number}
    form = partial(HomeForm, user=signed_in(request))
    return edit(request, form, found, Editing(title=title, done=visit_at("home")))


def step(request: HttpRequest, number: str) -> HttpResponse:
    """Bring the visit to a step: by one press to the next, or by choice to any."""
    found = visit_by_number(number)
    first = {"step": found.step, "on": timezone.localdate(), "seen": found.version}
    form = VisitStepForm(request.POST or None, initial=first)
    if request.method == "POST" and form.is_valid() and moved(found, form, signed_in(request)):
        messages.success(
            request, _("Visit %(n)s: %(s)s") % {"n": number, "s": found.get_step_display()}
        )
        home = "#home" if found.step == Step.GONE_HOME else ""
        return redirect(f"{reverse('visit', args=[number])}{home}")
    title = _("The step of visit %(number)s") % {"number": number}
    shown = {"form": form, "title": title, "back": reverse("visit", args=[number])}
    return render(request, "base/edit.html", shown, status=422 if form.errors else 200)


def moved(visit: Visit, form: VisitStepForm, by: User) -> bool:
    """Whether the visit went where the form says; if not, the form says why."""
    sent = form.cleaned_data
    visit.declined_why = sent["why"] or visit.declined_why
    try:
        move(visit, Step(sent["step"]), by, on=sent["on"], seen=sent["seen"])
    except InputError as error:
        form.add_error(None, error.sentence)
        return False
    return True
