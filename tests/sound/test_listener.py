"""The stream: how it is cut must not matter, and what it keeps must not grow with the sound."""

import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.clock import SampleClock
from sideshake.sound.line import fit_line
from sideshake.sound.listener import PAGE_S, Listener, as_mono
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import Recorder, SimulatedWatch, simulate
from sideshake.timing.reading import read

RATE_HZ = 16000
PERFECT = SampleClock(fast_ppm=Measured(0.0), checked=True)


@pytest.fixture(scope="module")
def long_watch():
    """Return 100 s, three page boundaries, at 16 kHz: 28800 an hour gaining 7 s a day."""
    watch = SimulatedWatch(beats_per_hour=28800, rate_s_per_day=7, beat_error_ms=0.5)
    recorder = Recorder(rate_hz=RATE_HZ)
    return simulate(watch, duration_s=100, room=RoomNoise(snr_db=20), recorder=recorder, seed=2)


def heard(*blocks, rate_hz=RATE_HZ, **options):
    listener = Listener(rate_hz, **options)
    for block in blocks:
        listener.feed(block)
    return listener.hear()


def true_number(beats, truth):
    return np.rint(
        np.interp(beats.arrival_s, truth.centre_s, np.arange(truth.centre_s.size))
    ).astype(int)


def same(one, other):
    beats = zip(
        (one.beats.arrival_s, one.beats.index, one.beats.strength),
        (other.beats.arrival_s, other.beats.index, other.beats.strength),
        strict=True,
    )
    return all(np.array_equal(a, b) for a, b in beats) and all(
        np.array_equal(a.onsets[side].unlock_s, b.onsets[side].unlock_s, equal_nan=True)
        for a, b in zip(one.notes, other.notes, strict=True)
        for side in (0, 1)
        if a.onsets[side] is not None
    )


@pytest.fixture(scope="module")
def whole(long_watch):
    """Return what is heard of the first 65 s, two page boundaries, fed at once."""
    return heard(long_watch.samples[: 65 * RATE_HZ])


@settings(max_examples=6, derandomize=True, deadline=None)
@given(st.lists(st.integers(0, 65 * RATE_HZ), min_size=1, max_size=8))
def test_any_cuts_give_identical_arrays(long_watch, whole, cuts):
    blocks = np.split(long_watch.samples[: 65 * RATE_HZ], sorted(cuts))
    assert same(heard(*blocks), whole)


@pytest.mark.parametrize("length", [997, 480_000, 488_000, 488_001])
def test_even_blocks_give_identical_arrays(long_watch, whole, length):
    """488 000 samples close the first page (30.5 s) to the sample."""
    samples = long_watch.samples[: 65 * RATE_HZ]
    assert same(heard(*np.split(samples, np.arange(length, samples.size, length))), whole)


def test_listening_in_between_changes_nothing(long_watch, whole):
    listener = Listener(RATE_HZ)
    for block in np.split(long_watch.samples[: 65 * RATE_HZ], 13):
        listener.feed(block)
        listener.hear()
    assert same(listener.hear(), whole)


def test_rate_over_page_boundaries_is_right(long_watch):
    """Jitter of 10 us over 800 beats leaves 0.0011 s/day; 16 kHz and noise add to it."""
    reading = read(heard(long_watch.samples), clock=PERFECT)
    assert reading.rate_alone_s_per_day.value == pytest.approx(7.0, abs=0.01)
    assert reading.rate_alone_s_per_day.holds(7.0)
    assert reading.scatter_ms < 0.015


