"""The bench plan: made from calibre and agreement, ticked, timed, moved, left out."""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from math import ceil

from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.web.base.holding import hold_visits
from sideshake.web.base.saving import index_visit, save, tell
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.evidence.look_over import known_of
from sideshake.web.models import Option, PlanStep, Proposal, Step, User, Visit
from sideshake.web.visits.services import move
from sideshake.workshop_rules import plan as trade
from sideshake.workshop_rules.cautions import lume_cautions
from sideshake.workshop_rules.findings import SeenFinding
from sideshake.workshop_rules.jobs import JOBS
from sideshake.workshop_rules.options import OVERHAUL, OpeningDepth, Suggestion, WorkTime
from sideshake.workshop_rules.plan import OPTION
from sideshake.workshop_rules.suggest import overhaul_option, suggestion

OWN = "own-"
LONGEST_TIMED = timedelta(hours=10)
"""A clock that ran longer was forgotten: the minutes are then typed (common practice)."""
MINUTE_S = 60
LONGEST_KEY = 60
TAKES_APART = ("jewel-", "bush-", "replace-barrel")
UNTIMED = WorkTime(least_min=0, most_min=0)


def agreed_proposal(visit: Visit) -> Proposal | None:
    """Return the newest version of the proposal that the owner agreed to."""
    agreed = [each for each in visit.proposals.all() if each.state == "agreed"]
    return max(agreed, key=lambda each: each.edition, default=None)


def agreed_options(visit: Visit) -> list[Option]:
    """Return the options the owner wants; none before there is an agreement."""
    proposal = agreed_proposal(visit)
    return [each for each in proposal.options.all() if each.chosen] if proposal else []


def as_suggestion(
    option: Option, visit: Visit, findings: tuple[SeenFinding, ...] = ()
) -> Suggestion:
    """Return an agreed option as the plan reads it: its usual time and depth by its key.

    Of a job that is done for each finding, the time counts them, and what was measured is told.
    """
    job = next((each for each in JOBS if each.key == option.key), None)
    if option.key == OVERHAUL:
        return overhaul_option((), sheet_named(visit.watch.calibre))
    usual = suggestion(job, findings if job.each_of else ()) if job else None
    depth = OpeningDepth.APART if option.key.startswith(TAKES_APART) else OpeningDepth.OPENED
    return Suggestion(
        key=option.key or f"{OWN}{option.pk}",
        title=option.title,
        reason=option.reason,
        evidence=usual.evidence if usual else (),
        risk=option.risk,
        if_left=option.if_left,
        time=usual.time if usual else UNTIMED,
        parts=usual.parts if usual else (),
        outwork=usual.outwork if usual else "",
        depth=usual.depth if usual else depth,
    )


def wanted_steps(visit: Visit, *, pressure_test: bool = False) -> list[PlanStep]:
    """Return the steps that calibre and agreement ask for, not yet stored."""
    options, findings = agreed_options(visit), counted_findings(visit)
    chosen = tuple(as_suggestion(each, visit, findings) for each in options)
    chosen = tuple(each for each in chosen if each.key != "measure-again")
    steps = trade.bench_steps(
        sheet_named(visit.watch.calibre),
        chosen,
        pressure_test=pressure_test,
        paint_cautions=bool(lume_cautions(known_of(visit.watch, []))),
    )
    return [plan_step(each, visit) for each in steps]


def counted_findings(visit: Visit) -> tuple[SeenFinding, ...]:
    """Return the findings that are mended one by one, those already mended left out."""
    counted = {job.each_of for job in JOBS if job.each_of}
    return tuple(
        SeenFinding(key=row.key, evidence=row.detail)
        for row in visit.findings.all()
        if row.key in counted and not row.mended
    )


def plan_step(step: trade.PlannedStep, visit: Visit) -> PlanStep:
    """Return a step of the trade's plan as a row."""
    minutes = step.time.middle_min if step.time else 0
    return PlanStep(
        visit=visit,
        key=step.key[:LONGEST_KEY],
        place=0,
        title=step.title[:160],
        how=step.how,
        caution=step.caution or "",
        planned_minutes=minutes or None,
    )


