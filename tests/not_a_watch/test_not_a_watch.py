"""The made-up sounds are what they are said to be: finite, in range, repeatable, even."""

from itertools import islice

import numpy as np
import pytest

from not_a_watch import KINDS, sounds
from not_a_watch.kit import Scene, band, evenly, laid, pink
from not_a_watch.room import LARGEST_SNR_DB, RATES_HZ, in_a_room


def scene(seconds=10.0, rate_hz=48000, seed=0):
    return Scene(random=np.random.default_rng(seed), rate_hz=rate_hz, seconds=seconds)


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_is_a_sound_of_5_to_40_seconds_within_full_scale(kind):
    sound = KINDS[kind](np.random.default_rng(7))
    assert sound.kind == kind
    assert sound.rate_hz in RATES_HZ
    assert sound.samples.dtype == np.float32
    assert sound.samples.ndim == 1
    assert 4.99 <= sound.samples.size / sound.rate_hz <= 40
    assert np.all(np.isfinite(sound.samples))
    assert np.max(np.abs(sound.samples)) <= 1
    assert np.any(sound.samples != 0)


def test_there_are_many_kinds_and_300_sounds_hold_each_more_than_once():
    assert len(KINDS) >= 25
    assert 300 / len(KINDS) >= 2


def test_the_same_seed_makes_the_same_sounds_however_many_are_asked_for():
    few, many = list(sounds(seed=3, count=4)), list(islice(sounds(seed=3), 4))
    assert len(few) == 4
    for one, other in zip(few, many, strict=True):
        assert (one.kind, one.rate_hz) == (other.kind, other.rate_hz)
        np.testing.assert_array_equal(one.samples, other.samples)


def test_another_seed_makes_other_sounds():
    one, other = next(sounds(seed=3)), next(sounds(seed=4))
    assert one.kind == other.kind
    assert not np.array_equal(one.samples, other.samples)


def test_even_is_even_to_a_sample():
    """By hand: 18000 an hour is 0.2 s, 9600 samples at 48 kHz."""
    place = scene()
    found = np.flatnonzero(laid(place, evenly(place, 0.2, 0.0), [np.ones(1)]))
    assert found.size == 50
    assert np.all(np.abs(np.diff(found) - 9600) <= 1)


def test_pink_noise_has_as_much_in_each_octave():
    """By definition of 1/f; the filter is right to about a decibel from 100 Hz to 3 kHz."""
    place = scene(seconds=30)
    noise = pink(place)
    power = np.abs(np.fft.rfft(noise)) ** 2
    hz = np.fft.rfftfreq(noise.size, 1 / place.rate_hz)
    octaves = [power[(hz >= low) & (hz < 2 * low)].sum() for low in 100 * 2 ** np.arange(5)]
    assert np.ptp(10 * np.log10(octaves)) < 2


def test_the_noise_is_never_more_than_the_loudest_of_the_sound():
    """From the definition: at 0 dB and above, a hundredth of a second at most equal in strength."""
    for seed in range(20):
        place = scene(seconds=5, seed=seed)
        clean = np.zeros(place.size)
        clean[: place.rate_hz // 2] = band(
            place, place.random.standard_normal(place.rate_hz // 2), 500, 5000
        )
        heard = in_a_room(place, clean)
        with_sound, without = heard[: place.rate_hz // 2], heard[place.rate_hz :]
        above_db = 20 * np.log10(np.std(with_sound) / np.std(without))
        assert 0.5 < above_db < LARGEST_SNR_DB + 1
