"""The tests before a watch goes home as they stand on paper: each with what it rests on."""

from collections.abc import Iterator, Mapping

from django.utils.translation import gettext as _

from sideshake.core.quantities import Measured
from sideshake.documents.acceptance import TestRow
from sideshake.web.bench_plan.home_tests import (
    PRESSURE_TEST,
    checks_of,
    offers,
    pressure_agreed,
    told_of,
)
from sideshake.web.documents.words import written_day
from sideshake.web.models import PlanStep, Visit
from sideshake.workshop_rules.acceptance_told import AcceptanceTold

RESERVE = "test-reserve"
"""A test of which the report tells elsewhere, too."""


def tests_told(visit: Visit) -> dict[str, AcceptanceTold]:
    """Return what each test says that counts, by the key of its row; what was not agreed is out."""
    checks, agreed = checks_of(visit), pressure_agreed(visit)
    steps = [each for each in visit.plan.all() if each.kind == PlanStep.Kind.TEST]
    steps = measured_all_the_same(visit, steps)
    said = {each.key: told_of(each, checks.get(each.key)) for each in steps}
    return {key: told for key, told in said.items() if told and (agreed or key != PRESSURE_TEST)}


def measured_all_the_same(visit: Visit, steps: list[PlanStep]) -> list[PlanStep]:
    """Return tests, those left out whose figure the readings after the work give with that figure.

    The figure stands in the report's own table; its limit decides whether it is good. The records
    stay as they are.
    """
    if not any(each.result == PlanStep.Result.SKIPPED and each.unit for each in steps):
        return steps
    given = offers(list(visit.readings.all()))
    return [
        by_readings(each, given[each.key].rounded)
        if each.result == PlanStep.Result.SKIPPED and each.key in given
        else each
        for each in steps
    ]


def by_readings(step: PlanStep, value: Measured) -> PlanStep:
    """Return a test, not stored, as it is with a value that the readings give."""
    return PlanStep(
        visit=step.visit,
        kind=step.kind,
        key=step.key,
        title=step.title,
        unit=step.unit,
        result=PlanStep.Result.GOOD,
        value=value.value,
        u=value.u,
    )


def tested_rows(told: Mapping[str, AcceptanceTold]) -> Iterator[TestRow]:
    """Yield the rows of the report's list of tests."""
    for key, each in told.items():
        if key != PRESSURE_TEST:
            yield TestRow(title=each.title, value=each.value, limit=each.limit, says=each.says)


def not_good(told: Mapping[str, AcceptanceTold]) -> Iterator[str]:
    """Yield the tests that were surely not good; a value beyond its limit decides by itself."""
    for key, each in told.items():
        if each.failed:
            yield _("Water test") if key == PRESSURE_TEST else each.title


def test_of(visit: Visit, key: str) -> PlanStep | None:
    """Return a test of a visit by the key of its row, if it was done."""
    steps = (each for each in visit.plan.all() if each.kind == PlanStep.Kind.TEST)
    return next((each for each in steps if each.key == key and each.result), None)


def unnamed(visit: Visit) -> Iterator[str]:
    """Yield that the name of who looked lacks, where a test rests on it."""
    looked = (PlanStep.Result.GOOD, PlanStep.Result.BAD)
    if any(
        each.result in looked and not each.unit and each.done_by and not each.done_by.on_paper
        for each in visit.plan.all()
        if each.kind == PlanStep.Kind.TEST
    ):
        yield _("the name of who looked at it in the tests: set first and last name at People")


def running_time(visit: Visit) -> Measured | None:
    """Return for how many hours the watch ran on one winding; None when it was not measured."""
    test = test_of(visit, RESERVE)
    if test is None or test.value is None or test.result == PlanStep.Result.SKIPPED:
        return None
    return Measured(test.value, test.u or 0.0)


def water_words(visit: Visit) -> str:
    """Return what the pressure test showed: only one agreed, done, and with its pressure and day.

    Empty otherwise: what was not measured is not called tight.
    """
    test = test_of(visit, PRESSURE_TEST)
    if test is None or test.value is None or test.done_at is None or not pressure_agreed(visit):
        return ""
    if test.result == PlanStep.Result.SKIPPED:
        return ""
    told = told_of(test, checks_of(visit).get(PRESSURE_TEST))
    held = told is not None and told.good
    words = _("tight at %(value)s") if held else _("not tight at %(value)s")
    said = words % {"value": f"{Measured(test.value, test.u or 0.0).text()} {test.unit}"}
    return f"{said}{noted(test)}"


def noted(test: PlanStep) -> str:
    """Return the note of a test as it follows its result."""
    return f", {test.note.strip()}" if test.note.strip() else ""


def water_day(visit: Visit) -> str:
    """Return the day of the pressure test; empty when there was none."""
    test = test_of(visit, PRESSURE_TEST)
    return written_day(test.done_at.date()) if test and test.done_at else ""
