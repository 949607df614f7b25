"""A visit's records as the papers of the bench: the sheet beside the plate, the trays' labels."""

from collections.abc import Iterator
from datetime import date

from django.utils.translation import gettext as _

from sideshake.bench.models import PlanStep, Visit
from sideshake.bench.papers.done import is_done
from sideshake.bench.papers.fits import Fits
from sideshake.bench.papers.words import letterhead, paper_size, written_day
from sideshake.bench.services.looking import known_of
from sideshake.paper.bench_sheet import BenchSheet, Job
from sideshake.paper.hole_fit import ToNote
from sideshake.paper.labels import Label
from sideshake.shop.cautions import lume_cautions, suspects_radium


def bench_of(visit: Visit, fits: Fits, *, day: date) -> BenchSheet:
    """Return what the bench sheet says: the fit, the plan to tick, room for what is measured.

    Raises
    ------
    InputError : there is nothing to do yet
    """
    steps = [step for step in visit.plan.all() if step.kind == PlanStep.Kind.WORK]
    return BenchSheet(
        head=letterhead(),
        day=day,
        written=written_day(day),
        visit=visit.number,
        watch=visit.watch.title,
        calibre=visit.watch.calibre,
        jobs=tuple(map(job_of, steps)),
        holes=fits.holes,
        to_note=() if fits.holes else tuple(ToNote(what=each) for each in to_measure()),
        of_this_watch=tuple(paint_words(visit)),
        paper=paper_size(),
    )


def job_of(step: PlanStep) -> Job:
    """Return a step of the plan; one that is ticked as done says so."""
    return Job(title=step.title, how=step.how, caution=step.caution, done=is_done(step))


def paint_words(visit: Visit) -> Iterator[str]:
    """Yield what the bench must know of the paint of this watch, where it may be radium."""
    known = known_of(visit.watch, [])
    if suspects_radium(known):
        mind = _("Do not scrape or blow, and open the case only when it must be open.")
        yield f"{lume_cautions(known)[0].title}. {mind}"


def to_measure() -> tuple[str, ...]:
    """Return what is measured at the bench when no fit says it better."""
    return (_("Hole, long axis"), _("Hole, short axis"), _("Pivot"), _("Endshake"))


def labels_of(visit: Visit, address: str) -> tuple[Label, ...]:
    """Return labels for a visit's trays; their code opens the visit at `address`."""
    what = (_("case and dial"), _("movement"), _("old parts"))
    return tuple(
        Label(visit=visit.number, watch=visit.watch.title, what=each, address=address)
        for each in what
    )
