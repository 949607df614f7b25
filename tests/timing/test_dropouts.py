"""Where sound was lost, worked by hand: later beats come too early by what is missing."""

from dataclasses import dataclass

import numpy as np
import pytest

from sideshake.sound.beats import Beats
from sideshake.timing.dropouts import losses, without_dropouts


def beats(at_s, index=None):
    index = np.arange(at_s.size) if index is None else index
    return Beats(np.asarray(at_s, float), index, np.ones(at_s.size, np.float32))


def ticks(count=60, *, beat_s=1.0):
    return beat_s * np.arange(count)


def test_even_beats_have_no_loss():
    assert losses(beats(ticks())).size == 0


def test_a_lost_piece_is_found_where_it_is():
    at_s = ticks()
    at_s[23:] -= 0.010
    assert losses(beats(at_s)).tolist() == [23]


def test_each_of_several_losses_is_found():
    at_s = ticks()
    for first, lost_s in ((10, 0.06), (30, 0.09), (44, 0.01)):
        at_s[first:] -= lost_s
    assert losses(beats(at_s)).tolist() == [10, 30, 44]


def test_sound_that_was_repeated_is_found_too():
    at_s = ticks()
    at_s[23:] += 0.020
    assert losses(beats(at_s)).tolist() == [23]


@pytest.mark.parametrize("astray", [[20], [20, 21], [20, 40]])
def test_beats_that_lie_astray_are_no_loss(astray):
    at_s = ticks()
    at_s[astray] += 0.05
    assert losses(beats(at_s)).size == 0


def test_beats_not_heard_are_no_loss():
    at_s = ticks()
    kept = np.delete(np.arange(60), [5, 6, 7, 30, 31, 58])
    assert losses(beats(at_s[kept], kept)).size == 0


def test_a_watch_out_of_beat_has_no_losses():
    """Tick and tock 15 ms out of the middle: each distance changes by 30 ms, none is lost."""
    at_s = ticks(200, beat_s=0.2)
    at_s[1::2] += 0.030
    assert losses(beats(at_s)).size == 0


def test_a_quartz_watch_that_corrects_itself_loses_nothing():
    """100 ppm fast for a minute, then 6 ms waited."""
    at_s = ticks(300)
    at_s -= 100e-6 * (np.arange(300) % 60)
    assert losses(beats(at_s)).size == 0


def test_too_few_beats_tell_nothing():
    assert losses(beats(ticks(5))).size == 0


@dataclass(frozen=True)
class Listened:
    """What `without_dropouts` looks at of all that was heard."""

    beats: Beats
    duration_s: float


def test_the_longest_stretch_is_kept():
    at_s = ticks()
    at_s[20:] -= 0.06
    at_s[50:] -= 0.06
    kept = without_dropouts(Listened(beats(at_s), 60.0))
    assert (kept.beats.index[0], kept.beats.index[-1]) == (20, 49)
    assert kept.duration_s == pytest.approx(29.0)


@pytest.mark.parametrize("astray", [0, 30, 59])
def test_a_beat_astray_is_left_out(astray):
    at_s = ticks()
    at_s[astray] -= 0.05
    kept = without_dropouts(Listened(beats(at_s), 60.0))
    assert np.array_equal(kept.beats.index, np.delete(np.arange(60), astray))
    assert kept.duration_s == 60.0


@pytest.mark.parametrize("last", [1, 2, 3])
def test_a_loss_just_before_the_end_bends_nothing(last):
    at_s = ticks(10)
    at_s[-last:] -= 0.06
    kept = without_dropouts(Listened(beats(at_s), 10.0))
    assert kept.beats.index.tolist() == list(range(10 - last))
