"""What pages read, each in as few questions to the database as it can be."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from django.db.models import (
    Exists,
    OuterRef,
    Prefetch,
    QuerySet,
    Subquery,
    Sum,
    prefetch_related_objects,
)
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _

from sideshake.bench.models import (
    ENDED,
    Calibre,
    Change,
    Issued,
    JewelOrder,
    Outwork,
    PlanStep,
    Programme,
    Proposal,
    Used,
    Visit,
)
from sideshake.bench.models.calibres import keep_sheet_text
from sideshake.bench.services.drawer import low_items
from sideshake.paper.kinds import Kind
from sideshake.shop.due import ANSWER_DAYS

if TYPE_CHECKING:
    from sideshake.bench.services.course import Course


def whole_visit(number: str) -> Visit:
    """Return a visit with everything its page shows, or 404.

    `earlier` holds the watch's stays before this one, newest first; `changed_at` when anything
    about it was changed last. The sheet of its calibre comes with it.
    """
    stays = list(
        Visit.objects.filter(watch__visits__number=number)
        .select_related("watch__owner", "received_by")
        .annotate(changed_at=newest_change(), own_sheet=sheet_of_its_own())
    )
    visit = next((stay for stay in stays if stay.number == number), None)
    if visit is None:
        raise Http404(_("There is no visit %(number)s.") % {"number": number})
    keep_sheet_text(visit.watch.calibre, visit.own_sheet or "")
    visit.earlier = [
        stay for stay in stays if (stay.arrived_on, stay.pk) < (visit.arrived_on, visit.pk)
    ]
    prefetch_related_objects(
        [visit],
        "photographs",
        "look_over",
        "findings",
        "measurements",
        "readings",
        "rounds",
        "programmes",
        Prefetch("proposals", Proposal.objects.prefetch_related("options")),
        Prefetch("plan", PlanStep.objects.select_related("done_by")),
        "invoices",
        "payments",
        Prefetch("used", Used.objects.select_related("batch__item")),
        Prefetch("outwork", Outwork.objects.select_related("order")),
    )
    return visit


def visit_with_outwork(number: str) -> Visit:
    """Return a visit with what goes out to others and what was measured, or 404."""
    visit = get_object_or_404(Visit.objects.select_related("watch__owner"), number=number)
    orders = Prefetch("outwork", Outwork.objects.select_related("order"))
    prefetch_related_objects([visit], orders, "measurements")
    return visit


def sheet_of_its_own() -> Subquery:
    """Return the sheet of a visit's calibre where that is one of the workshop's own."""
    return Subquery(Calibre.objects.filter(name=OuterRef("watch__calibre")).values("sheet")[:1])


def newest_change() -> Subquery:
    """Return when a visit was changed last."""
    changes = Change.objects.filter(visit=OuterRef("pk")).order_by("-at")
    return Subquery(changes.values("at")[:1])


def proposal_by_edition(number: str, edition: int) -> Proposal:
    """Return a version of a visit's proposal with all that its paper shows, or 404."""
    rows = Proposal.objects.select_related("visit__watch__owner", "written_by")
    rows = rows.prefetch_related("options__photograph")
    return get_object_or_404(rows, visit__number=number, edition=edition)


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
    from sideshake.bench.services.course import due_courses  # late: it draws by numpy

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
    stands in `services.overdue`, and is not told twice.
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


def orders_of(visit: Visit) -> list[JewelOrder]:
    """Return the orders that hold a part for a visit, the newest first."""
    found = {wish.order for wish in visit.outwork.all() if wish.jewel and wish.order}
    return sorted(found, key=lambda order: (order.ordered_on, order.pk), reverse=True)


def issues_of(stored: JewelOrder) -> "QuerySet[Issued]":
    """Return an order's papers as they were issued, the first version first."""
    return Issued.objects.filter(kind=Kind.JEWEL_ORDER.value, of=stored.number)
