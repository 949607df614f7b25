"""What a programme says of itself, without a database."""

from datetime import UTC, date, datetime, timedelta

import pytest

from sideshake.analysis.daily_rates import CourseEntry
from sideshake.web.daily_rates.course import course, entries, length_words, stored
from sideshake.web.models import Programme

FIRST = datetime(2026, 3, 5, 8, 5, tzinfo=UTC)


def programme(days, **told):
    states = [
        {"at": (FIRST + timedelta(days=day)).isoformat(), "state_s": 2.0 * day}
        for day in range(days + 1)
    ]
    kept = {"size": "large", "begun_on": date(2026, 3, 5), "states": states}
    return Programme(**{**kept, **told})


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (1, "Next comparison due tomorrow at 08:05."),
        (20, "Next comparison due today at 08:05."),
        (25, "Next comparison was due today at 08:05."),
        (49, "Next comparison was due yesterday at 08:05."),
        (200, "Next comparison was due 2026-03-06 at 08:05."),
    ],
)
def test_when_the_next_comparison_is_due(hours, words):
    said = course(programme(0)).due_words(FIRST + timedelta(hours=hours))
    assert said == f"Day 1 runs: 6H, crown left, 23 °C. {words}"


def test_on_day_ten_the_additional_mechanism_runs():
    said = course(programme(9)).due_words(FIRST + timedelta(days=9))
    assert said.startswith("Day 10 runs: CH, dial up, 23 °C, additional mechanism running.")


def test_a_programme_that_is_to_begin_today_is_due():
    fresh = programme(0, states=[])
    assert course(fresh).is_due_by(FIRST)
    assert not course(fresh).is_due_by(FIRST - timedelta(days=1))


def test_an_ended_programme_is_never_due():
    ended = course(programme(3, ended_on=date(2026, 3, 8)))
    assert not ended.is_due_by(FIRST + timedelta(days=30))
    assert ended.due_words(FIRST) == ""


def test_lines_without_a_day_end_the_days_in_turn():
    # As the record's own words say: the first begins day 1, each further one ends a day.
    assert [entry.day for entry in entries(programme(3))] == [0, 1, 2, 3]


@pytest.mark.parametrize(
    "entry",
    [
        CourseEntry(day=3, at=FIRST, state_s=1.5),
        CourseEntry(day=3, at=FIRST, state_s=1.5, counts=False),
        CourseEntry(day=0, at=FIRST, state_s=-2.0),
        CourseEntry(day=11),
    ],
)
def test_what_is_stored_is_read_again(entry):
    assert entries(programme(0, states=[stored(entry)])) == [entry]


def test_a_length_is_said_in_hours_and_minutes():
    assert length_words(25.999) == "26 h 00 min"
