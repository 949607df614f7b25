"""Planted noise and pulses."""

import numpy as np
import pytest

from sideshake.sound.windows import cut_windows, quiet_power, running_mean, span_for, tick_span_for

RATE_HZ = 48000


def noise(count, *, seed=0, level=1.0):
    return np.random.default_rng(seed).normal(0, level, count).astype(np.float32)


def even_starts(span, count, beat=9600):
    return 4800 - span.lead + beat * np.arange(count)


def windows_of(samples, count=40):
    span = span_for(0.2, RATE_HZ)
    number = np.arange(count)
    start = even_starts(span, count)
    return cut_windows(samples, start, number, (number % 2).astype(np.int8), span=span)


def test_a_window_for_the_whole_tick_holds_a_quarter_of_a_beat_before_and_a_third_after():
    """At 36000 an hour 24 and 30 ms of 100; never more than 70 and 90 ms."""
    fast, slow = tick_span_for(0.1, RATE_HZ), tick_span_for(0.5, RATE_HZ)
    assert (fast.lead, fast.tail) == (1152, 1440)
    assert (slow.lead, slow.tail) == (3360, 4320)


def test_a_window_for_timing_is_narrower():
    """At 36000 an hour 20 and 26 ms of 100; never more than 40 and 60 ms."""
    fast, slow = span_for(0.1, RATE_HZ), span_for(0.5, RATE_HZ)
    assert (fast.lead, fast.tail) == (960, 1248)
    assert (slow.lead, slow.tail) == (1920, 2880)
    assert fast.size >= fast.length + 2 * fast.reach


def test_white_noise_comes_out_with_variance_one():
    """Of the full band, the share that lies within 0.9 to 22 kHz (of 24) is left: 0.88."""
    windows = windows_of(noise(420_000, level=0.01))
    inside = windows.waves[:, 200 : windows.span.length - 200]  # without the faded edges
    assert np.var(inside) == pytest.approx(21.1 / 24, rel=0.08)
    assert np.var(inside) == pytest.approx(windows.noise_power, rel=0.08)


def test_coloured_noise_comes_out_white():
    """Noise 20 dB louder at low frequencies: after whitening the octaves are level within 1 dB."""
    white = noise(420_000)
    spectrum = np.fft.rfft(white)
    freq_hz = np.fft.rfftfreq(white.size, 1 / RATE_HZ)
    coloured = np.fft.irfft(spectrum / np.sqrt(1 + (freq_hz / 2000) ** 2)).astype(np.float32)
    windows = windows_of(coloured)
    power = np.mean(np.abs(windows.spectra) ** 2, axis=0)
    bands = [(1500, 3000), (3000, 6000), (6000, 12000), (12000, 20000)]
    freq_hz = windows.span.freq_hz
    levels = [np.mean(power[(freq_hz > low) & (freq_hz < high)]) for low, high in bands]
    assert 10 * np.log10(max(levels) / min(levels)) < 1.0


def test_hum_below_the_band_is_gone():
    times_s = np.arange(420_000) / RATE_HZ
    hum = (0.5 * np.sin(2 * np.pi * 100 * times_s)).astype(np.float32)
    plain, hummed = windows_of(noise(420_000)), windows_of(noise(420_000) + hum)
    assert np.mean(hummed.waves**2) == pytest.approx(np.mean(plain.waves**2), rel=0.05)


def test_a_click_stands_where_it_was_cut():
    """The window's sample `lead` is the expected moment."""
    samples = noise(420_000, level=1e-3)
    span = span_for(0.2, RATE_HZ)
    samples[even_starts(span, 40) + span.lead] += 1.0
    assert set(np.argmax(np.abs(windows_of(samples).waves), axis=1)) == {span.lead}


def test_ticks_do_not_count_as_background():
    span = span_for(0.2, RATE_HZ)
    start = even_starts(span, 40)
    plain = noise(420_000)
    ticking = plain.copy()
    for k in start + span.lead:
        ticking[k : k + 480] += 30 * noise(480, seed=int(k))
    quiet, beside = quiet_power(plain, start, span), quiet_power(ticking, start, span)
    assert np.median(beside / quiet) == pytest.approx(1.0, abs=0.05)


def test_running_mean_by_hand():
    """Width 3, edges carried on."""
    assert running_mean(np.array([1.0, 2.0, 6.0, 4.0]), 3) == pytest.approx([4 / 3, 3, 4, 14 / 3])
