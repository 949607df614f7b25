"""The tests before a watch goes home: the list, what the readings offer, what a value says."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.core.quantities import COVERAGE_FACTOR, Measured, decimals
from sideshake.timing.positions.summary import LYING, AtPosition, Position, Summary, summary
from sideshake.timing.repeatability import laid_again
from sideshake.web.base.holding import hold_visits
from sideshake.web.base.saving import save
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.models import PlanStep, Reading, Step, User, Visit, Wound
from sideshake.web.readings.kept_figures import round_read
from sideshake.web.visits.services import move
from sideshake.workshop_rules.acceptance import (
    AcceptanceOutcome,
    AcceptanceTest,
    Judgement,
    checks_before_home,
    judged,
)
from sideshake.workshop_rules.acceptance_told import AcceptanceTold, Ticked, told
from sideshake.workshop_rules.plan import PRESSURE_STEP

PREFIX = "test-"
PRESSURE_TEST = "test-pressure"
LEAST_POSITIONS = 5
SHOWN_DECIMALS = 3


def checks_of(visit: Visit) -> dict[str, AcceptanceTest]:
    """Return the tests of this watch by the key of their row."""
    sheet = sheet_named(visit.watch.calibre)
    return {f"{PREFIX}{each.key}": each for each in checks_before_home(sheet)}


def pressure_agreed(visit: Visit) -> bool:
    """Return whether the plan has the pressure test: it has when the owner agreed to one."""
    skipped = PlanStep.Result.SKIPPED
    return any(each.key == PRESSURE_STEP and each.result != skipped for each in visit.plan.all())


def missing_tests(visit: Visit, stored: list[PlanStep]) -> list[PlanStep]:
    """Return the tests that the list does not have yet, not stored; none that was not agreed."""
    keys = {each.key for each in stored}
    if not pressure_agreed(visit):
        keys.add(PRESSURE_TEST)
    return [
        PlanStep(
            visit=visit,
            kind=PlanStep.Kind.TEST,
            key=key,
            place=0,
            title=check.title[:160],
            how=check.noted,
            unit=check.unit,
        )
        for key, check in checks_of(visit).items()
        if key not in keys
    ]


@transaction.atomic
def make_tests(visit: Visit, by: User, *, begin: bool) -> int:
    """Return how many tests were added to the list; what is on it stays."""
    from sideshake.web.bench_plan.services import (  # papers plan nothing
        tell_of_plan,
        write_in_order,
    )

    hold_visits([visit.pk])
    stored = list(visit.plan.filter(kind=PlanStep.Kind.TEST))
    added = missing_tests(visit, stored)
    write_in_order([*stored, *added])
    tell_of_plan(visit, by, added=added, dropped=[])
    if begin and visit.step != Step.ON_TEST:
        move(visit, Step.ON_TEST, by, on=timezone.localdate())
    return len(added)


def judgement(test: PlanStep, check: AcceptanceTest | None) -> Judgement | None:
    """Return what a test's value says against its limit; None without value or limit's test."""
    if check is None or not check.unit or test.value is None:
        return None
    return judged(check, Measured(test.value, test.u or 0.0))


def told_of(test: PlanStep, check: AcceptanceTest | None) -> AcceptanceTold | None:
    """Return what a test says; None when it was not done, or not so that it counts."""
    value = None if test.value is None else Measured(test.value, test.u or 0.0)
    return told(
        Ticked(
            title=test.title,
            result=test.result,
            unit=test.unit,
            value=value,
            by=looked_by(test),
            note=test.note.strip(),
        ),
        check,
    )


def looked_by(test: PlanStep) -> str:
    """Return who did a test, by name; the workshop where no name is set; empty for nobody."""
    return (test.done_by.on_paper or _("the workshop")) if test.done_by else ""


def all_good(visit: Visit, tests: list[PlanStep]) -> bool:
    """Whether every test is good by what it rests on or was left out, and one at least is good."""
    checks = checks_of(visit)
    said = [
        told_of(each, checks.get(each.key))
        for each in tests
        if each.result != PlanStep.Result.SKIPPED
    ]
    return bool(said) and all(each is not None and each.good for each in said)


def write_test(test: PlanStep, by: User, *, seen: int | None = None) -> None:
    """Store a test with who did it and when; one without a result is not done.

    Raises
    ------
    InputError : it was left out without a reason, or is to be good without its value
    """
    decide_by_value(test)
    if test.result == PlanStep.Result.SKIPPED and not test.note.strip():
        raise InputError(_("say in the note why the test is left out"))
    done = bool(test.result)
    test.done_at, test.done_by = (timezone.now(), by) if done else (None, None)
    save(test, by, seen=seen, what=f"test: {test.title}: {test.get_result_display()}")


def decide_by_value(test: PlanStep) -> None:
    """Let a value beyond its limit make a test not good, and one that keeps it make it good.

    Raises
    ------
    InputError : it is to be good, is measured, and has no value
    """
    good, bad = PlanStep.Result.GOOD, PlanStep.Result.BAD
    if test.result == good and test.unit and test.value is None:
        raise InputError(
            _("“%(test)s” is good only with its value: type it, in %(unit)s")
            % {"test": test.title, "unit": test.unit}
        )
    said = judgement(test, checks_of(test.visit).get(test.key))
    if said is None or test.result == PlanStep.Result.SKIPPED:
        return
    if said.outcome is AcceptanceOutcome.FAILS:
        test.result = bad
    elif said.outcome is AcceptanceOutcome.PASSES and test.result == PlanStep.Result.NONE:
        test.result = good


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferedValue:
    """A value that the readings after the work give for a test, and what it rests on."""

    value: Measured
    rests_on: str

    @property
    def rounded(self) -> Measured:
        """Return the value as it is written down: one figure more than is shown."""
        places = decimals(self.value.expanded) + 1 if self.value.u else SHOWN_DECIMALS
        within = round(self.value.expanded, places)
        return Measured(round(self.value.value, places), within / COVERAGE_FACTOR)


def offers(readings: list[Reading]) -> dict[str, OfferedValue]:
    """Return what the readings after the work give, by the key of the test's row.

    The sums are those of a round; of several readings in one state the newest counts.
    """
    full, day = after_the_work(readings, Wound.FULL), after_the_work(readings, Wound.DAY)
    found = {
        "rate-full": mean_rate(full),
        "rate-24h": mean_rate(day),
        "rate-spread": spread(full),
        "dial-up-down": dial_up_down(full),
        "beat": largest_beat_error(full),
        "amplitude-full": lying_amplitude(full),
        "amplitude-hanging-24h": least_hanging(day),
        "chronograph-drop": chronograph_drop(full),
    }
    return {f"{PREFIX}{key}": offer for key, offer in found.items() if offer}


def after_the_work(readings: list[Reading], wound: Wound) -> Summary:
    """Return what the readings after the work say of the watch, in one state of wind."""
    read = round_read([r for r in readings if r.after and r.wound == wound], str(wound))
    return summary(laid_again(read.heard))


def mean_rate(said: Summary) -> OfferedValue | None:
    """Return the mean rate of at least five positions."""
    mean = said.mean_s_per_day
    if mean is None or len(said.rates_in) < LEAST_POSITIONS:
        return None
    return OfferedValue(value=mean, rests_on=in_positions(said.rates_in))


def spread(said: Summary) -> OfferedValue | None:
    """Return the largest minus the smallest rate of at least five positions."""
    if said.spread is None or len(said.rates_in) < LEAST_POSITIONS:
        return None
    ends = (said.spread.largest, said.spread.smallest)
    return OfferedValue(value=said.spread.value, rests_on=in_positions(ends))


def dial_up_down(said: Summary) -> OfferedValue | None:
    """Return the difference of the rates dial up and dial down, without its sign."""
    change = said.dial_up_minus_down_s_per_day
    if change is None:
        return None
    return OfferedValue(value=Measured(abs(change.value), change.u), rests_on=in_positions(LYING))


def largest_beat_error(said: Summary) -> OfferedValue | None:
    """Return the largest beat error."""
    return at_position(said.largest_beat_error)


def lying_amplitude(said: Summary) -> OfferedValue | None:
    """Return the mean amplitude dial up and dial down."""
    if said.lying_deg is None or not set(LYING) <= set(said.amplitudes_in):
        return None
    return OfferedValue(value=said.lying_deg, rests_on=in_positions(LYING))


def least_hanging(said: Summary) -> OfferedValue | None:
    """Return the smallest amplitude of the hanging positions."""
    return at_position(said.least_hanging)


def chronograph_drop(said: Summary) -> OfferedValue | None:
    """Return the fall of amplitude from chronograph off to on, in the positions heard both ways."""
    if said.chronograph_cost_deg is None:
        return None
    return OfferedValue(value=said.chronograph_cost_deg, rests_on=in_positions(said.chronograph_in))


def at_position(found: AtPosition | None) -> OfferedValue | None:
    """Return a figure of one position."""
    if found is None:
        return None
    return OfferedValue(value=found.value, rests_on=in_positions([found.position]))


def in_positions(places: Iterable[Position]) -> str:
    """Return the positions in words."""
    return _("readings after the work: %(places)s") % {"places": ", ".join(places)}
