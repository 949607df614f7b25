"""Planted shifts: the arrival times must be those that the sound was made with."""

import numpy as np
import pytest

from sideshake.sound.arrival import find_arrivals, neighbourly
from sideshake.sound.average import average_rows, average_waves, gated, turned_back
from sideshake.sound.windows import cut_windows, span_for

RATE_HZ = 48000
COUNT = 100
BEAT = 9600


def planted(shift, *, noise=0.003, level=None, seed=0):
    """Return windows around `COUNT` bursts, each late by `shift` samples (any fraction).

    Two damped tones a side; peak about 1.
    """
    random = np.random.default_rng(seed)
    samples = random.normal(0, noise, BEAT * (COUNT + 2)).astype(np.float32)
    level = np.ones(COUNT) if level is None else level
    for k in range(COUNT):
        at = BEAT * (k + 1) + shift[k]
        here = np.arange(int(np.ceil(at)), int(at) + 500)
        since_s = (here - at) / RATE_HZ
        tones = np.sin(2 * np.pi * (4100 + 900 * (k % 2)) * since_s)
        tones += 0.7 * np.sin(2 * np.pi * 7700 * since_s)
        rise = 1 - np.exp(-since_s / 50e-6)
        samples[here] += (level[k] * rise * np.exp(-since_s / 7e-4) * tones).astype(np.float32)
    span = span_for(0.2, RATE_HZ)
    number = np.arange(COUNT)
    start = BEAT * (number + 1) - span.lead
    return cut_windows(samples, start, number, (number % 2).astype(np.int8), span=span)


def off_by(found, shift, *, among=slice(None)):
    """Return the differences from the planted shifts, each side's own mean taken off."""
    rest = (found - shift)[among]
    side = np.arange(COUNT)[among] % 2
    return rest - np.where(side == 0, rest[side == 0].mean(), rest[side == 1].mean())


@pytest.mark.parametrize("spread", [0.5, 3.0, 10.0])
def test_planted_fractions_of_a_sample_are_found(spread):
    """Jitter of 10, 60 and 200 us, noise 60 dB below the peak: 0.03 samples (0.6 us) is asked.

    Small jitter matters most: an estimate that swallows it would seem the better one.
    """
    shift = np.random.default_rng(1).normal(0, spread, COUNT)
    _, arrivals = find_arrivals(planted(shift, noise=0.001))
    assert arrivals.heard.all()
    assert arrivals.by_waveform
    assert np.std(off_by(arrivals.shift, shift)) < 0.03
    assert arrivals.strength == pytest.approx(1.0, abs=0.05)


@pytest.mark.parametrize("noise", [0.02, 0.1])
def test_noise_scatters_arrivals_little_more_than_the_bound(noise):
    """Cramer-Rao: sigma >= noise / sqrt(sum of the pulse's squared slope); 1.5 times is asked.

    Kay, Estimation Theory (1993), par. 3.11: time of arrival of a known pulse.
    """
    shift = np.random.default_rng(2).normal(0, 10, COUNT)
    still = planted(np.zeros(COUNT), noise=1e-6)
    clean = still.waves[0] / np.median(still.white[still.white > 0])
    freq = 2 * np.pi * still.span.freq_hz / RATE_HZ
    slope = np.fft.irfft(1j * freq * np.fft.rfft(clean), still.span.size)
    bound = noise / np.sqrt(np.sum(slope**2))
    _, arrivals = find_arrivals(planted(shift, noise=noise))
    assert np.std(off_by(arrivals.shift, shift)) < 1.5 * bound


def test_a_drifting_watch_is_followed():
    """4 ms over the page (some 17 s/day in 20 s); beats 20 dB above the noise."""
    shift = np.linspace(-96, 96, COUNT)
    assert np.std(off_by(find_arrivals(planted(shift, noise=0.03))[1].shift, shift)) < 0.3


def test_a_wheel_s_wave_is_followed():
    """0.5 ms to either side, once in 40 beats, to the ends of the page."""
    shift = 24 * np.sin(2 * np.pi * np.arange(COUNT) / 40)
    _, arrivals = find_arrivals(planted(shift, noise=0.01))
    assert np.max(np.abs(off_by(arrivals.shift, shift))) < 0.5


def test_beats_that_are_not_there_are_not_heard():
    there = np.random.default_rng(3).random(COUNT) > 0.3
    _, arrivals = find_arrivals(planted(np.zeros(COUNT), noise=0.05, level=there.astype(float)))
    assert np.array_equal(arrivals.heard, there)
    assert np.std(off_by(arrivals.shift, np.zeros(COUNT), among=there)) < 0.3


