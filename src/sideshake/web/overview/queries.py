"""What is due, in few questions to the database."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from django.db.models import Exists, OuterRef, QuerySet, Sum

from sideshake.web.drawer.services import low_items
from sideshake.web.models import ENDED, PlanStep, Programme, Proposal, Visit
from sideshake.workshop_rules.due import ANSWER_DAYS

if TYPE_CHECKING:
    from sideshake.web.daily_rates.course import Course


@dataclass(frozen=True, slots=True, kw_only=True)
class SoonDue:
    """What needs somebody's attention soon."""

    proposals: list[Proposal]
    services: list[Visit]
    warranties: list[Visit]
    daily_rates: "list[Course]"
    low: int
    """How many kinds of piece run low in the drawer."""


SOON = timedelta(days=14)
SHOWN_DUE = 12


def last_stays() -> "QuerySet[Visit]":
    """Return visits after which the watch has not come back: only they make a service due."""
    later = Visit.objects.filter(watch=OuterRef("watch"), arrived_on__gt=OuterRef("arrived_on"))
    return Visit.objects.filter(~Exists(later))


def comparisons_due(moment: datetime) -> "list[Course]":
    """Return programmes of daily rates whose comparison is due today, or was before."""
    from sideshake.web.daily_rates.course import due_courses  # late: it draws by numpy

    running = Programme.objects.filter(ended_on=None).exclude(visit__step__in=ENDED)
    return due_courses(running.select_related("visit__watch__owner"), moment)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedWork:
    """The work that is planned for watches here and not done."""

    minutes: int
    weeks: float


def planned_work(hours_a_week: Decimal) -> PlannedWork | None:
    """Return the work planned and not done; None if there is none."""
    open_ = PlanStep.objects.filter(kind=PlanStep.Kind.WORK, done_at=None, result="")
    here = open_.exclude(visit__step__in=ENDED)
    minutes = here.aggregate(all=Sum("planned_minutes"))["all"]
    if not minutes:
        return None
    return PlannedWork(minutes=minutes, weeks=minutes / 60 / float(hours_a_week))


def soon_due(day: date, moment: datetime) -> SoonDue:
    """Return proposals and warranties that end, services due, what runs low.

    Also the comparisons due: they depend on the time of day, which is `moment`. What is overdue
    stands in `overview.overdue`, and is not told twice.
    """
    proposals = Proposal.objects.filter(
        state="sent",
        expires_on__range=(day, day + SOON),
        sent_on__gte=day - timedelta(days=ANSWER_DAYS),
    )
    near = (day - SOON, day + SOON)
    services = last_stays().filter(next_service_on__range=near)
    warranties = Visit.objects.filter(warranty_until__range=(day, day + SOON))
    return SoonDue(
        proposals=list(
            proposals.select_related("visit__watch__owner").order_by("expires_on")[:SHOWN_DUE]
        ),
        services=list(
            services.select_related("watch__owner").order_by("next_service_on")[:SHOWN_DUE]
        ),
        warranties=list(
            warranties.select_related("watch__owner").order_by("warranty_until")[:SHOWN_DUE]
        ),
        daily_rates=comparisons_due(moment),
        low=low_items().count(),
    )
