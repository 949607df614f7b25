"""Sound played back slower, its pitch lowered with it: the same samples by a slower clock."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError
from sideshake.sound.band import LOW_HZ

Samples = NDArray[np.float32]
Floats = NDArray[np.float64]

SLOWER = (1, 2, 4, 8)
"""How many times slower a stretch may be played."""
LEAST_PLAYED_HZ = 8000
"""Every browser plays 8000 to 96 000 Hz (W3C Web Audio API, BaseAudioContext.createBuffer)."""
PEAK = 0.8
MOST_GAIN_DB = 40.0
CELL_S = 0.1e-3
MOST_DB = 90.0
SMALLEST_POWER = 1e-14


@dataclass(frozen=True, slots=True, kw_only=True)
class Slowed:
    """A stretch ready to be played: samples, shape (n,), full scale 1, and the rate they play at.

    `gain_db` : by how much it was made louder
    """

    samples: Samples
    rate_hz: int
    gain_db: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LoudnessCourse:
    """The course of loudness: `level_db` above the background, shape (n,), one every `step_s`."""

    level_db: Floats
    step_s: float


def slowed(samples: Samples, rate_hz: int, *, times: int) -> Slowed:
    """Return the samples so that they play `times` as long, each frequency divided by `times`.

    The samples stay as they are and play by a slower clock. Where that would be too slow for a
    browser, or no whole number of samples a second, values are put between them (polyphase filter).
    A quiet stretch is made louder, by 40 dB at most.

    Parameters
    ----------
    samples : shape (n,), full scale 1
    rate_hz : samples per second
    times : 1, 2, 4 or 8

    Raises
    ------
    InputError : another number of times, or no samples
    """
    from scipy.signal import resample_poly  # here: it loads slowly, and the workshop starts without

    if times not in SLOWER:
        raise InputError(f"a stretch is played 1, 2, 4 or 8 times slower, got {times}")
    if samples.ndim != 1 or samples.size == 0:
        raise InputError("there is no sound in this stretch")
    up = next(k for k in SLOWER if k * rate_hz % times == 0)
    while up * rate_hz < LEAST_PLAYED_HZ * times:
        up *= 2
    played = samples if up == 1 else np.asarray(resample_poly(samples, up, 1), np.float32)
    peak = float(np.abs(played).max())
    gain = min(max(1.0, PEAK / max(peak, 1e-9)), 10 ** (MOST_GAIN_DB / 20))
    return Slowed(
        samples=np.asarray(np.clip(gain * played, -1, 1), np.float32),
        rate_hz=up * rate_hz // times,
        gain_db=20 * math.log10(gain),
    )


def loudness(samples: Samples, rate_hz: int) -> LoudnessCourse:
    """Return the power of every tenth of a millisecond against the stretch's own background.

    Hum below the band in which a watch is heard is left out (Butterworth, forwards and backwards,
    so that nothing moves). The background is the median; silence has level 0.
    """
    from scipy.signal import butter, sosfiltfilt  # here: as above

    heard = samples.astype(np.float64)
    if rate_hz > 4 * LOW_HZ and samples.size > 0.01 * rate_hz:
        heard = sosfiltfilt(butter(2, LOW_HZ, "highpass", fs=rate_hz, output="sos"), heard)
    width = max(1, round(CELL_S * rate_hz))
    count = samples.size // width
    power = np.square(heard[: count * width]).reshape(count, width).mean(axis=1)
    background = float(np.median(power)) if count else 0.0
    level = 10 * np.log10((power + SMALLEST_POWER) / (background + SMALLEST_POWER))
    return LoudnessCourse(level_db=np.clip(level, 0, MOST_DB), step_s=width / rate_hz)
