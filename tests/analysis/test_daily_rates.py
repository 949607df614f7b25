"""A programme's book read as days: which count, which follow, and how the criteria stand."""

from datetime import UTC, datetime, timedelta

import pytest

from sideshake.analysis.daily_rates import (
    CourseEntry,
    days_to_come,
    last_comparison,
    runs_of,
    stand,
)
from sideshake.core.errors import InputError
from sideshake.timing.daily_rates.criteria import CriterionVerdict
from sideshake.timing.daily_rates.rules import MovementSize

FIRST = datetime(2026, 3, 2, 8, tzinfo=UTC)


def entry(day, state_s, **more):
    return CourseEntry(day=day, at=FIRST + timedelta(days=day), state_s=state_s, **more)


def steady(days, *, gains_s=2.0):
    return [entry(day, gains_s * day) for day in range(days + 1)]


def rates(book):
    return [run and pytest.approx(run.rate_s_per_day.value) for run in runs_of(book, 0.2)]


def test_each_line_but_the_first_ends_a_day():
    assert rates(steady(3)) == [None, 2.0, 2.0, 2.0]


def test_a_day_that_was_disturbed_does_not_count_but_the_next_begins_where_it_ends():
    book = steady(3)
    book[2] = entry(2, 9.0, counts=False)
    assert rates(book) == [None, 2.0, None, -3.0]


def test_a_day_left_out_has_no_line_to_end_it():
    book = [*steady(1), CourseEntry(day=2), entry(3, 6.0)]
    assert [run is None for run in runs_of(book, 0.2)] == [True, False, True, False]
    assert last_comparison(book[:3]) == book[1]
    assert days_to_come(book[:3])[0].number == 3


def test_before_the_first_comparison_all_fifteen_days_are_to_come():
    assert [day.number for day in days_to_come([])] == list(range(1, 16))
    assert last_comparison([]) is None
    assert days_to_come(steady(15)) == ()


def test_a_steady_watch_keeps_every_criterion_and_an_unfinished_one_leaves_some_open():
    whole = stand(steady(15), 0.05, MovementSize.LARGE)
    assert {each.verdict for each in whole} == {CriterionVerdict.KEPT}
    begun = stand(steady(4), 0.05, MovementSize.LARGE)
    assert CriterionVerdict.OPEN in {each.verdict for each in begun}
    assert CriterionVerdict.NOT_KEPT not in {each.verdict for each in begun}


def test_comparisons_out_of_order_are_refused():
    with pytest.raises(InputError, match="ends before it begins"):
        runs_of([entry(2, 0.0), entry(1, 1.0)], 0.2)
