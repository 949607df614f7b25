"""What the workshop has learnt about a calibre: findings and their share, minutes of the steps."""

from collections.abc import Callable
from dataclasses import dataclass
from hashlib import sha256
from math import sqrt
from typing import TypeVar

from django.core.cache import cache
from django.db.models import Avg, Count, Max, QuerySet, StdDev

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.movement.calendar import QuickSet, common_advice, engagement_of, quick_set
from sideshake.movement.sheet import CalibreSheet
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.models import Change, Finding, PlanStep, Step, Visit
from sideshake.workshop_rules.findings import usual_findings
from sideshake.workshop_rules.repair_statistics import LEAST_VISITS, Learnt, PastVisit, learnt

Kept = TypeVar("Kept")
KEPT_S = 3600
NOT_SEEN_YET = (Step.ARRIVED,)
"""A watch that nobody has looked over says nothing about how often something is found."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingSeen:
    """A finding of a calibre with its title and share."""

    title: str
    learnt: Learnt


@dataclass(frozen=True, slots=True, kw_only=True)
class Memory:
    """What past visits of a calibre say; `nothing` tells why when they are too few."""

    visits: int
    seen: tuple[FindingSeen, ...] = ()
    nothing: str = ""


def visits_of(calibre: str) -> "QuerySet[Visit]":
    """Return all visits of a calibre, the newest first."""
    return Visit.objects.filter(watch__calibre=calibre).select_related("watch__owner")


def memory_of(calibre: str) -> Memory:
    """Return what was found on a calibre in the visits that were looked over, by share."""
    return kept("memory", calibre, reckoned)


def kept(what: str, calibre: str, reckon: Callable[[str], Kept]) -> Kept:
    """Return what is reckoned of a calibre; anew only when something was changed since."""
    newest = Change.objects.aggregate(newest=Max("pk"))["newest"]
    key = f"{what}-{sha256(calibre.encode()).hexdigest()}-{newest}"
    found: Kept | None = cache.get(key)
    if found is None:
        found = reckon(calibre)
        cache.set(key, found, KEPT_S)
    return found


def reckoned(calibre: str) -> Memory:
    """Return what was found on a calibre in the visits that were looked over, by share."""
    past = visits_of(calibre).exclude(step__in=NOT_SEEN_YET).order_by()
    numbers = list(past.values_list("pk", flat=True))
    rows = Finding.objects.filter(visit__in=past.values("pk")).exclude(key="").order_by("pk")
    keys: dict[int, set[str]] = {number: set() for number in numbers}
    titles: dict[str, str] = {}
    for visit, key, title in rows.values_list("visit", "key", "title"):
        keys[visit].add(key)
        titles[key] = title
    titles |= {each.key: each.title for each in usual_findings(sheet_named(calibre))}
    told = tuple(PastVisit(calibre=calibre, findings=frozenset(found)) for found in keys.values())
    try:
        found = learnt(told, calibre)
    except NotEnough as error:
        return Memory(visits=len(numbers), nothing=str(error))
    seen = tuple(FindingSeen(title=titles[each.key], learnt=each) for each in found)
    return Memory(visits=len(numbers), seen=seen)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepTime:
    """How long a step took: the mean with its uncertainty once it was timed often enough."""

    title: str
    times: int
    mean_min: Measured | None
    planned_min: float | None


def step_times(calibre: str) -> list[StepTime]:
    """Return the mean minutes of each step timed on a calibre, in the order of the work."""
    return kept("steps", calibre, reckoned_times)


def reckoned_times(calibre: str) -> list[StepTime]:
    """Return the mean minutes of each step timed on a calibre, in the order of the work.

    The uncertainty is that of the mean: the scatter of the times over the root of their number.
    """
    rows = (
        PlanStep.objects.filter(visit__watch__calibre=calibre, kind=PlanStep.Kind.WORK)
        .filter(minutes__gt=0)
        .exclude(result=PlanStep.Result.SKIPPED)
        .order_by()
        .values("key")
        .annotate(
            name=Max("title"),
            times=Count("pk"),
            mean=Avg("minutes"),
            scatter=StdDev("minutes"),
            planned=Avg("planned_minutes"),
            at=Avg("place"),
        )
        .order_by("at", "key")
    )
    return [
        StepTime(
            title=row["name"],
            times=row["times"],
            mean_min=mean(row["mean"], row["scatter"], row["times"]),
            planned_min=row["planned"],
        )
        for row in rows
    ]


def mean(value: float, scatter: float, times: int) -> Measured | None:
    """Return a mean with its uncertainty; None when there are too few times.

    `scatter` is taken over the number of times, so the root of one less stands below it: together
    they are the usual standard deviation over the root of the number (GUM 4.2.3).
    """
    if times < LEAST_VISITS:
        return None
    return Measured(float(value), float(scatter) / sqrt(times - 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingHours:
    """The hours in which the date must not be set on its own, and where that is known from."""

    forbidden: QuickSet
    doubt: str = ""


def setting_hours(sheet: CalibreSheet) -> SettingHours | None:
    """Return the forbidden hours of a calibre; None when its date cannot be set on its own.

    Where the sheet does not allow reckoning them, the common advice is given, and why.
    """
    calendar = sheet.calendar
    if calendar is None or calendar.quick_set is False:
        return None
    try:
        forbidden = quick_set(
            engagement_of(calendar), shows_half_day=calendar.dial_shows_half_day is True
        )
    except InputError as error:
        return SettingHours(forbidden=common_advice(), doubt=str(error))
    return SettingHours(forbidden=forbidden)
