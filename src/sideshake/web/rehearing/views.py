"""Hearing again: what would be heard, the run as it goes on, and the way back."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.core.version import EAR
from sideshake.web.base.access import running_the_workshop, signed_in, visit_by_number
from sideshake.web.base.asking import SureQuestion, unsure
from sideshake.web.base.paging import page_of
from sideshake.web.models import RENEWED, Earlier, Fate, Rehearing, Scope, User, Watch
from sideshake.web.readings.views import by_pk
from sideshake.web.rehearing.asked import (
    RehearingAsked,
    of_all,
    of_reading,
    of_visit,
    of_watch,
    outlook,
)
from sideshake.web.rehearing.progress import progress_of
from sideshake.web.rehearing.putting_back import (
    may_go_back,
    put_all_back,
    put_back,
    require_way_back,
)
from sideshake.web.rehearing.services import begin, hear_soon, stop

RUNS_SHOWN = 20


def rehear_all(request: HttpRequest) -> HttpResponse:
    """Show what hearing all readings again would do, or begin it; for the owner of the workshop."""
    running_the_workshop(request)
    return asked_page(request, of_all(everything=everything(request)), back=reverse("settings"))


def rehear_watch(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what hearing a watch's readings again would do, or begin it."""
    watch = get_object_or_404(Watch.objects.select_related("owner"), pk=pk)
    asked = of_watch(watch, everything=everything(request))
    return asked_page(request, asked, back=reverse("watch", args=[pk]))


def rehear_visit(request: HttpRequest, number: str) -> HttpResponse:
    """Show what hearing a visit's readings again would do, or begin it."""
    asked = of_visit(visit_by_number(number), everything=everything(request))
    return asked_page(request, asked, back=f"{reverse('visit', args=[number])}#heard")


@require_POST
def rehear_reading(request: HttpRequest, pk: int) -> HttpResponse:
    """Hear one reading again; its page tells what has become of it, or the run's while it lasts."""
    run = begin(of_reading(by_pk(pk)), signed_in(request))
    hear_soon(run)
    row = run.readings.get()
    if row.fate == Fate.WAITING:
        return redirect("rehearing", run.pk)
    if row.fate in RENEWED:
        messages.success(request, _("Heard again."))
    else:
        messages.error(request, f"{row.get_fate_display()}: {row.why}")
    return redirect("reading", pk)


def everything(request: HttpRequest) -> bool:
    """Return whether also what this ear has heard already is to be heard again."""
    return request.POST.get("everything") == "on"


def asked_page(request: HttpRequest, asked: RehearingAsked, *, back: str) -> HttpResponse:
    """Show what would be heard again; begin it when that was sent."""
    if request.method == "POST":
        run = begin(asked, signed_in(request))
        hear_soon(run)
        return redirect("rehearing", run.pk)
    runs = Rehearing.objects.select_related("by") if asked.scope == Scope.ALL else None
    shown = {
        "asked": asked,
        "outlook": outlook(asked.readings),
        "ear": EAR,
        "back": back,
        "runs": runs[:RUNS_SHOWN] if runs is not None else (),
    }
    return render(request, "rehearing/ask.html", shown)


GRAVEST_FIRST = (Fate.FAULT, Fate.SILENT)


def rehearing(request: HttpRequest, pk: int) -> HttpResponse:
    """Show how far a run is, what could not be heard, and what was said before and is now."""
    run = run_by_pk(pk)
    rows = run.readings.select_related("reading__visit")
    shown = {
        "run": run,
        "progress": progress_of(run),
        "faults": list(rows.filter(fate__in=GRAVEST_FIRST)),
        "page": page_of(request, rows.exclude(fate=Fate.WAITING)),
        "kept": "",
        "back": may_go_back(run).count() if run.ended_at else 0,
        "may_turn": may_turn(run, signed_in(request)),
    }
    return render(request, "rehearing/run.html", shown)


def may_turn(run: Rehearing, user: User) -> bool:
    """Return whether somebody may stop a run or put all of it back."""
    return user.may_run or run.scope != Scope.ALL


def turning(request: HttpRequest, run: Rehearing) -> User:
    """Return who is asking if stopping a run, or putting it back, is their business.

    Raises
    ------
    PermissionDenied : a run over all watches, and it is not the owner of the workshop
    """
    return running_the_workshop(request) if run.scope == Scope.ALL else signed_in(request)


@require_POST
def stop_rehearing(request: HttpRequest, pk: int) -> HttpResponse:
    """Stop a run; what is heard again stays so."""
    run = run_by_pk(pk)
    turning(request, run)
    stop(run)
    return redirect("rehearing", pk)


@require_POST
def put_run_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Let every reading of a run say again what it said before."""
    run = run_by_pk(pk)
    user, count = turning(request, run), may_go_back(run).count()
    title = ngettext(
        "Let one reading say again what it said before?",
        "Let %(n)d readings say again what they said before?",
        count,
    )
    question = SureQuestion(
        title=title % {"n": count},
        told=(going_words(),),
        do=_("Put the earlier figures back"),
        stay=reverse("rehearing", args=[pk]),
    )
    page = unsure(request, question) if count and run.ended_at else None
    if page:
        return page
    count = put_all_back(run, user)
    told = ngettext(
        "%d reading says again what it said before.",
        "%d readings say again what they said before.",
        count,
    )
    messages.success(request, told % count)
    return redirect("rehearing", pk)


@require_POST
def put_reading_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Let one reading say again what it said before a run."""
    row = get_object_or_404(Earlier.objects.select_related("reading__visit"), pk=pk)
    require_way_back(row)
    words = {"which": row.reading.called, "before": row.sentence}
    question = SureQuestion(
        title=_("Let reading %(which)s say again what it said before?") % words,
        told=(str(row.reading), _("Then it says: %(before)s") % words, going_words()),
        do=_("Put the earlier figures back"),
        stay=reverse("reading", args=[row.reading_id]),
    )
    page = unsure(request, question)
    if page:
        return page
    put_back(row, signed_in(request))
    messages.success(request, _("The earlier figures are back."))
    return redirect("reading", row.reading_id)


def going_words() -> str:
    """Return what becomes of the figures that are there now."""
    return _("What it says now goes away. Hearing the recording again brings it back.")


def run_by_pk(pk: int) -> Rehearing:
    """Return a run, or 404."""
    return get_object_or_404(Rehearing.objects.select_related("by"), pk=pk)
