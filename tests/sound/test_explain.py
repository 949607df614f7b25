"""Ticks written down by hand; times in ms, levels in dB against the drop, 18000 beats an hour.

What a lever escapement sounds like: trade-facts 3.1.1 to 3.1.7. How probable what must be, to be
told as sure, is the module's own statement (`SURE`).
"""

from dataclasses import replace

import numpy as np
import pytest
from hand_made_ticks import IMPULSE_MS, LIFT_MS, ROOM_DB, explain, named, noise, tick
from hypothesis import given, settings
from hypothesis import strategies as st

from sideshake.sound.choices import SURE
from sideshake.sound.event import decibels
from sideshake.sound.explain import (
    MOST_EVENTS,
    extra_score,
    impulses_alike,
    is_double,
    log_normal,
    span_of,
    span_score,
)

USUAL = (-LIFT_MS, IMPULSE_MS - LIFT_MS, 0.0)


def is_usual(explanation):
    return all(named(explanation, side) == pytest.approx(USUAL) for side in (0, 1))


def test_three_noises_alike_on_both_sides_are_surely_named():
    found = explain(tick(), tick())
    assert is_usual(found)
    assert found.sure
    assert found.choices[0].probability > 0.985
    assert found.hidden < 1e-3
    assert found.choices[0].span_s == pytest.approx(LIFT_MS * 1e-3)


@pytest.mark.parametrize("louder_db", [1, 3, 6])
def test_an_impulse_louder_than_the_drop_is_still_the_impulse(louder_db):
    """From it backwards nothing would lie where 360 to 80 degrees put an unlocking."""
    loud = tick(impulse_db=louder_db)
    found = explain(loud, loud)
    assert found.sure
    assert is_usual(found)


def test_what_is_loud_on_one_side_is_so_on_the_other():
    """Two impulses 10 dB over their drops are one surprise, not two; one of them alone, with its
    fellow 10 dB under, is more of one than each for itself."""
    loud, usual = np.array(10.0), np.array(-10.0)
    assert impulses_alike(loud, loud) > 2
    assert impulses_alike(loud, usual) < -2
    assert impulses_alike(loud, np.array(np.nan)) == 0


def test_banking_as_loud_as_the_drop_is_not_the_drop():
    """1.4 ms after it, on both sides: taken for the drop it would mean 242 instead of 270."""
    banking = tick(more=(noise(1.4, 0.0),))
    found = explain(banking, banking)
    assert found.sure
    assert is_usual(found)


def test_echoes_do_not_become_drops():
    """4, 7 and 11 ms after the drop, 12 to 20 dB fainter; 4 to 12 dB are no reason to doubt."""
    for loud_db in (-12, -4):
        echoes = (noise(4, loud_db), noise(7, loud_db - 4), noise(11, loud_db - 8))
        found = explain(tick(more=echoes), tick(more=echoes))
        assert found.sure
        assert is_usual(found)


def test_a_noise_just_before_the_drop_that_is_as_loud_makes_it_unsure():
    """Counter-case: 1.4 ms before what seems the drop, -1 dB: it may be the drop, and the last one
    banking."""
    early = tick(more=(noise(-1.4, -1.0),))
    found = explain(early, early)
    assert not (found.sure and is_usual(found))


def test_two_noises_where_a_fainter_unlocking_could_hide_are_not_sure():
    """At 195 degrees unlocking comes 17 ms before the drop, the impulse 12: that looks like 277.
    In a room 15 dB below the drop unlocking (-13 dB usually) is lost every other time."""
    two = [noise(-12.0, -8.0), noise(0.0, 0.0)]
    found = explain(two, two, room_db=-15.0)
    assert not found.sure
    assert found.hidden > 0.2


def test_the_same_two_noises_in_a_silent_room_are_unlocking_and_drop():
    """Counter-case: an unlocking 40 dB below the drop is too rare to be thought of."""
    two = [noise(-12.0, -13.0), noise(0.0, 0.0)]
    found = explain(two, two, room_db=-40.0)
    assert found.sure
    assert found.choices[0].span_s == pytest.approx(12e-3)


