"""A quartz watch that steps once a second, heard by a recorder whose clock is wrong."""

import numpy as np

RATE_HZ = 48000


def stepping(
    *, seconds=20.0, clock_ppm=0.0, click_ms=8.0, seed=1, rate_hz=RATE_HZ, corrects_ppm=0.0
):
    """Return the samples; the watch may run fast and correct itself once a minute."""
    samples = np.random.default_rng(seed).normal(0, 0.002, round(seconds * rate_hz))
    true_rate_hz = rate_hz * (1 + clock_ppm * 1e-6)
    length = round(2e-3 * click_ms * rate_hz)
    for number in range(int(seconds - 0.4)):
        step_s = 0.3 + number - corrects_ppm * 1e-6 * (number % 60)
        first = int(np.ceil(step_s * true_rate_hz))
        since_s = np.arange(first, first + length) / true_rate_hz - step_s
        ring = np.sin(2 * np.pi * 3100 * since_s) * np.exp(-4e3 * since_s / click_ms)
        samples[first : first + length] += 0.3 * ring
    return samples.astype(np.float32)


def with_losses(samples, lost, rate_hz=RATE_HZ):
    """Return the samples without some pieces: pairs of when (s) and how long (s)."""
    kept = np.ones(samples.size, bool)
    for at_s, long_s in lost:
        kept[round(at_s * rate_hz) : round((at_s + long_s) * rate_hz)] = False
    return samples[kept]
