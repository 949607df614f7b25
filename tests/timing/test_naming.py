"""What is said of a page whose noises are not surely named, and that nothing is said of others.

Explanations come from noises written down by hand (`hand_made_ticks`).
"""

from dataclasses import replace

import pytest
from hand_made_ticks import BEAT_S, explain, noise, surely, tick

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.choices import Explanation
from sideshake.sound.listener import SegmentNote
from sideshake.timing.amplitude import amplitude_deg
from sideshake.timing.naming import (
    AmplitudeView,
    bounds,
    by_expectation,
    chosen,
    hidden_words,
    why_open,
)

VIEW = AmplitudeView(beat_s=BEAT_S, lift_angle_deg=52.0)
TWO = [noise(-12.0, -8.0), noise(0.0, 0.0)]
HIDING = explain(TWO, TWO, room_db=-15.0)


def note(explanation):
    return SegmentNote(start_s=0.0, end_s=30.0, heard=150, explanation=explanation)


def refusal(explanation, view=VIEW):
    with pytest.raises(NotEnough) as why:
        chosen(note(explanation), view)
    return str(why.value)


def choices(*spans_ms_and_probabilities, hidden=0.0, limit_db=-35.0):
    """Return an explanation of these spans (ms) and probabilities, the most probable first."""
    made = [
        replace(surely(span_ms * 1e-3).choices[0], probability=probability)
        for span_ms, probability in spans_ms_and_probabilities
    ]
    events = surely(10e-3).events
    return Explanation(events=events, choices=tuple(made), hidden=hidden, limit_db=limit_db)


def test_what_is_sure_is_chosen_without_a_word():
    explanation = explain(tick(), tick())
    assert chosen(note(explanation), VIEW) is explanation.choices[0]


def test_one_side_alone_is_said():
    assert refusal(None) == "only one of tick and tock is heard"


def test_an_unlocking_that_may_hide_is_said_with_what_would_settle_it():
    """In a room 15 dB below the drop, 29 is enough: 14 dB."""
    said = refusal(HIDING)
    assert "a fainter unlocking could hide in the room's noise" in said
    assert "some 14 dB quieter" in said


def test_the_quieter_room_asked_for_is_never_less_than_three_decibels():
    assert "some 3 dB quieter" in hidden_words(choices((12, 0.9), hidden=0.1, limit_db=-28.0))


def test_nothing_hides_where_the_room_is_quiet():
    """Counter-case: the same two noises, unlocking's and drop's own loudness, 40 dB of quiet."""
    two = [noise(-12.0, -13.0), noise(0.0, 0.0)]
    assert chosen(note(explain(two, two, room_db=-40.0)), VIEW).span_s == pytest.approx(12e-3)


def test_two_ways_are_told_as_the_amplitudes_they_mean():
    """12 and 17 ms at 18000 and 52 degrees (trade-facts 3.2.1): 276 and 195 degrees."""
    said = refusal(choices((12, 0.7), (17, 0.3)))
    ways = sorted(
        round(amplitude_deg(each * 1e-3, beat_s=BEAT_S, lift_angle_deg=52)) for each in (12, 17)
    )
    assert ways == [195, 276]
    assert f"can be named in more than one way: {ways[0]}° or {ways[1]}°" in said
    assert "hide" not in said


def test_a_way_out_of_reach_is_not_told():
    """Counter-case: one in two hundred."""
    said = why_open(choices((12, 0.975), (17, 0.005), hidden=0.01), VIEW)
    assert "195" not in said
    assert "more than one way" not in said


def test_ways_that_lie_close_together_are_one():
    """12.0 and 12.7 ms differ by less than 8 %."""
    near = choices((12.0, 0.7), (12.7, 0.3))
    assert near.nearly_sure
    assert chosen(note(near), VIEW).span_s == pytest.approx(12e-3)
    apart = choices((12.0, 0.7), (13.2, 0.3))
    assert not apart.nearly_sure
    assert "more than one way" in refusal(apart)


def test_the_widest_swing_is_told_where_nothing_else_is_possible():
    """Seen and hidden together are all there is: hidden unlocking comes sooner, a lower swing."""
    explanation = choices((12, 0.6), hidden=0.4)
    assert bounds(explanation)
    assert "it swings at most 276°" in why_open(explanation, VIEW)


def test_no_widest_swing_is_told_where_the_rest_is_open():
    explanation = choices((12, 0.6), hidden=0.2)
    assert not bounds(explanation)
    assert "at most" not in why_open(explanation, VIEW)


def test_what_is_expected_decides_between_two_ways():
    """Said to swing 270: 276 is six degrees off, 195 is five standard deviations."""
    explanation = choices((12, 0.5), (17, 0.5))
    view = replace(VIEW, expected_deg=Measured(270.0, 5.0))
    assert chosen(note(explanation), view).span_s == pytest.approx(12e-3)
    low = replace(VIEW, expected_deg=Measured(200.0, 5.0))
    assert chosen(note(explanation), low).span_s == pytest.approx(17e-3)


def test_what_is_expected_does_not_decide_between_ways_it_lies_between():
    """Counter-case: 235 is as far from either, and the ways are told as before."""
    view = replace(VIEW, expected_deg=Measured(236.0, 5.0))
    assert "more than one way" in refusal(choices((12, 0.5), (17, 0.5)), view)


def test_what_is_expected_does_not_make_up_what_is_not_heard():
    """Counter-case: said to swing 345, heard are 276 and 195: nothing fits."""
    explanation = choices((12, 0.2), (17, 0.2), hidden=0.6)
    assert by_expectation(explanation, VIEW, Measured(345.0, 1.0)) is None
    assert "hide" in refusal(explanation, replace(VIEW, expected_deg=Measured(345.0, 1.0)))


def test_what_is_expected_changes_nothing_that_is_sure():
    explanation = explain(tick(), tick())
    view = replace(VIEW, expected_deg=Measured(150.0, 1.0))
    assert chosen(note(explanation), view) is explanation.choices[0]
