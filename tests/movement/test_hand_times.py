"""Hand times in words: every quarter of the day, and widened outward only."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.movement.hand_times import FROM_TO, outward, quarter_words, said_outward


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (0, "midnight"),
        (0.25, "quarter past midnight"),
        (2.5, "half past two in the morning"),
        (11.75, "quarter to noon"),
        (12, "noon"),
        (12.75, "quarter to one in the afternoon"),
        (17.75, "quarter to six in the evening"),
        (19.5, "half past seven in the evening"),
        (23.75, "quarter to midnight"),
        (24.25, "quarter past midnight"),
    ],
)
def test_quarters_are_said_as_a_layman_says_them(hours, words):
    assert quarter_words(hours) == words


def test_every_quarter_of_the_day_has_its_own_words():
    assert len({quarter_words(each / 4) for each in range(96)}) == 96


@given(st.floats(0, 24), st.floats(0, 11))
def test_hours_are_widened_outward_by_less_than_a_quarter(start, length):
    first, last = outward(start, start + length)
    assert start - 0.2504 <= first <= start + 0.0003
    assert start + length - 0.0003 <= last <= start + length + 0.2504
    assert (4 * first, 4 * last) == (round(4 * first), round(4 * last))


def test_hours_of_a_card():
    assert said_outward(19.735, 6.65, said=FROM_TO) == (
        "from half past seven in the evening to half past two in the morning"
    )


def test_whole_quarters_stay():
    assert outward(20.0, 28.0) == (20.0, 28.0)