def missing(wanted: Iterable[PlanStep], stored: Iterable[PlanStep]) -> list[PlanStep]:
    """Return the wanted steps that the plan does not have."""
    keys = {each.key.removeprefix(OPTION) for each in stored}
    return [each for each in wanted if each.key.removeprefix(OPTION) not in keys]


def guided(step: PlanStep | None, wanted: Iterable[PlanStep]) -> PlanStep | None:
    """Return a step with the trade's words where its own row has none; they are not stored."""
    usual = next((each for each in wanted if step and each.key == step.key), None)
    if step and usual:
        step.how, step.caution = step.how or usual.how, step.caution or usual.caution
    return step


def no_longer_wanted(wanted: Iterable[PlanStep], stored: Iterable[PlanStep]) -> list[PlanStep]:
    """Return the steps of options no longer agreed on which nobody has begun or written."""
    keys = {each.key for each in wanted}
    return [
        each
        for each in stored
        if each.key.startswith(OPTION) and each.key not in keys and is_untouched(each)
    ]


def is_untouched(step: PlanStep) -> bool:
    """Whether nothing was done or written on a step."""
    return not (step.done_at or step.started_at or step.minutes or step.note)


@transaction.atomic
def make_plan(visit: Visit, by: User, *, pressure_test: bool, begin: bool) -> int:
    """Return how many steps were added; what the plan already has stays, ticked or not.

    Raises
    ------
    InputError : nothing has been agreed
    """
    hold_visits([visit.pk])
    wanted = wanted_steps(visit, pressure_test=pressure_test)
    if not wanted:
        raise InputError(
            _("nothing is agreed yet: the plan follows from the options the owner wants")
        )
    stored = list(visit.plan.filter(kind=PlanStep.Kind.WORK))
    dropped = no_longer_wanted(wanted, stored)
    added = missing(wanted, stored)
    PlanStep.objects.filter(pk__in=[each.pk for each in dropped]).delete()
    write_in_order(woven(wanted, [each for each in stored if each not in dropped], added))
    tell_of_plan(visit, by, added=added, dropped=dropped)
    if begin and visit.step != Step.ON_THE_BENCH:
        move(visit, Step.ON_THE_BENCH, by, on=timezone.localdate())
    return len(added)


def woven(
    wanted: Sequence[PlanStep], stored: Sequence[PlanStep], added: Sequence[PlanStep]
) -> list[PlanStep]:
    """Return all steps in order: the stored as they lie, each added one after its forerunner."""
    rows, last = list(stored), -1
    for each in wanted:
        if each in added:
            last += 1
            rows.insert(last, each)
        else:
            bare = each.key.removeprefix(OPTION)
            last = next(i for i, row in enumerate(rows) if row.key.removeprefix(OPTION) == bare)
    return rows


def write_in_order(rows: Sequence[PlanStep]) -> None:
    """Store new steps, and the place of each."""
    for place, each in enumerate(rows):
        each.place = place
    PlanStep.objects.bulk_update([each for each in rows if each.pk], ["place"])
    PlanStep.objects.bulk_create(each for each in rows if not each.pk)


def tell_of_plan(
    visit: Visit, by: User, *, added: Sequence[PlanStep], dropped: Sequence[PlanStep]
) -> None:
    """Write one line of history for a plan made or changed, and make its words findable."""
    if not added and not dropped:
        return
    fields = {
        "added": [None, ", ".join(each.title for each in added)],
        "taken out": [", ".join(each.title for each in dropped) or None, None],
    }
    tell(visit, by, f"plan: {len(added)} added, {len(dropped)} taken out", fields)
    index_visit(visit)


