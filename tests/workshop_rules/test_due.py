from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.workshop_rules.due import (
    Due,
    DueKind,
    due_within,
    is_past,
    months_after,
    next_service,
    proposal_expiry,
    warranty_end,
)

DAYS = st.dates(date(1900, 1, 1), date(2100, 12, 31))


# Printed in the documentation of libraries with calendar months (java.time LocalDate.plusMonths:
# 2007-03-31 plus one month; python-dateutil relativedelta: 2003-01-31 plus one month, and
# 2004-02-29 plus one year), and PostgreSQL's timestamp arithmetic (2020-01-31 plus one month).
@pytest.mark.parametrize(
    ("start", "months", "end"),
    [
        (date(2007, 3, 31), 1, date(2007, 4, 30)),
        (date(2003, 1, 31), 1, date(2003, 2, 28)),
        (date(2004, 2, 29), 12, date(2005, 2, 28)),
        (date(2020, 1, 31), 1, date(2020, 2, 29)),
        (date(2026, 11, 25), 12, date(2027, 11, 25)),
        (date(2026, 12, 31), 2, date(2027, 2, 28)),
        (date(2026, 5, 15), -5, date(2025, 12, 15)),
        (date(2026, 5, 15), 0, date(2026, 5, 15)),
    ],
)
def test_months_end_on_the_same_day_or_the_last_of_a_shorter_month(start, months, end):
    assert months_after(start, months) == end


@given(DAYS, st.integers(0, 600))
def test_months_never_run_into_the_next(start, months):
    end = months_after(start, months)
    assert (end.year * 12 + end.month) - (start.year * 12 + start.month) == months
    assert end.day <= start.day


@given(DAYS, DAYS, st.integers(1, 120))
def test_what_goes_home_later_is_due_later_or_the_same_day(one, other, months):
    first, second = sorted((one, other))
    assert warranty_end(first, months) <= warranty_end(second, months)


# Regulation (EEC, Euratom) 1182/71, Art. 3(2)(c): a period of months ends with the last hour of
# the day of the same date.
def test_the_last_day_still_belongs_to_the_warranty():
    last = warranty_end(date(2026, 3, 10))
    assert last == date(2027, 3, 10)
    assert not is_past(last, date(2027, 3, 10))
    assert is_past(last, date(2027, 3, 11))


def test_a_proposal_lives_so_many_days():
    assert proposal_expiry(date(2026, 12, 10)) == date(2027, 1, 9)
    assert proposal_expiry(date(2028, 2, 28), 2) == date(2028, 3, 1)


def test_the_next_service_is_advised_after_four_years():
    assert next_service(date(2024, 2, 29)) == date(2028, 2, 29)


@pytest.mark.parametrize("period", [warranty_end, next_service, proposal_expiry])
def test_a_period_is_one_or_more(period):
    with pytest.raises(InputError, match="1 or more"):
        period(date(2026, 1, 1), 0)


def test_the_calendar_has_an_end():
    with pytest.raises(InputError, match="beyond the calendar"):
        months_after(date(9999, 1, 1), 12)
    with pytest.raises(InputError, match="beyond the calendar"):
        proposal_expiry(date(9999, 12, 2))
    assert proposal_expiry(date(9999, 12, 1)) == date(9999, 12, 31)


def due(day, visit="2026-001", kind=DueKind.SERVICE):
    return Due(visit=visit, kind=kind, day=day)


def test_what_is_due_comes_earliest_first_with_what_is_past():
    today = date(2026, 11, 25)
    late, soon, far = due(date(2026, 11, 1)), due(date(2026, 12, 25)), due(date(2026, 12, 26))
    assert due_within((far, soon, late), today, days=30) == (late, soon)
    with pytest.raises(InputError):
        due_within((), today, days=-1)


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (date(2026, 11, 25), "next service: today"),
        (date(2026, 11, 26), "next service: in 1 day"),
        (date(2026, 11, 20), "next service: 5 days ago"),
    ],
)
def test_how_far_off_is_said_in_words(day, words):
    assert due(day).words(date(2026, 11, 25)) == words
