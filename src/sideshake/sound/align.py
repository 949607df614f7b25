"""Align one noise of the tick for itself, beat by beat.

Where the amplitude wavers, unlocking moves against the drop by tens of microseconds from beat to
beat. Each beat's own lateness is not told by one faint noise alone, so it is averaged over: the
average noise and the lateness are found in turn, each lateness with its probability (expectation
and maximisation, Dempster, Laird & Rubin 1977, J. R. Stat. Soc. B 39, 1-38), around a straight
drift over the page. A beat is never held against an average in which it counts itself.
Samples throughout; rows are beats.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.sound.windows import Waves

Floats = NDArray[np.float64]

REACH_S = 1.2e-3
FIRST_WANDER_S, LEAST_WANDER_S = 0.1e-3, 2e-6
ROUNDS = 8
SETTLED = 0.02
SLOWEST_GAIN = 0.15
"""A drift told by less than this share of what is to be known is not speeded up further."""
HEAT = (16.0, 4.0)
"""The first rounds believe the waves so many times less: coarse before fine."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Aligned:
    """One noise over all beats.

    `late` : shape (beats,), how much later it comes than its mean, the most probable
    `drift` : its line's slope (samples a second) and `drift_u` that slope's standard uncertainty
    `wander` : standard deviation of its lateness about the line
    `sure` : share of that which the waves tell (1: each beat's lateness is known)
    `alike` : share of the single beats' energy, less background, that the average explains
    """

    late: Floats
    drift: float
    drift_u: float
    wander: float
    sure: float
    alike: float


def aligned(part: Waves, times_s: Floats, *, noise: float, rate_hz: float) -> Aligned:
    """Return each beat's own lateness of the noise in `part` (beats, columns).

    `noise` : the background's variance in a sample; `times_s` : when the beats come
    """
    beats, columns = part.shape
    reach = max(2, round(REACH_S * rate_hz))
    size = int(fft.next_fast_len(columns + 2 * reach, real=True))
    lags = np.arange(-reach, reach + 1)
    spectra = fft.rfft(part, size, axis=1)
    energy = np.einsum("ij,ij->i", part, part)
    seconds = times_s - times_s.mean()
    drift, wander = 0.0, FIRST_WANDER_S * rate_hz
    chance = np.zeros((beats, size), np.float32)
    chance[:, 0] = 1.0
    for turn in range(ROUNDS):
        turned = spectra * np.conj(fft.rfft(chance, axis=1))
        others = (turned.sum(axis=0) - turned) / max(1, beats - 1)
        likeness = fft.irfft(spectra * np.conj(others), size, axis=1)[:, lags]
        power = (np.abs(others) ** 2) @ parseval(others.shape[1], size)
        best = likeness.max(axis=1)
        left = float(np.mean(energy - 2 * best + power)) / columns
        heat = HEAT[turn] if turn < len(HEAT) else 1.0
        weigh = 1 / (max(noise, left) * heat)
        told = (likeness - power[:, None] / 2) * weigh
        expected = drift * seconds
        told = told - ((lags - expected[:, None]) ** 2) / (2 * wander**2)
        told = np.exp(told - told.max(axis=1, keepdims=True))
        told /= told.sum(axis=1, keepdims=True)
        late = told @ lags
        spread2 = told @ (lags**2.0) - late**2
        chance[:, lags] = told
        gain = float(np.clip(1 - spread2.mean() / wander**2, SLOWEST_GAIN, 1))
        rest = late - expected
        rest -= rest.mean()
        step = float(rest @ seconds / (seconds @ seconds)) / gain
        drift += step
        before = wander
        wander = max(
            float(np.sqrt(np.mean((rest - step * gain * seconds) ** 2 + spread2))),
            LEAST_WANDER_S * rate_hz,
        )
        if turn >= len(HEAT) and abs(wander / before - 1) < SETTLED:
            break
    explained = float(np.sum(2 * best - power)) / max(
        float(np.sum(energy) - noise * columns * beats), 1e-9
    )
    single2 = wander**2 / gain
    return Aligned(
        late=late - late.mean(),
        drift=drift,
        drift_u=float(np.sqrt(single2 / (seconds @ seconds))),
        wander=wander,
        sure=gain,
        alike=explained,
    )


def parseval(bins: int, size: int) -> Floats:
    """Return what each bin of a real transform counts towards the energy in time."""
    weight = np.full(bins, 2.0 / size)
    weight[0] = 1.0 / size
    if size % 2 == 0:
        weight[-1] = 1.0 / size
    return weight