@transaction.atomic
def add_own_step(step: PlanStep, by: User, *, seen: int | None = None) -> None:
    """Store a step of one's own at the end of the plan."""
    rows = PlanStep.objects.filter(visit=step.visit)
    last = rows.filter(kind=step.kind).aggregate(last=Max("place"))["last"]
    step.place = 0 if last is None else last + 1
    step.key = f"{OWN}{(rows.aggregate(last=Max('pk'))['last'] or 0) + 1}"
    save(step, by, seen=seen)


def tick(step: PlanStep, by: User, *, seen: int | None) -> None:
    """Put a step down as done, or take the tick away; its running clock is stopped."""
    now = timezone.now()
    if step.started_at:
        stop_clock(step, now)
    step.done_at, step.done_by = (None, None) if step.done_at else (now, by)
    step.result = PlanStep.Result.NONE
    save(step, by, seen=seen, what=f"{'done' if step.done_at else 'not done yet'}: {step.title}")


def skip(step: PlanStep, reason: str, by: User, *, seen: int | None) -> None:
    """Leave a step out, and say why.

    Raises
    ------
    InputError : no reason is given
    """
    if not reason.strip():
        raise InputError(_("say why the step is left out: who opens the watch next will ask"))
    step.started_at = None
    step.done_at, step.done_by = timezone.now(), by
    step.result = PlanStep.Result.SKIPPED
    step.note = f"{step.note}\n{reason.strip()}".strip()
    save(step, by, seen=seen, what=f"left out: {step.title}")


@transaction.atomic
def turn_clock(step: PlanStep, by: User, *, seen: int | None) -> None:
    """Start timing a step, or stop it and add its minutes; one clock runs in a visit.

    Raises
    ------
    InputError : it has run so long that somebody forgot it
    """
    now = timezone.now()
    if step.started_at:
        stop_clock(step, now)
        save(step, by, seen=seen, what=f"clock stopped: {step.title}")
        return
    for other in PlanStep.objects.filter(visit=step.visit, started_at__isnull=False):
        stop_clock(other, now)
        save(other, by, what=f"clock stopped: {other.title}")
    step.started_at = now
    save(step, by, seen=seen, what=f"clock started: {step.title}")


def stop_clock(step: PlanStep, now: datetime) -> None:
    """Add the minutes that have passed, whole minutes begun.

    Raises
    ------
    InputError : it has run so long that somebody forgot it
    """
    if step.started_at is None:
        return
    passed = now - step.started_at
    if passed > LONGEST_TIMED:
        raise InputError(
            _(
                "the clock of “%(step)s” has run for %(hours)d hours, so it was forgotten; open "
                "the step, type the minutes it took, and the clock is put back"
            )
            % {"step": step.title, "hours": passed.total_seconds() // 3600}
        )
    step.minutes = (step.minutes or 0) + ceil(passed.total_seconds() / MINUTE_S)
    step.started_at = None


def write_step(step: PlanStep, by: User, *, seen: int | None = None) -> None:
    """Store what was typed about a step; typed minutes put a forgotten clock back."""
    if step.started_at and timezone.now() - step.started_at > LONGEST_TIMED:
        step.started_at = None
    save(step, by, seen=seen)


@transaction.atomic
def shift(step: PlanStep, way: int, by: User) -> None:
    """Move a step one place up (-1) or down (1)."""
    hold_visits([step.visit_id])
    rows = list(PlanStep.objects.filter(visit=step.visit, kind=step.kind))
    at = next(i for i, each in enumerate(rows) if each.pk == step.pk)
    to = min(max(at + way, 0), len(rows) - 1)
    if at == to:
        return
    rows.insert(to, rows.pop(at))
    write_in_order(rows)
    tell(step, by, f"plan in another order: {step.title}", {})


def spent_minutes(steps: Iterable[PlanStep]) -> int:
    """Return the minutes spent."""
    return sum(each.minutes or 0 for each in steps)


def planned_minutes(steps: Iterable[PlanStep]) -> int:
    """Return the minutes planned, without what was left out."""
    left_out = PlanStep.Result.SKIPPED
    return sum(each.planned_minutes or 0 for each in steps if each.result != left_out)
