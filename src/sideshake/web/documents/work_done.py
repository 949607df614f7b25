"""What was done in a visit: only what was ticked as done, with what was measured of it."""

import re
from collections.abc import Iterator, Mapping

from sideshake.documents.report import Done
from sideshake.documents.result import FindingsSeen, WorkStage
from sideshake.timing.compare.difference import ComparedFigure
from sideshake.web.bench_plan.home_tests import PREFIX
from sideshake.web.comparison.services import SideBySide
from sideshake.web.documents.sizes_named import bare_name
from sideshake.web.models import PlanStep, Severity, Step, Visit
from sideshake.wording import Language, figures, noop, speaking
from sideshake.wording import gettext as _
from sideshake.workshop_rules.acceptance_told import AcceptanceTold, tests_of_job
from sideshake.workshop_rules.bench_work import AFTER_REPAIR, BEFORE_REPAIR
from sideshake.workshop_rules.jobs import JOBS
from sideshake.workshop_rules.plan import NEW_HOLES, OPTION

ROUTINE = frozenset(each.key for each in (*BEFORE_REPAIR, *AFTER_REPAIR))
"""Steps that belong to any work and are none of their own."""
OVERHAUL_STEPS = (
    ("take-apart", (noop("taken apart"),)),
    ("clean", (noop("cleaned"),)),
    ("assemble", (noop("put together"), noop("oiled"))),
    ("base-timing", (noop("timed"),)),
)
APART = "take-apart"
"""Without this there was no overhaul."""
PLACES = ("above", "below")
"""The holes of the barrel's arbor, as keys name them."""
AT_WORK, FINISHED = (Step.ON_THE_BENCH, Step.ON_TEST), (Step.READY, Step.GONE_HOME)


def stage_of(visit: Visit) -> WorkStage:
    """Return how far the work is that a report of the visit can tell of."""
    steps = steps_done(visit)
    if not overhaul_words(steps) and all(each.key in ROUTINE for each in steps):
        return WorkStage.FINDINGS if looked_at(visit) else WorkStage.ARRIVED
    return WorkStage.DONE if visit.step in FINISHED else WorkStage.SO_FAR


def looked_at(visit: Visit) -> bool:
    """Return whether a report has something to tell of how the watch is."""
    said = (visit.findings, visit.look_over, visit.measurements, visit.readings)
    return visit.step != Step.ARRIVED or any(rows.all() for rows in said)


def findings_seen(visit: Visit) -> FindingsSeen:
    """Return how many things were found, and whether anybody looked."""
    found = [each.severity for each in visit.findings.all()]
    to_know = found.count(Severity.NOTE)
    return FindingsSeen(
        looked=bool(found) or bool(visit.look_over.all()),
        to_mend=len(found) - to_know,
        grave=found.count(Severity.BROKEN) + found.count(Severity.DANGER),
        to_know=to_know,
    )


def waits_for_work(visit: Visit) -> bool:
    """Return whether a watch is still to be mended, or nobody has seen yet what it needs.

    What was put right waits for nothing; and of a watch that is ready or home nobody need look.
    """
    if stage_of(visit) is WorkStage.DONE:
        return False
    if not findings_seen(visit).looked:
        return visit.step not in FINISHED
    return any(each.severity != Severity.NOTE and not each.mended for each in visit.findings.all())


def is_done(step: PlanStep) -> bool:
    """Return whether a step of the work was ticked as done, and not left out."""
    return (
        step.kind == PlanStep.Kind.WORK
        and step.done_at is not None
        and step.result != PlanStep.Result.SKIPPED
    )


def steps_done(visit: Visit) -> list[PlanStep]:
    """Return the steps of the work that were ticked as done."""
    return [each for each in visit.plan.all() if is_done(each)]


def hole_steps(visit: Visit) -> list[PlanStep]:
    """Return the steps of the plan to new holes."""
    begins = tuple(f"{OPTION}{each}" for each in NEW_HOLES)
    return [each for each in visit.plan.all() if each.key.startswith(begins)]


def done_in(
    visit: Visit, pair: SideBySide | None, told: Mapping[str, AcceptanceTold]
) -> tuple[Done, ...]:
    """Return what was done, each line once: the overhaul by its steps, then every other step.

    `told` : what the tests say, by the keys of their rows
    """
    steps = steps_done(visit)
    lines = [*overhaul(steps, pair)]
    lines += [
        Done(what=step_words(each.title), measured=measured_of(visit, each, told), asked=each.title)
        for each in steps
        if each.key not in ROUTINE
    ]
    return tuple({each.what.casefold(): each for each in reversed(lines)}.values())[::-1]


def overhaul(steps: list[PlanStep], pair: SideBySide | None) -> Iterator[Done]:
    """Yield the overhaul in the words of the steps that were ticked; one alone is none."""
    what = overhaul_words(steps)
    if not what:
        return
    main = pair.compared.main if pair else ()
    swing = next((each.sentence for each in main if each.what is ComparedFigure.AMPLITUDE), "")
    with speaking(Language.ENGLISH):
        asked = overhaul_words(steps)
    yield Done(what=what, measured=swing.rstrip("."), asked=asked)


def overhaul_words(steps: list[PlanStep]) -> str:
    """Return what an overhaul did to the movement; empty where it was none."""
    ticked = {each.key for each in steps}
    told = [_(words) for key, done in OVERHAUL_STEPS if key in ticked for words in done]
    if APART not in ticked or len(told) < 2:
        return ""
    return _("Movement {first} and {last}").format(first=", ".join(told[:-1]), last=told[-1])


def measured_of(visit: Visit, step: PlanStep, told: Mapping[str, AcceptanceTold]) -> str:
    """Return what was measured of a piece of work: sizes afterwards, or its tests."""
    key = step.key.removeprefix(OPTION)
    job = next((each.key for each in JOBS if each.key == key), "")
    tests = (told.get(f"{PREFIX}{each}") for each in tests_of_job(job))
    said = [
        _("{title}: {words}").format(title=each.title, words=each.value or each.says)
        for each in tests
        if each
    ]
    return _("; ").join((*new_holes(visit, key), *said))


def new_holes(visit: Visit, key: str) -> Iterator[str]:
    """Yield the sizes measured after the work of the holes that a step made."""
    if not key.startswith(("jewel-", "bush-", "barrel")):
        return
    from sideshake.web.measuring.services import sizes_seen  # loads all that judges

    named = places_named(key) or PLACES
    rows = [
        row
        for row in visit.measurements.all()
        if row.after and row.key.partition(".")[0] in named and ".hole" in row.key
    ]
    for size in sizes_seen(rows):
        yield _("{title}: {words}").format(title=bare_name(size), words=figures(size.after))


def places_named(key: str) -> tuple[str, ...]:
    """Return which holes of the barrel's arbor a step names in its key.

    >>> places_named("jewel-below-above"), places_named("bush-above-1-2"), places_named("barrel")
    (('above', 'below'), ('above',), ())
    """
    return tuple(place for place in PLACES if place in key)


def step_words(title: str) -> str:
    """Return what a step is called on paper: one of several with its number, in the language."""
    parted = ONE_OF.fullmatch(title)
    if parted is None:
        return _(title)
    what, number, count = parted.groups()
    return _("{what}: {number} of {count}").format(what=_(what), number=number, count=count)


ONE_OF = re.compile(r"(.+): (\d+) of (\d+)")
"""The title of one of several steps to a new hole, as the plan writes it."""