def test_the_louder_the_room_the_more_may_hide_in_it():
    """Up to 20 dB below the drop; in a louder one the impulse may as well be what is not heard."""
    two = [noise(-12.0, -9.0), noise(0.0, 0.0)]
    hidden = [explain(two, two, room_db=room_db).hidden for room_db in (-45, -40, -30, -25, -20)]
    assert np.all(np.diff(hidden) > 0)
    assert hidden[0] < 1 - SURE < hidden[-1]


def test_an_unlocking_on_tick_alone_is_not_sure():
    for room_db in (-15.0, -35.0):
        found = explain(tick(), tick(unlock_db=None), room_db=room_db)
        assert not found.sure
        assert found.hidden > 1 - SURE


def test_times_from_unlocking_to_drop_that_differ_by_a_quarter_are_not_one_watch_s():
    found = explain(tick(), tick(lift_ms=1.25 * LIFT_MS))
    assert not found.sure


def test_sides_that_differ_by_a_twentieth_are_surely_named():
    """Counter-case: lifts and drops are never quite alike."""
    found = explain(tick(), tick(lift_ms=1.05 * LIFT_MS))
    assert found.sure
    assert found.choices[0].span_s == pytest.approx(1.025 * LIFT_MS * 1e-3)


def test_a_side_without_any_noise_explains_nothing():
    found = explain(tick(), [])
    assert not found.sure
    assert found.choices == ()
    assert found.hidden == 1.0


def test_one_noise_a_side_explains_nothing():
    alone = [noise(0.0, 0.0)]
    found = explain(alone, alone)
    assert not found.sure
    assert found.hidden == pytest.approx(1.0)


@pytest.mark.parametrize("per_hour", [14400, 18000, 21600, 28800, 36000])
@pytest.mark.parametrize("swing", [150, 200, 270, 315])
def test_every_usual_tempo_and_amplitude_is_surely_named(per_hour, swing):
    """The time from unlocking to drop is trade-facts 3.2.1 solved for it."""
    beat_s = 3600 / per_hour
    lift_ms = 2e3 * beat_s / np.pi * np.arcsin(26 / swing)
    side = tick(lift_ms=lift_ms)
    found = explain(side, side, beat_s=beat_s)
    assert found.sure
    assert found.choices[0].span_s == pytest.approx(lift_ms * 1e-3)


def test_only_the_loudest_noises_are_looked_at_and_they_stay_in_order():
    hail = tuple(noise(-60.0 + k, -40.0 + 0.1 * k) for k in range(30))
    found = explain(tick(more=hail), tick(more=hail))
    for side in found.events:
        times = [event.at_s for event in side]
        assert len(times) == MOST_EVENTS
        assert times == sorted(times)
        assert {round(each, 6) for each in USUAL} <= {round(1e3 * at, 6) for at in times}


def test_what_filters_ring_before_a_noise_in_a_silent_room_names_nothing():
    """Seen in sound without any room: 57 to 67 dB under the drop, louder towards unlocking."""
    ring = tuple(noise(at_ms, level_db) for at_ms, level_db in ((-26, -67), (-22, -62), (-20, -57)))
    found = explain(tick(more=ring), tick(more=ring[1:]), room_db=-72)
    assert found.sure
    assert is_usual(found)
    assert [len(events) for events in found.events] == [3, 3]
    within = explain(tick(more=(noise(-20, -44),)), tick(), room_db=-72)
    assert [len(events) for events in within.events] == [4, 3]


places_ms = st.integers(-150, 150).map(lambda tenth: tenth / 10 + 0.037)
"""Never at the same moment as another noise: no two events ever are."""
sides = st.builds(
    tick,
    unlock_db=st.one_of(st.none(), st.floats(-25, -3)),
    impulse_db=st.one_of(st.none(), st.floats(-25, 5)),
    lift_ms=st.integers(45, 100).map(lambda fifth: fifth / 5),
    more=st.lists(st.builds(noise, places_ms, st.floats(-30, 0)), max_size=3).map(tuple),
)


