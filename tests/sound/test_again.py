"""Noises on the way to the drop that come back on the other side; ticks written down by hand."""

import numpy as np
import pytest
from hand_made_ticks import explain, noise

from sideshake.sound.again import ALIKE_S, alike_between, followers

WAY = (noise(-12.0, -13.0), noise(-8.0, -8.0), noise(-6.5, -14.0), noise(0.0, 0.0))
NAMED = [(0, 1, 3)]


def counted(other):
    return float(alike_between((WAY, tuple(other)), [NAMED, NAMED])[0, 0])


def test_what_follows_is_told_against_its_cause():
    """The third noise comes 1.5 ms after the impulse and 6 dB under it."""
    after_s, louder_db = followers(WAY, NAMED)
    assert after_s[0, 2] == pytest.approx(1.5e-3)
    assert louder_db[0, 2] == pytest.approx(-6.0)
    assert np.isnan(np.delete(after_s[0], 2)).all()


def test_an_echo_of_the_impulse_comes_alike_on_both_sides():
    assert counted(WAY) == 1


@pytest.mark.parametrize(
    ("at_ms", "level_db"), [(-6.5 + 2e3 * ALIKE_S, -14.0), (-6.5, -22.0), (-6.5, -3.0)]
)
def test_one_elsewhere_or_of_another_loudness_is_another(at_ms, level_db):
    assert counted((*WAY[:2], noise(at_ms, level_db), WAY[3])) == 0


@pytest.mark.parametrize(("level_db", "count"), [(-7.0, 1), (-3.0, 0)])
def test_one_so_loud_that_it_may_be_the_drop_is_no_echo(level_db, count):
    """Alike on both sides; the drop has 0 dB."""
    loud = (*WAY[:2], noise(-6.5, level_db), WAY[3])
    assert float(alike_between((loud, loud), [NAMED, NAMED])[0, 0]) == count


def test_two_loud_noises_with_an_echo_between_are_no_unlocking_and_drop():
    """Heard on a simulated watch at 144 degrees: the impulse as loud as the drop, an echo behind
    it, unlocking lost in the room 20 dB below. Named unlocking, impulse and drop it meant 203."""
    tick = [noise(-11.9, 0.0), noise(-10.2, -11.0), noise(0.0, 0.0)]
    tock = [noise(-11.8, -1.0), noise(-10.2, -13.0), noise(0.0, 0.0)]
    assert not explain(tick, tock, room_db=-20.0).sure


def test_with_unlocking_heard_before_the_same_noises_are_surely_named():
    """Counter-case."""
    tick = [noise(-16.6, -16.0), noise(-11.9, 0.0), noise(-10.2, -11.0), noise(0.0, 0.0)]
    tock = [noise(-16.5, -15.0), noise(-11.8, -1.0), noise(-10.2, -13.0), noise(0.0, 0.0)]
    found = explain(tick, tock, room_db=-20.0)
    assert found.sure
    assert found.choices[0].span_s == pytest.approx(16.55e-3)