def test_the_strength_is_the_planted_level():
    """Against the mean of the side; noise 40 dB down."""
    level = np.where(np.arange(COUNT) % 4 < 2, 0.8, 1.2)
    _, arrivals = find_arrivals(planted(np.zeros(COUNT), noise=0.01, level=level))
    assert arrivals.strength == pytest.approx(level, abs=0.06)


def test_a_beat_is_never_in_its_own_average():
    """Three rows of one side, 1, 2 and 6: the others of each are 4, 3.5 and 1.5; side 1 is one
    row alone and has no others."""
    rows = np.array([[1.0], [2.0], [6.0], [9.0]], np.float32)
    side = np.array([0, 0, 0, 1], np.int8)
    found = average_rows(rows, np.zeros(4, int), side, np.ones(4, bool))
    assert found.others[:, 0] == pytest.approx([4, 3.5, 1.5, 0])
    assert found.whole[:, 0] == pytest.approx([3, 9])


def test_a_beat_not_heard_counts_for_no_one():
    rows = np.array([[1.0], [2.0], [60.0]], np.float32)
    heard = np.array([True, True, False])
    found = average_rows(rows, np.zeros(3, int), np.zeros(3, np.int8), heard)
    assert found.others[:, 0] == pytest.approx([2, 1, 1.5])
    assert found.whole[0, 0] == pytest.approx(1.5)


def test_rows_turn_back_by_their_own_columns():
    rows = np.array([[1, 2, 3], [1, 2, 3], [1, 2, 3]], np.float32)
    assert turned_back(rows, np.array([0, 1, -1])).tolist() == [[1, 2, 3], [2, 3, 1], [3, 1, 2]]


def test_the_average_of_shifted_beats_is_the_beat():
    """Whole shifts, no noise to speak of: the average is the unshifted window."""
    shift = np.random.default_rng(4).integers(-20, 20, COUNT).astype(float)
    moved, still = planted(shift, noise=1e-5), planted(np.zeros(COUNT), noise=1e-5)
    average = average_waves(moved, shift, np.ones(COUNT, bool)).whole
    assert np.corrcoef(average[0], still.waves[0])[0, 1] > 0.9999


def test_the_gate_takes_what_is_only_noise():
    windows = planted(np.zeros(COUNT), noise=0.05)
    everyone = np.ones(COUNT, bool)
    averages = average_waves(windows, np.zeros(COUNT), everyone)
    kept, plain = gated(averages, windows, everyone), averages.others
    lead = windows.span.lead
    quiet, tick = slice(0, lead - 100), slice(lead, lead + 48)
    assert np.sum(kept[:, quiet] ** 2) < 0.1 * np.sum(plain[:, quiet] ** 2)
    assert np.sum(kept[:, tick] ** 2) > 0.95 * np.sum(plain[:, tick] ** 2)


def test_loud_beats_that_are_not_alike_are_not_found_to_be_even():
    """Eight beats a side, each another burst of noise: nothing repeats, so nothing may be timed
    to microseconds. (An average that held the beat itself would find each where it was cut.)"""
    random = np.random.default_rng(5)
    count, span = 16, span_for(0.2, RATE_HZ)
    samples = random.normal(0, 1e-3, BEAT * (count + 2)).astype(np.float32)
    at = BEAT * np.arange(1, count + 1) + np.rint(random.normal(0, 150, count)).astype(int)
    for k in at:
        samples[k : k + 400] += random.normal(size=400) * np.exp(-np.arange(400) / 80)
    number = np.arange(count)
    start = BEAT * (number + 1) - span.lead
    windows = cut_windows(samples, start, number, (number % 2).astype(np.int8), span=span)
    cut, arrivals = find_arrivals(windows)
    moment = (cut.start + cut.span.lead + arrivals.shift)[arrivals.heard]
    late = moment - BEAT * (number + 1)[arrivals.heard]
    assert np.count_nonzero(arrivals.heard) < 8 or np.std(late) > 50


def test_neighbours_let_expect_a_line_and_its_bend():
    windows = planted(np.zeros(COUNT))
    bend = 5 * np.sin(2 * np.pi * np.arange(COUNT) / 60)
    shift = 0.2 * np.arange(COUNT) + bend
    shift[50] += 300
    expected = neighbourly(windows, shift, np.ones(COUNT, bool))
    assert expected[50] == pytest.approx(10 + bend[50], abs=0.8)
