"""A visit's records as the papers of the bench: the sheet beside the plate, the trays' labels."""

from collections.abc import Iterator
from datetime import date

from django.utils.translation import gettext as _

from sideshake.documents.bench_sheet import BenchSheet, LostTeeth, SheetJob
from sideshake.documents.hole_fit import ToNote
from sideshake.documents.labels import Label
from sideshake.web.documents.hole_fits import Fits
from sideshake.web.documents.words import letterhead, paper_size, picture_of, written_day
from sideshake.web.documents.work_done import hole_steps, is_done
from sideshake.web.evidence.look_over import known_of
from sideshake.web.models import PlanStep, Visit
from sideshake.workshop_rules.cautions import lume_cautions, suspects_radium
from sideshake.workshop_rules.countable import TEETH_LOST
from sideshake.workshop_rules.plan import OPTION

BARREL_HOLES = ("jewel-", "bush-", "barrel")
"""What the keys of the steps to new holes for the barrel begin with."""


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
        case_number=visit.watch.case_serial.strip(),
        movement_number=visit.watch.movement_serial.strip(),
        jobs=tuple(job_of(step, fitted=bool(fits.holes)) for step in steps),
        holes=fits.holes,
        lost_teeth=tuple(lost_teeth_of(visit)),
        to_note=tuple(ToNote(what=each) for each in to_measure(visit, fits)),
        of_this_watch=tuple(paint_words(visit)),
        paper=paper_size(),
    )


def job_of(step: PlanStep, *, fitted: bool = False) -> SheetJob:
    """Return a step of the plan; one that is ticked as done says so.

    `fitted` : whether the way to the barrel's holes stands above it, so that it is not told twice
    """
    if fitted and step.key.removeprefix(OPTION).startswith(BARREL_HOLES):
        way = _("The way, the sizes and what to mind stand at the hole above.")
        return SheetJob(title=step.title, how=way, done=is_done(step))
    return SheetJob(title=step.title, how=step.how, caution=step.caution, done=is_done(step))


def lost_teeth_of(visit: Visit) -> Iterator[LostTeeth]:
    """Yield the wheels that lost teeth which are told by number, each photograph once.

    What is put right is left out.
    """
    shown: set[int] = set()
    by_pk = {photograph.pk: photograph for photograph in visit.photographs.all()}
    for row in visit.findings.all():
        if row.key not in TEETH_LOST or row.mended or not any(map(str.isdigit, row.detail)):
            continue
        pk = row.photograph_id or 0
        picture = None if pk in shown else picture_of(by_pk.get(pk))
        shown.add(pk)
        yield LostTeeth(title=row.title, words=row.detail, picture=picture)


def paint_words(visit: Visit) -> Iterator[str]:
    """Yield what the bench must know of the paint of this watch, where it may be radium."""
    known = known_of(visit.watch, [])
    if suspects_radium(known):
        mind = _("Do not scrape or blow, and open the case only when it must be open.")
        yield f"{lume_cautions(known)[0].title}. {mind}"


def to_measure(visit: Visit, fits: Fits) -> tuple[str, ...]:
    """Return what is measured at the bench where a bearing is to be worked on without a fit."""
    to_work_on = any(step.done_at is None for step in hole_steps(visit))
    if fits.holes or not (fits.lacking or to_work_on):
        return ()
    return (_("Hole, long axis"), _("Hole, short axis"), _("Pivot"), _("Endshake"))


def labels_of(visit: Visit, address: str) -> tuple[Label, ...]:
    """Return labels for a visit's trays; their code opens the visit at `address`."""
    what = (_("case and dial"), _("movement"), _("old parts"))
    return tuple(
        Label(visit=visit.number, watch=visit.watch.title, what=each, address=address)
        for each in what
    )
