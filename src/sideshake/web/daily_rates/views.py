"""Fifteen days of daily rates: begun at a visit, compared each day, held against ISO 3159."""

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.drawings.daily_rates import daily_rates_drawing
from sideshake.timing.daily_rates.criteria import NOTICE, summary
from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.asking import Removal, ask_and_remove
from sideshake.web.base.editing import Editing, edit, version_seen, visit_at
from sideshake.web.base.file_response import as_picture
from sideshake.web.base.saving import save
from sideshake.web.daily_rates import services as service
from sideshake.web.daily_rates.course import course, entries, size_of
from sideshake.web.daily_rates.forms import ComparisonForm, MendForm, ProgrammeForm, StateForm
from sideshake.web.models import Programme


def new_programme(request: HttpRequest, number: str) -> HttpResponse:
    """Begin a programme for the watch of a visit."""
    visit = visit_by_number(number)
    editing = Editing(
        title=_("Fifteen days of daily rates"),
        done=at_programme,
        template="daily_rates/new.html",
        shown={"visit": visit, "notice": NOTICE},
    )
    return edit(
        request, ProgrammeForm, Programme(visit=visit, begun_on=timezone.localdate()), editing
    )


def programme(request: HttpRequest, pk: int) -> HttpResponse:
    """Show how a programme stands, and take in the comparison of the day."""
    found = by_pk(pk)
    form = ComparisonForm(request.POST or None, initial={"seen": found.version})
    if request.method == "POST" and form.is_valid():
        sent = form.cleaned_data
        try:
            service.compare(
                found, form.entry(), signed_in(request), anew=sent["anew"], seen=sent["seen"]
            )
            return redirect("programme", pk)
        except InputError as error:
            form.add_error(None, error.sentence)
    return render(
        request, "daily_rates/programme.html", shown_of(found, form), status=status_of(form)
    )


def shown_of(found: Programme, form: ComparisonForm) -> dict[str, object]:
    """Return what the page of a programme shows."""
    standing = course(found)
    stood = standing.stood()
    return {
        "programme": found,
        "visit": found.visit,
        "course": standing,
        "last_place": len(found.states) - 1,
        "due": standing.due_words(timezone.now()),
        "criteria": stood,
        "summary": summary(stood),
        "notice": NOTICE,
        "form": form,
    }


def status_of(form: StateForm) -> int:
    """Return 422 for a form in which something is wrong."""
    return 422 if form.errors else 200


def edit_programme(request: HttpRequest, pk: int) -> HttpResponse:
    """Edit which limits hold and how well a comparison is made."""
    editing = Editing(
        title=_("Fifteen days of daily rates"),
        done=at_programme,
        shown={"remove": reverse("remove-programme", args=[pk])},
    )
    return edit(request, ProgrammeForm, by_pk(pk), editing)


def mend_comparison(request: HttpRequest, pk: int, place: int) -> HttpResponse:
    """Put a comparison right; the last one can be taken back."""
    found = by_pk(pk)
    old = service.comparison_at(entries(found), place)
    first = {"state_s": old.state_s, "at": old.at, "counts": old.counts, "seen": found.version}
    form = MendForm(request.POST or None, initial=first)
    if request.method == "POST" and form.is_valid() and mended(request, found, place, form):
        return redirect("programme", pk)
    shown = {"programme": found, "visit": found.visit, "form": form, "old": old, "place": place}
    shown["is_last"] = place == len(found.states) - 1
    return render(request, "daily_rates/mend.html", shown, status=status_of(form))


def mended(request: HttpRequest, found: Programme, place: int, form: MendForm) -> bool:
    """Whether a comparison was put right; if not, the form says why."""
    by, seen = signed_in(request), form.cleaned_data["seen"]
    try:
        service.mend(found, place, form.entry(), by, seen=seen)
    except InputError as error:
        form.add_error(None, error.sentence)
        return False
    return True


@require_POST
def take_back(request: HttpRequest, pk: int, place: int) -> HttpResponse:
    """Ask once, then put the last line of the book aside."""
    found = by_pk(pk)
    book = entries(found)
    if place >= len(book):
        return redirect("programme", pk)
    removal = Removal(
        done=at_programme(found),
        stay=at_programme(found),
        act=partial(service.take_back, place=place),
        called=_("line “%(line)s”") % {"line": service.words(book[place])},
    )
    return ask_and_remove(request, found, signed_in(request), removal)


@require_POST
def leave_out(request: HttpRequest, pk: int) -> HttpResponse:
    """Leave out the day that follows."""
    service.leave_out(by_pk(pk), signed_in(request), seen=version_seen(request))
    return redirect("programme", pk)


@require_POST
def end_programme(request: HttpRequest, pk: int) -> HttpResponse:
    """End a programme early, or go on with it."""
    found = by_pk(pk)
    found.ended_on = None if found.ended_on else timezone.localdate()
    save(found, signed_in(request), seen=version_seen(request))
    return redirect("programme", pk)


@require_POST
def remove_programme(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put a programme aside with all its comparisons."""
    found = by_pk(pk)
    count = len(found.states)
    goes = ngettext("Its comparison goes with it.", "Its %(n)d comparisons go with it.", count)
    removal = Removal(
        done=visit_at("heard")(found),
        stay=at_programme(found),
        also=(goes % {"n": count},) if count else (),
        called=_("programme of %(what)s") % {"what": found},
    )
    return ask_and_remove(request, found, signed_in(request), removal)


def rates_picture(_request: HttpRequest, pk: int) -> HttpResponse:
    """Draw the daily rates."""
    found = by_pk(pk)
    return as_picture(daily_rates_drawing(course(found).runs, size_of(found)))


def by_pk(pk: int) -> Programme:
    """Return a programme with its visit, or 404."""
    return get_object_or_404(Programme.objects.select_related("visit__watch__owner"), pk=pk)


def at_programme(saved: Programme) -> str:
    """Return the address of a programme's page."""
    return reverse("programme", args=[saved.pk])
