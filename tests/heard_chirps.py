"""Chirps as even as a watch, for the tests that ask whether they are taken for one."""

import numpy as np

RATE_HZ = 48000


def chirps(*, duration_s=20.0, per_hour=18000.0, seed=3):
    """Return four pulses of 4.6 kHz a beat, each beat like the last, 25 dB above noise."""
    random = np.random.default_rng(seed)
    time_s = np.arange(round(duration_s * RATE_HZ)) / RATE_HZ
    since_s = time_s % (3600 / per_hour)
    pulse = np.sin(np.pi * (since_s % 8e-3) / 8e-3) ** 2 * (since_s < 32e-3)
    tone = 0.1 * pulse * np.sin(2 * np.pi * 4600 * since_s)
    return (tone + 0.004 * random.normal(size=time_s.size)).astype(np.float32)
