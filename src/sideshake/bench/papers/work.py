"""A visit's records as the papers of the bench: the sheet beside the plate, the trays' labels."""

from datetime import date

from django.utils.translation import gettext as _

from sideshake.bench.models import PlanStep, Visit
from sideshake.bench.papers.words import letterhead, paper_size
from sideshake.paper.bench_sheet import BenchSheet, Job
from sideshake.paper.labels import Label


def bench_of(visit: Visit, *, day: date) -> BenchSheet:
    """Return what the bench sheet says: the plan to tick, with room for what was measured.

    Raises
    ------
    InputError : there is nothing to do yet
    """
    steps = [step for step in visit.plan.all() if step.kind == PlanStep.Kind.WORK]
    return BenchSheet(
        head=letterhead(),
        day=day,
        visit=visit.number,
        watch=visit.watch.title,
        calibre=visit.watch.calibre,
        jobs=tuple(Job(title=s.title, how=s.how, caution=s.caution) for s in steps),
        to_note=(_("Hole, long axis, mm"), _("Hole, short axis, mm"), _("Endshake, mm")),
        paper=paper_size(),
    )


def labels_of(visit: Visit, address: str) -> tuple[Label, ...]:
    """Return labels for a visit's trays; their code opens the visit at `address`."""
    what = (_("case and dial"), _("movement"), _("old parts"))
    return tuple(
        Label(visit=visit.number, watch=visit.watch.title, what=each, address=address)
        for each in what
    )
