"""The first page: what is in the workshop, by step and by the day it was promised."""

from itertools import groupby

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from sideshake.web.base.access import signed_in
from sideshake.web.models import ENDED, Step, Visit, the_workshop
from sideshake.web.overview.overdue import overdue
from sideshake.web.overview.queries import planned_work, soon_due
from sideshake.web.storage.automatic import daily_fault
from sideshake.web.storage.full import full_reminder

MOST_LATE = 20
"""How many overdue things the first page tells one by one."""


def today(request: HttpRequest) -> HttpResponse:
    """Show the visits that are here, in groups by step or in the order of their promise."""
    here = Visit.objects.exclude(step__in=ENDED).select_related("watch__owner")
    step = request.GET.get("step", "")
    if step in Step.values:
        here = here.filter(step=step)
    by_promise = request.GET.get("order") == "promised"
    visits = sorted(here, key=promise_first if by_promise else step_first)
    groups = [(None, visits)] if by_promise else grouped(visits)
    day, user = timezone.localdate(), signed_in(request)
    late = overdue(day, user)
    shown = {
        "groups": groups if visits else [],
        "count": len(visits),
        "by_promise": by_promise,
        "step": step,
        "steps": [choice for choice in Step.choices if choice[0] not in ENDED],
        "order": request.GET.get("order", ""),
        "day": day,
        "overdue": late[:MOST_LATE],
        "more_late": max(len(late) - MOST_LATE, 0),
        "due": soon_due(day, timezone.now()),
        "planned": planned_work(the_workshop().hours_a_week),
        "daily_fault": daily_fault(),
        "full_reminder": full_reminder() if user.may_run else "",
    }
    return render(request, "overview/today.html", shown)


def grouped(visits: list[Visit]) -> list[tuple[str, list[Visit]]]:
    """Return the visits by step, in the order of the work."""
    return [
        (str(Step(step).label), list(those))
        for step, those in groupby(visits, key=lambda visit: visit.step)
    ]


def promise_first(visit: Visit) -> tuple[bool, str, str]:
    """Return what sorts the earliest promise first; without a promise last."""
    return visit.promised_on is None, str(visit.promised_on), visit.number


def step_first(visit: Visit) -> tuple[int, bool, str, str]:
    """Return what sorts by step, then by promise."""
    return Step.values.index(visit.step), *promise_first(visit)
