"""A recorder's clock by its count: planted truth under delays that are late, never early."""

import numpy as np
import pytest
from scipy import stats
from scipy.signal import lfilter

from sideshake.errors import InputError, NotEnough
from sideshake.timing.clock_check import How
from sideshake.timing.clock_count import against, clock_from_counts

RATE_HZ = 48000


def times(seconds, each_s=0.4):
    return np.arange(0.0, seconds, each_s)


def counted(true_s, fast_ppm):
    return np.round(true_s * RATE_HZ * (1 + fast_ppm * 1e-6)).astype(np.int64)


def late(count, *, seed=1, mean_s=0.03, rows=0.0):
    """Return delays; `rows` is how much each takes after the one before."""
    fresh = np.random.default_rng(seed).exponential(mean_s * (1 - rows), count)
    return lfilter([1.0], [1.0, -rows], fresh)


def found(true_s, fast_ppm=40.0, *, delays=0.0, within_ppm=0.0):
    counts = counted(true_s, fast_ppm)
    return clock_from_counts(counts, 1000 + true_s + delays, rate_hz=RATE_HZ, within_ppm=within_ppm)


@pytest.mark.parametrize("planted_ppm", [40.0, -75.0, 0.0])
def test_without_delay_the_planted_clock_comes_back(planted_ppm):
    """A sample in 20 s is 1 ppm: the counts are whole numbers."""
    assert found(times(60), planted_ppm).clock.fast_ppm.value == pytest.approx(planted_ppm, abs=0.2)


def test_how_it_was_checked_and_for_how_long_is_noted():
    told = found(times(60))
    assert told.clock.how == How.COUNTS
    assert told.heard_s == pytest.approx(59.6, abs=0.01)


def test_the_uncertainty_of_even_scatter_is_that_of_a_straight_line():
    """scipy.stats.linregress tells the same for independent scatter."""
    counted_s = times(600)
    at_s = counted_s + np.random.default_rng(4).normal(0, 0.01, counted_s.size)
    plain = stats.linregress(counted_s, at_s)
    fast = against(counted_s, at_s)
    assert fast.value == pytest.approx((1 / plain.slope - 1) * 1e6, abs=plain.stderr * 1e6)
    assert fast.u == pytest.approx(plain.stderr * 1e6, rel=0.15)


@pytest.mark.parametrize("rows", [0.0, 0.7, 0.95])
def test_nineteen_of_twenty_intervals_hold_the_truth(rows):
    """100 checks: fewer than 88 of 100 would happen once in 500 at 95 % (binomial)."""
    true_s = times(300)
    held = [
        found(true_s, delays=late(true_s.size, seed=seed, rows=rows)).clock.fast_ppm.holds(40.0)
        for seed in range(100)
    ]
    assert sum(held) >= 88


def test_a_few_very_late_counts_bend_nothing():
    true_s = times(300)
    delays = late(true_s.size, mean_s=0.002)
    delays[500:520] += 2.0
    assert found(true_s, delays=delays).clock.fast_ppm.holds(40.0)


def test_the_other_clock_s_own_doubt_is_carried():
    """10 ppm uniform: 10 / sqrt(3) (GUM 4.3.7)."""
    assert found(times(300), within_ppm=10.0).clock.fast_ppm.u == pytest.approx(
        10 / 3**0.5, rel=0.01
    )


def test_sound_lost_again_and_again_is_no_clock():
    true_s = times(300)
    lost_s = 0.02 * np.floor(true_s / 5)
    with pytest.raises(NotEnough, match="sound is lost"):
        clock_from_counts(counted(true_s - lost_s, 40.0), true_s, rate_hz=RATE_HZ, within_ppm=0)


@pytest.mark.parametrize("seconds", [5, 19])
def test_too_short_a_count_tells_nothing(seconds):
    with pytest.raises(NotEnough, match="20 s"):
        found(times(seconds))


def test_counts_that_do_not_rise_are_refused():
    true_s = times(60)
    with pytest.raises(InputError, match="rise"):
        clock_from_counts(np.zeros(true_s.size, np.int64), true_s, rate_hz=RATE_HZ, within_ppm=0)
