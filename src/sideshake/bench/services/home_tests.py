"""The tests before a watch goes home: the list, what the readings offer, what a value says."""

from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.bench.models import PlanStep, Reading, Step, User, Visit
from sideshake.bench.services.planning import tell_of_plan, write_in_order
from sideshake.bench.services.saving import save
from sideshake.bench.services.visiting import move
from sideshake.bench.sheets import sheet_named
from sideshake.errors import InputError
from sideshake.quantities import Measured, decimals, propagate
from sideshake.shop.proof import Check, Judgement, checks_before_home, judged

PREFIX = "test-"
LYING = ("CH", "FH")
LEAST_POSITIONS = 5
SHOWN_DECIMALS = 3
FULL, AFTER_A_DAY = "full", "24h"


def checks_of(visit: Visit) -> dict[str, Check]:
    """Return the tests of this watch by the key of their row."""
    sheet = sheet_named(visit.watch.calibre)
    return {f"{PREFIX}{each.key}": each for each in checks_before_home(sheet)}


def missing_tests(visit: Visit, stored: list[PlanStep]) -> list[PlanStep]:
    """Return the tests that the list does not have yet, not stored."""
    keys = {each.key for each in stored}
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
    Visit.objects.select_for_update().get(pk=visit.pk)
    stored = list(visit.plan.filter(kind=PlanStep.Kind.TEST))
    added = missing_tests(visit, stored)
    write_in_order([*stored, *added])
    tell_of_plan(visit, by, added=added, dropped=[])
    if begin and visit.step != Step.ON_TEST:
        move(visit, Step.ON_TEST, by, on=timezone.localdate())
    return len(added)


def judgement(test: PlanStep, check: Check | None) -> Judgement | None:
    """Return what a test's value says against its limit; None without value or limit's test."""
    if check is None or not check.unit or test.value is None:
        return None
    return judged(check, Measured(test.value, test.u or 0.0))


def all_good(tests: list[PlanStep]) -> bool:
    """Whether every test is good or was left out with a reason, and one at least is good."""
    settled = all(each.result in (PlanStep.Result.GOOD, PlanStep.Result.SKIPPED) for each in tests)
    return settled and any(each.result == PlanStep.Result.GOOD for each in tests)