def alike(one, other):
    assert other.hidden == pytest.approx(one.hidden, abs=1e-6)
    assert len(other.choices) == len(one.choices)
    for a, b in zip(one.choices, other.choices, strict=True):
        assert b.probability == pytest.approx(a.probability, abs=1e-6)
        assert b.span_s == pytest.approx(a.span_s, rel=1e-6)


@settings(max_examples=25, derandomize=True)
@given(sides, sides, st.floats(-0.05, 0.05), st.floats(-0.05, 0.05))
def test_when_the_arrival_is_changes_nothing(one, other, by_s, other_by_s):
    """Each side's arrival is a moment of its own."""
    moved = [
        [replace(event, at_s=event.at_s + by) for event in side]
        for side, by in ((one, by_s), (other, other_by_s))
    ]
    alike(explain(one, other), explain(*moved))


@settings(max_examples=25, derandomize=True)
@given(sides, sides, st.floats(-40, 40))
def test_how_loud_all_is_changes_nothing(one, other, by_db):
    louder = [
        [replace(event, level=event.level * 10 ** (by_db / 10)) for event in side]
        for side in (one, other)
    ]
    alike(explain(one, other), explain(*louder, room_db=ROOM_DB + by_db))


@settings(max_examples=25, derandomize=True)
@given(sides, sides)
def test_which_side_is_called_tick_changes_nothing_that_is_surely_told(one, other):
    """The levels of unlocking and the place of the impulse are weighed for the side called tick and
    those of tock against it, so what is likely may move a little, but not what is told."""
    first, second = explain(one, other), explain(other, one)
    if first.sure:
        assert second.likely[0].span_s == pytest.approx(first.choices[0].span_s, rel=1e-6)
        assert second.choices[0].probability > 0.9


@settings(max_examples=25, derandomize=True)
@given(sides, sides)
def test_probabilities_are_probabilities(one, other):
    found = explain(one, other)
    told = [choice.probability for choice in found.choices]
    assert all(0 < each <= 1 + 1e-9 for each in told)
    assert told == sorted(told, reverse=True)
    assert sum(told) + found.hidden < 1 + 1e-6
    assert sum(told) + found.hidden > 0.99 - 1e-3 * len(told) or len(told) == 4


def test_a_double_is_a_noise_right_after_one_hardly_fainter():
    pair = (noise(0.0, 0.0), noise(1.0, 2.0))
    assert is_double(pair, 1)
    assert not is_double(pair, 0)
    assert not is_double((noise(0.0, 0.0), noise(2.0, 0.0)), 1)
    assert not is_double((noise(0.0, 0.0), noise(1.0, 4.0)), 1)


def test_noise_before_unlocking_is_unlikely_unless_chance_makes_it():
    """Just above what chance does it says little; far above it it is strange."""
    scores = [
        extra_score((noise(-20, -30, sigmas=sigmas), *tick()), 0, first=1, drop=3)
        for sigmas in (5.0, 50.0)
    ]
    assert scores[0] > scores[1] + np.log(10)


def test_the_densities_are_the_textbook_s():
    """The normal density at one sigma is 0.24197; the span's prior sums to 1 over its range."""
    assert np.exp(log_normal(1.0, 0.0, 1.0)) == pytest.approx(0.24197, abs=1e-5)
    spans_ms = np.linspace(4, 80, 40_000)
    whole = np.sum(np.exp(span_score(spans_ms * 1e-3, 0.2))) * (spans_ms[1] - spans_ms[0])
    assert whole == pytest.approx(1, abs=2e-3)


def test_the_span_at_an_amplitude_is_the_table_s():
    """trade-facts 3.3: 12.280 ms at 18000 and 270 degrees with 52 of lift."""
    assert span_of(270.0, 0.2) == pytest.approx(12.280e-3, abs=1e-6)
    assert decibels(100.0) == pytest.approx(20.0)
