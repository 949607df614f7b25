"""Beats made white by a filter that rings after a noise only."""

from types import SimpleNamespace

import numpy as np
import pytest
from scipy import fft
from scipy.signal import minimum_phase

from sideshake.sound.causal import DEEPEST_DB, GRID_HZ, causal_beats, least_phase

SIZE, RATE_HZ = 4096, 48000


def band(size, rate_hz, tilt):
    """Return a whitening factor: nothing below 900 Hz and above 22 kHz, a tilt between."""
    hz = np.fft.rfftfreq(size, 1 / rate_hz)
    return np.where((hz > 900) & (hz < 22000), (1 + hz / 3000) ** tilt, 0).astype(np.float32)


def windows(factor, *, rate_hz=RATE_HZ, size=SIZE):
    span = SimpleNamespace(size=size, rate_hz=rate_hz, length=size)
    return SimpleNamespace(span=span, white=factor)


@pytest.mark.parametrize("tilt", [-1.0, 0.0, 1.0])
def test_what_is_filtered_does_not_sound_before_its_cause(tilt):
    """A click in the middle: with real factors alone a part of its energy comes before it, with the
    least phase hardly any (what the floor outside the band leaves)."""
    factor = band(SIZE, RATE_HZ, tilt)
    click = np.zeros((1, SIZE), np.float32)
    click[0, SIZE // 2] = 1
    white = fft.irfft(fft.rfft(click) * factor, SIZE).astype(np.float32)
    causal = causal_beats(white, windows(factor)).waves
    before = slice(SIZE // 2 - 400, SIZE // 2 - 1)
    early, late = (
        float(np.sum(each[0, before] ** 2) / np.sum(each**2)) for each in (white, causal)
    )
    assert early > 0.005
    assert late < early / 10


def test_the_phase_is_that_of_the_filter_of_least_phase():
    """Against scipy's own (homomorphic) method for a short even filter without zeros on the unit
    circle."""
    taps = np.convolve([1, -0.5, 0.3], [0.3, -0.5, 1])
    factor = np.abs(np.fft.rfft(taps, SIZE))
    wanted = minimum_phase(taps, half=False, n_fft=SIZE)
    turn = least_phase(factor.astype(np.float32), SIZE)
    assert np.abs(np.fft.irfft(factor * turn, SIZE)[: wanted.size] - wanted).max() < 1e-3


def test_it_only_turns():
    factor = band(SIZE, RATE_HZ, 0.5)
    assert np.abs(least_phase(factor, SIZE)) == pytest.approx(np.ones(SIZE // 2 + 1), abs=1e-5)
    noise = np.random.default_rng(3).normal(size=(3, SIZE)).astype(np.float32)
    white = fft.irfft(fft.rfft(noise) * (factor > 0), SIZE).astype(np.float32)
    turned = causal_beats(white, windows(factor)).waves
    assert np.sum(turned**2) == pytest.approx(np.sum(white**2), rel=1e-3)
    assert DEEPEST_DB > 20


@pytest.mark.parametrize("rate_hz", [22050, 44100, 96000, 192000])
def test_all_rates_come_to_one_grid(rate_hz):
    """A tone of 5 kHz stays one, as loud as it was."""
    size = 2 * round(0.05 * rate_hz)
    factor = (np.fft.rfftfreq(size, 1 / rate_hz) > 900).astype(np.float32)
    tone = np.sin(2 * np.pi * 5000 * np.arange(size) / rate_hz)[None].astype(np.float32)
    found = causal_beats(tone, windows(factor, rate_hz=rate_hz, size=size))
    assert found.rate_hz == pytest.approx(GRID_HZ, rel=1e-3)
    assert found.waves.shape[1] == pytest.approx(size * GRID_HZ / rate_hz, abs=2)
    assert np.mean(found.waves**2) == pytest.approx(0.5, rel=0.02)
    peak = np.argmax(np.abs(np.fft.rfft(found.waves[0]))) * found.rate_hz / found.waves.shape[1]
    assert peak == pytest.approx(5000, abs=30)