def write_test(test: PlanStep, by: User, *, seen: int | None = None) -> None:
    """Store a test with who did it and when; one without a result is not done.

    Raises
    ------
    InputError : it was left out without a reason
    """
    if test.result == PlanStep.Result.SKIPPED and not test.note.strip():
        raise InputError(_("say in the note why the test is left out"))
    done = bool(test.result)
    test.done_at, test.done_by = (timezone.now(), by) if done else (None, None)
    save(test, by, seen=seen, what=f"test: {test.title}: {test.get_result_display()}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A value that the readings after the work give for a test, and what it rests on."""

    value: Measured
    rests_on: str

    @property
    def rounded(self) -> Measured:
        """Return the value as it is written down: one figure more than is shown."""
        places = decimals(self.value.expanded) + 1 if self.value.u else SHOWN_DECIMALS
        return Measured(round(self.value.value, places), round(self.value.u, places))


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """One reading after the work, with what a test needs of it."""

    position: str
    wound: str
    chronograph_on: bool
    rate: Measured | None
    amplitude: Measured | None
    beat: Measured | None


def offers(readings: list[Reading]) -> dict[str, Offer]:
    """Return what the readings after the work give, by the key of the test's row.

    Of several readings in one state the newest counts.
    """
    heard = newest_of_each(readings)
    found = {
        "rate-full": mean_rate(heard, FULL),
        "rate-24h": mean_rate(heard, AFTER_A_DAY),
        "rate-spread": spread(heard),
        "dial-up-down": dial_up_down(heard),
        "beat": largest_beat_error(heard),
        "amplitude-full": lying_amplitude(heard),
        "amplitude-hanging-24h": least_hanging(heard),
        "chronograph-drop": chronograph_drop(heard),
    }
    return {f"{PREFIX}{key}": offer for key, offer in found.items() if offer}


def newest_of_each(readings: list[Reading]) -> list[Heard]:
    """Return the newest reading after the work of each position, winding and chronograph."""
    newest = {
        (each.position, each.wound, each.chronograph_on): each
        for each in readings
        if each.after and each.state == "heard" and each.position
    }
    return [heard_of(each) for each in newest.values()]


def heard_of(reading: Reading) -> Heard:
    """Return what a test needs of a reading."""
    return Heard(
        position=reading.position,
        wound=reading.wound,
        chronograph_on=reading.chronograph_on,
        rate=measured(reading.rate_s_per_day, reading.rate_u_s_per_day),
        amplitude=measured(reading.amplitude_deg, reading.amplitude_u_deg),
        beat=measured(reading.beat_error_ms, reading.beat_error_u_ms),
    )


def measured(value: float | None, u: float | None) -> Measured | None:
    """Return a value with its uncertainty; None when either is missing."""
    return None if value is None or u is None else Measured(value, u)


def rates(heard: list[Heard], wound: str) -> dict[str, Measured]:
    """Return the rates with the chronograph off, by position."""
    return {
        each.position: each.rate
        for each in heard
        if each.wound == wound and not each.chronograph_on and each.rate
    }


def mean_rate(heard: list[Heard], wound: str) -> Offer | None:
    """Return the mean rate of at least five positions."""
    found = rates(heard, wound)
    if len(found) < LEAST_POSITIONS:
        return None
    return Offer(value=mean_of(list(found.values())), rests_on=in_positions(list(found)))


def spread(heard: list[Heard]) -> Offer | None:
    """Return the largest minus the smallest rate of at least five positions, fully wound."""
    found = rates(heard, FULL)
    if len(found) < LEAST_POSITIONS:
        return None
    fast = max(found, key=lambda each: found[each].value)
    slow = min(found, key=lambda each: found[each].value)
    return Offer(value=minus(found[fast], found[slow]), rests_on=in_positions([fast, slow]))


def dial_up_down(heard: list[Heard]) -> Offer | None:
    """Return the difference of the rates dial up and dial down, without its sign."""
    found = rates(heard, FULL)
    if not set(LYING) <= set(found):
        return None
    up, down = (found[each] for each in LYING)
    higher, lower = (up, down) if up.value >= down.value else (down, up)
    return Offer(value=minus(higher, lower), rests_on=in_positions(list(LYING)))


def largest_beat_error(heard: list[Heard]) -> Offer | None:
    """Return the largest beat error fully wound, without its sign."""
    found = {
        each.position: each.beat
        for each in heard
        if each.wound == FULL and not each.chronograph_on and each.beat
    }
    if not found:
        return None
    worst = max(found, key=lambda each: abs(found[each].value))
    return Offer(
        value=Measured(abs(found[worst].value), found[worst].u), rests_on=in_positions([worst])
    )


def amplitudes(heard: list[Heard], wound: str, *, chronograph_on: bool) -> dict[str, Measured]:
    """Return the amplitudes by position."""
    return {
        each.position: each.amplitude
        for each in heard
        if each.wound == wound and each.chronograph_on is chronograph_on and each.amplitude
    }


def lying_amplitude(heard: list[Heard]) -> Offer | None:
    """Return the mean amplitude dial up and dial down, fully wound."""
    found = amplitudes(heard, FULL, chronograph_on=False)
    if not set(LYING) <= set(found):
        return None
    mean = mean_of([found[each] for each in LYING])
    return Offer(value=mean, rests_on=in_positions(list(LYING)))


def least_hanging(heard: list[Heard]) -> Offer | None:
    """Return the smallest amplitude of the hanging positions 24 hours after winding."""
    found = amplitudes(heard, AFTER_A_DAY, chronograph_on=False)
    hanging = {place: each for place, each in found.items() if place not in LYING}
    if not hanging:
        return None
    least = min(hanging, key=lambda each: hanging[each].value)
    return Offer(value=hanging[least], rests_on=in_positions(sorted(hanging)))


def chronograph_drop(heard: list[Heard]) -> Offer | None:
    """Return the largest fall of amplitude from chronograph off to on in one position, full."""
    off = amplitudes(heard, FULL, chronograph_on=False)
    on = amplitudes(heard, FULL, chronograph_on=True)
    falls = {place: minus(off[place], on[place]) for place in off if place in on}
    if not falls:
        return None
    worst = max(falls, key=lambda each: falls[each].value)
    return Offer(value=falls[worst], rests_on=in_positions([worst]))


def mean_of(values: list[Measured]) -> Measured:
    """Return a mean with the most its uncertainty can be: as if all erred together.

    The recorder's clock and the lift angle are the same in every reading, so the readings do not
    make up for each other's errors (GUM 5.2.2, with a correlation of 1).
    """
    count = len(values)
    return Measured(
        sum(each.value for each in values) / count, sum(each.u for each in values) / count
    )


def minus(more: Measured, less: Measured) -> Measured:
    """Return a difference with the most its uncertainty can be: as if each erred on its own."""
    return propagate(lambda a, b: a - b, more, less)


def in_positions(places: list[str]) -> str:
    """Return the positions in words."""
    return _("readings after the work: %(places)s") % {"places": ", ".join(places)}
