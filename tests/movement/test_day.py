"""The hours of the day of the week: its own finger, its own window."""

import pytest

from sideshake.core.errors import InputError
from sideshake.movement.calendar import hand_time
from sideshake.movement.day import day_hours, day_hours_or_advice
from sideshake.movement.sections import Calendar
from sideshake.movement.sheet_file import shipped_sheet

BOTH = shipped_sheet("tolvane-26")


def test_the_window_of_the_day_is_that_of_its_own_finger():
    # watched 23:10, 1:30, 3:00, read to 5 min: 1 h and 2 x 5 min on either side, by hand
    hours = day_hours(BOTH)
    assert (hand_time(hours.start_h), hand_time(hours.end_h)) == ("22:00", "4:10")


def test_a_watch_without_a_day_has_no_window():
    for name in ("lindquell-25", "tarnbrook-31"):
        assert day_hours(shipped_sheet(name)) is None
        assert day_hours_or_advice(shipped_sheet(name)) is None
    assert day_hours_or_advice(None) is None


def test_a_day_that_cannot_be_set_on_its_own_has_no_window():
    fixed = BOTH.model_copy(update={"day": Calendar(quick_set=False)})
    assert day_hours(fixed) is None


def test_an_unknown_finger_is_named_and_gets_the_widest_advice():
    unknown = BOTH.model_copy(update={"day": Calendar(quick_set=True)})
    with pytest.raises(InputError, match=r"day\.first_touch"):
        day_hours(unknown)
    advice = day_hours_or_advice(unknown)
    assert advice is not None
    assert (advice.start_h, advice.end_h) == (20.0, 4.0)


def test_a_dial_that_tells_morning_from_evening_tells_it_for_the_day_too():
    shown = BOTH.model_copy(
        update={"calendar": BOTH.calendar.model_copy(update={"dial_shows_half_day": True})}
    )
    assert day_hours(shown).dial_h == 24
    assert day_hours(BOTH).dial_h == 12
