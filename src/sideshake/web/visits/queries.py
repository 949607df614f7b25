"""What pages read of a visit, in as few questions to the database as can be."""

from django.db.models import OuterRef, Prefetch, Subquery, prefetch_related_objects
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _

from sideshake.web.calibres.models import keep_sheet_text
from sideshake.web.models import Calibre, Change, Outwork, PlanStep, Proposal, Used, Visit


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
