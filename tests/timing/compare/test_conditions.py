"""What it means when two readings were not taken alike."""

import pytest

from sideshake.core.errors import InputError
from sideshake.timing.compare.conditions import Conditions, unlike
from sideshake.timing.positions.summary import Position

LYING = Conditions(position=Position.CH, wound="full")


def test_like_conditions_need_no_caution():
    assert unlike(LYING, LYING) == []


@pytest.mark.parametrize(
    ("after", "words"),
    [
        (Conditions(position=Position.H12, wound="full"), "50° less hanging than lying"),
        (Conditions(position=Position.FH, wound="full"), "differ between positions by themselves"),
        (Conditions(position=Position.CH, wound="24h"), "50° less at 24 hours"),
        (Conditions(position=Position.CH), "How far it was wound was not noted after"),
        (Conditions(wound="full"), "How it lay was not noted after"),
        (Conditions(position=Position.CH, wound="full", chronograph_on=True), "ran only after"),
    ],
)
def test_each_unlike_condition_is_said(after, words):
    (caution,) = unlike(LYING, after)
    assert words in caution


def test_what_was_noted_neither_time_is_a_caution_too():
    both = unlike(Conditions(), Conditions())
    assert [text.count("either time") for text in both] == [1, 1]


def test_a_state_of_wind_is_one_of_three():
    with pytest.raises(InputError, match="full"):
        Conditions(wound="half")
