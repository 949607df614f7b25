"""Noises on the way to the drop that come back on the other side; ticks written down by hand."""

import numpy as np
import pytest
from hand_made_ticks import explain, noise

from sideshake.sound.recurring import ALIKE_S, again_between, followers

WAY = (noise(-12.0, -13.0), noise(-8.0, -8.0), noise(-6.5, -14.0), noise(0.0, 0.0))
NAMED = [(0, 1, 3)]


def counted(other):
    return float(again_between((WAY, tuple(other)), [NAMED, NAMED])[0, 0])


def test_what_follows_is_told_against_its_cause():
    """The third noise comes 1.5 ms after the impulse and 6 dB under it."""
    found = followers(WAY, NAMED)
    assert found.after_s[0, 2] == pytest.approx(1.5e-3)
    assert found.under_db[0, 2] == pytest.approx(-6.0)
    assert np.isnan(np.delete(found.after_s[0], 2)).all()
    assert found.foretold[0] == 0


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
    assert float(again_between((loud, loud), [NAMED, NAMED])[0, 0]) == count


ANSWERED = (*WAY, noise(1.6, -7.0))
"""The drop is answered 1.6 ms later and 7 dB under it, as the impulse is."""


def test_what_the_drop_s_echo_foretells_counts_on_each_side_for_itself():
    assert followers(ANSWERED, NAMED).foretold[0] == 1
    assert float(again_between((ANSWERED, ANSWERED), [NAMED, NAMED])[0, 0]) == 2
    assert float(again_between((ANSWERED, (*WAY[:2], WAY[3])), [NAMED, [(0, 1, 2)]])[0, 0]) == 1


@pytest.mark.parametrize(
    ("at_ms", "level_db"), [(1.5 + 2e3 * ALIKE_S, -7.0), (1.6, -13.0), (1.6, 1.0)]
)
def test_an_answer_elsewhere_or_of_another_loudness_foretells_nothing(at_ms, level_db):
    """Nor does what is louder than the drop: that is no echo of it."""
    assert followers((*WAY, noise(at_ms, level_db)), NAMED).foretold[0] == 0


def test_an_echo_may_be_as_loud_as_the_drop_where_its_cause_is_far_louder():
    """The impulse 12 dB over the drop, its echo 10 dB under it and so 2 dB over the drop."""
    way = (noise(-12.0, -13.0), noise(-8.0, 12.0), noise(-6.5, 2.0), noise(0.0, 0.0))
    assert followers((*way, noise(1.5, -10.0)), NAMED).foretold[0] == 1
    assert followers(way, NAMED).foretold[0] == 0


UNHEARD_TICK = [
    noise(-7.1, 4.7), noise(-3.9, -8.8), noise(-1.0, -6.9), noise(0.0, 0.0), noise(3.3, -11.5),
    noise(6.0, -20.6),
]  # fmt: skip
UNHEARD_TOCK = [
    noise(-7.5, 4.7), noise(-4.2, -9.2), noise(-1.3, -16.1), noise(0.0, 0.0), noise(3.2, -12.7),
    noise(6.1, -22.1),
]  # fmt: skip


def test_an_echo_of_a_loud_impulse_makes_it_no_unlocking():
    """Heard on a simulated watch at 166 degrees, unlocking 25 dB under the drop unheard: named
    unlocking and impulse, the impulse and its echo meant 261. The drop's echo is the same."""
    found = explain(UNHEARD_TICK, UNHEARD_TOCK, room_db=-28.0)
    assert not found.sure
    assert not found.nearly_sure


def test_with_the_unlocking_heard_the_same_noises_are_surely_named():
    """Counter-case."""
    tick, tock = (
        [noise(-11.4, -25.0), *UNHEARD_TICK], [noise(-11.9, -25.0), *UNHEARD_TOCK]
    )  # fmt: skip
    found = explain(tick, tock, room_db=-28.0)
    assert found.sure
    assert found.choices[0].span_s == pytest.approx(11.65e-3)


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