def test_numbers_and_moment_go_on_over_page_boundaries(long_watch):
    beats = heard(long_watch.samples).beats
    number = true_number(beats, long_watch)
    assert np.array_equal(np.diff(number), np.diff(beats.index))
    late_s = beats.arrival_s - long_watch.centre_s[number]
    for side in (0, 1):
        of_page = [
            np.mean(late_s[(beats.side == side) & (beats.arrival_s // PAGE_S == page)])
            for page in range(4)
        ]
        assert np.ptp(of_page) < 5e-6  # a twelfth of a sample


def test_no_beat_is_lost_or_doubled_at_a_page_s_edge(long_watch):
    beats = heard(long_watch.samples).beats
    assert beats.missing == 0
    assert beats.count >= long_watch.centre_s.size - 2


def test_a_watch_taken_away_for_40_seconds_keeps_its_numbers(long_watch):
    random = np.random.default_rng(1)
    samples = long_watch.samples.copy()
    away = slice(33 * RATE_HZ, 73 * RATE_HZ)
    samples[away] = random.normal(0, long_watch.noise_rms, 40 * RATE_HZ)
    beats = heard(samples).beats
    assert not np.any((beats.arrival_s > 33.01) & (beats.arrival_s < 72.99))
    number = true_number(beats, long_watch)
    assert np.array_equal(np.diff(number), np.diff(beats.index))
    line = fit_line(beats.index.astype(float), beats.side, beats.arrival_s)
    assert 86400 * (0.125 / line.beat - 1) == pytest.approx(7.0, abs=0.01)


def test_a_new_position_with_another_rate_is_followed():
    """60 s even, then 60 s gaining 120 s/day: each page has its own rate."""
    parts = [
        simulate(
            SimulatedWatch(beats_per_hour=28800, rate_s_per_day=rate), duration_s=60,
            room=RoomNoise(snr_db=20), recorder=Recorder(rate_hz=RATE_HZ), seed=3,
        ).samples
        for rate in (0.0, 120.0)
    ]  # fmt: skip
    beats = heard(*parts).beats
    for start_s, rate in ((1, 0.0), (31, 0.0), (61, 120.0), (91, 120.0)):
        some = beats.between(start_s, start_s + 28)
        line = fit_line(some.index.astype(float), some.side, some.arrival_s)
        assert 86400 * (0.125 / line.beat - 1) == pytest.approx(rate, abs=0.05)


def test_missing_beats_keep_the_numbers(long_watch):
    truth = simulate(
        SimulatedWatch(beats_per_hour=21600),
        duration_s=65,
        room=RoomNoise(snr_db=15, missing_share=0.3),
        recorder=Recorder(rate_hz=RATE_HZ),
        seed=4,
    )
    beats = heard(truth.samples).beats
    assert np.array_equal(np.diff(true_number(beats, truth)), np.diff(beats.index))
    assert beats.missing == pytest.approx(0.3 * truth.centre_s.size, rel=0.2)


def test_whole_number_samples_are_scaled_by_their_type(long_watch, whole):
    """16 bits: steps of 1/32767, far below the noise."""
    whole_numbers = np.rint(long_watch.samples[: 65 * RATE_HZ] * 32767).astype(np.int16)
    found = heard(whole_numbers)
    assert found.beats.arrival_s == pytest.approx(whole.beats.arrival_s, abs=2e-6)


@pytest.mark.parametrize("dtype", [np.int16, np.int32, np.float32, np.float64])
def test_full_scale_is_one_in_every_type(dtype):
    top = np.iinfo(dtype).max if np.issubdtype(dtype, np.integer) else 1.0
    assert as_mono(np.array([top, 0], dtype)).tolist() == [1.0, 0.0]


def test_channels_are_averaged():
    assert as_mono(np.array([[1.0, 0.0], [0.5, -0.5]])).tolist() == [0.5, 0.0]


def test_stereo_hears_what_mono_does(long_watch, whole):
    mono = long_watch.samples[: 65 * RATE_HZ]
    assert same(heard(np.stack([mono, mono], axis=1)), whole)


def test_clipped_samples_are_counted(long_watch):
    samples = np.clip(long_watch.samples[: 20 * RATE_HZ] * 10, -1, 1)
    share = np.mean(np.abs(samples) >= 1)
    assert share > 0
    assert heard(samples).clipped_share == pytest.approx(share, rel=0.01)


@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf])
def test_values_that_are_no_numbers_are_refused(bad):
    block = np.zeros(100)
    block[50] = bad
    with pytest.raises(InputError, match="NaN or infinite"):
        Listener(RATE_HZ).feed(block)


@pytest.mark.parametrize("block", [np.zeros((2, 2, 2)), np.array(1.0), np.array(["tick"])])
def test_what_is_no_block_is_refused(block):
    with pytest.raises(InputError, match="shape"):
        Listener(RATE_HZ).feed(block)


@pytest.mark.parametrize("rate_hz", [0, -48000, 15999, 192_001, float("nan"), float("inf")])
def test_sample_rates_out_of_range_are_refused(rate_hz):
    with pytest.raises(InputError, match="sample rate"):
        Listener(rate_hz)


@pytest.mark.parametrize("told", [0, -18000, 599, 72_001, float("nan")])
def test_told_beats_out_of_range_are_refused(told):
    with pytest.raises(InputError, match="beats"):
        Listener(RATE_HZ, beats_per_hour=told)


@pytest.mark.parametrize("blocks", [(), (np.zeros(0),), (np.zeros(10 * RATE_HZ),)])
def test_no_sound_and_silence_are_no_watch(blocks):
    with pytest.raises(NotEnough):
        heard(*blocks)


def kept_bytes(listener):
    """Return how many bytes of sound the listener holds."""
    return sum(block.nbytes for block in listener._blocks)


def test_what_is_kept_does_not_grow_with_the_sound(long_watch):
    """Never more than two pages of 4-byte samples, and no view into more than a block."""
    listener, most = Listener(RATE_HZ), 0
    for block in np.split(long_watch.samples, 100):
        listener.feed(block)
        most = max(most, kept_bytes(listener))
        assert all(b.base is None or b.base.nbytes <= 4 * RATE_HZ for b in listener._blocks)
    assert most <= 4 * RATE_HZ * (2 * PAGE_S + 2)


def test_a_beat_costs_some_20_bytes(long_watch):
    beats = heard(long_watch.samples).beats
    each = beats.arrival_s.nbytes + beats.index.nbytes + beats.strength.nbytes
    assert each / beats.count == 20


def test_a_page_leaves_only_its_onsets(long_watch):
    """Four pages, each with onsets of two sides: a few kilobytes."""
    notes = heard(long_watch.samples).notes
    arrays = [a for n in notes for o in n.onsets if o for a in (o.unlock_s, o.drop_s)]
    assert sum(sys.getsizeof(a) + a.nbytes for a in arrays) < 10_000
