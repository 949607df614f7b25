"""Slower sound is lower sound; what is in it stays where it was."""

import numpy as np
import pytest
from scipy import fft

from sideshake.core.errors import InputError
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.sound.slow import LEAST_PLAYED_HZ, PEAK, loudness, slowed


def tone(freq_hz, rate_hz, *, seconds=1.0, height=0.5):
    return (height * np.sin(2 * np.pi * freq_hz * np.arange(seconds * rate_hz) / rate_hz)).astype(
        np.float32
    )


def strongest_hz(samples, rate_hz) -> float:
    """Outside: where scipy's Fourier transform has its peak."""
    spectrum = np.abs(fft.rfft(samples * np.hanning(samples.size)))
    return float(fft.rfftfreq(samples.size, 1 / rate_hz)[np.argmax(spectrum)])


@pytest.mark.parametrize("rate_hz", [16000, 22050, 44100, 48000, 96000, 192000])
@pytest.mark.parametrize("times", [1, 2, 4, 8])
@pytest.mark.parametrize("freq_hz", [440, 2900, 6400])
def test_each_frequency_is_divided_by_how_much_slower_it_is(rate_hz, times, freq_hz):
    played = slowed(tone(freq_hz, rate_hz), rate_hz, times=times)
    assert played.rate_hz >= LEAST_PLAYED_HZ
    assert played.samples.size / played.rate_hz == pytest.approx(times, rel=1e-4)
    # the transform tells frequencies 1 / times Hz apart
    assert strongest_hz(played.samples, played.rate_hz) == pytest.approx(
        freq_hz / times, abs=1 / times
    )


def test_the_same_samples_play_by_a_slower_clock():
    samples = tone(1000, 48000)
    played = slowed(samples, 48000, times=4)
    assert played.rate_hz == 12000
    assert played.samples == pytest.approx(samples * 10 ** (played.gain_db / 20), abs=1e-6)


def test_where_values_are_put_between_no_other_tone_comes_in():
    played = slowed(tone(1000, 48000), 48000, times=8)
    assert (played.rate_hz, played.samples.size) == (12000, 96000)
    power = np.abs(fft.rfft(played.samples[4800:-4800] * np.hanning(86400))) ** 2
    at = np.argmax(power)
    power[at - 4 : at + 5] = 0
    assert 10 * np.log10(power.max() / played.samples.size**2) < -70  # image 60 dB down or more


def test_a_quiet_stretch_is_made_louder_but_silence_stays_silent():
    quiet = slowed(tone(1000, 48000, height=0.02), 48000, times=2)
    assert np.abs(quiet.samples).max() == pytest.approx(PEAK, abs=1e-3)
    silent = slowed(np.zeros(4800, np.float32), 48000, times=2)
    assert not silent.samples.any()


@pytest.mark.parametrize("times", [0, 3, 16])
def test_other_speeds_are_refused(times):
    with pytest.raises(InputError, match="1, 2, 4 or 8"):
        slowed(tone(1000, 48000), 48000, times=times)


def test_an_empty_stretch_is_refused():
    with pytest.raises(InputError, match="no sound"):
        slowed(np.empty(0, np.float32), 48000, times=2)


def test_loudness_rises_at_the_planted_drops():
    sound = simulate(SimulatedWatch(), duration_s=4, seed=2)
    course = loudness(sound.samples, sound.rate_hz)
    for drop_s in sound.drop_s[1:-1]:
        at = int(drop_s / course.step_s)
        before, after = course.level_db[at - 12 : at - 2], course.level_db[at + 1 : at + 5]
        assert after.max() > before.max() + 10


def test_hum_is_not_loud():
    random = np.random.default_rng(1)
    hiss = random.normal(0, 1e-3, 48000)
    hum = 0.3 * np.sin(2 * np.pi * 100 * np.arange(48000) / 48000)
    alone, both = (loudness(each.astype(np.float32), 48000) for each in (hiss, hiss + hum))
    assert both.level_db.max() < alone.level_db.max() + 3


def test_silence_has_level_zero():
    assert not loudness(np.zeros(4800, np.float32), 48000).level_db.any()
