"""Align one noise of the tick for itself, beat by beat.

Where the amplitude wavers, unlocking moves against the drop by tens of microseconds from beat to
beat. Each beat's own lateness is not told by one faint noise alone, so it is averaged over: the
average noise and the lateness are found in turn, each lateness with its probability (expectation
and maximisation, Dempster, Laird & Rubin 1977, J. R. Stat. Soc. B 39, 1-38), around a straight
drift over the page. A beat is never held against an average in which it counts itself.
Rows are beats, columns are samples or cells.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.sound.windows import Waves

Floats = NDArray[np.float64]

ROUNDS = 8
SETTLED = 0.03
SLOWEST_GAIN = 0.15
"""A drift told by less than this share of what is to be known is not speeded up further."""
LEAST_WANDER = 0.1
LEAST_SPREAD = 0.02
SMOOTH_CELLS = 3
MANY = 24
"""Among so many beats it does not matter for their mean power whether one is left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Aligned:
    """One noise over all beats; times in columns.

    `late` : shape (beats,), how much later it comes than its mean, as far as can be told
    `wander` : standard deviation of the lateness about the line
    `sure` : share of its variance that the sound tells (1: each beat's lateness is known)
    """

    late: Floats
    wander: float
    sure: float

    @property
    def smear(self) -> float:
        """Return how far (standard deviation) single beats may still lie from where they belong."""
        return self.wander * float(np.sqrt(1 - self.sure))


class Sense(Protocol):
    """How beats are held against the average of the others."""

    size: int

    def told(self, chance: Waves) -> Floats:
        """Return the log-likelihood of each beat's lateness (rows, size), from its `chance` now."""


class ByWave:
    """Waves against the average wave: the sharpest where they repeat."""

    def __init__(self, part: Waves, reach: int, *, noise: float) -> None:
        """Keep the beats' spectra; `noise` is the background's variance in a sample."""
        self.size = int(fft.next_fast_len(part.shape[1] + 2 * reach, real=True))
        self._spectra = fft.rfft(part, self.size, axis=1)
        self._energy = np.einsum("ij,ij->i", part, part)
        self._noise, self._columns = noise, part.shape[1]

    def told(self, chance: Waves) -> Floats:
        """Return the log-likelihoods; what the average leaves unexplained counts as noise."""
        turned = self._spectra * np.conj(fft.rfft(chance, axis=1))
        others = (turned.sum(axis=0) - turned) / max(1, chance.shape[0] - 1)
        likeness = fft.irfft(self._spectra * np.conj(others), self.size, axis=1)
        power = 2 * np.sum(np.abs(others) ** 2, axis=1) / self.size
        left = self._energy - 2 * np.max(likeness, axis=1) + power
        noise = max(self._noise, float(np.mean(left)) / self._columns)
        return np.asarray(likeness / noise, np.float64)


class ByPower:
    """Powers against the average power: for noises whose waves do not repeat.

    A cell's power about its mean is exponential, as for Gaussian noise.
    """

    def __init__(self, power: Waves, reach: int) -> None:
        """Keep the beats' powers, shape (beats, cells)."""
        self.size = int(fft.next_fast_len(power.shape[1] + 2 * reach, real=True))
        self._floor = float(np.quantile(power.mean(axis=0), 0.1))
        padded = np.full((power.shape[0], self.size), self._floor, np.float32)
        padded[:, : power.shape[1]] = power
        self._spectra = fft.rfft(padded, axis=1)
        self._smooth = np.conj(fft.rfft(np.full(SMOOTH_CELLS, 1 / SMOOTH_CELLS), self.size))

    def told(self, chance: Waves) -> Floats:
        """Return the log-likelihoods."""
        turned = self._spectra * np.conj(fft.rfft(chance, axis=1))
        total, count = turned.sum(axis=0, keepdims=True), chance.shape[0]
        many = count > MANY
        others = total / count if many else (total - turned) / max(1, count - 1)
        mean = np.maximum(fft.irfft(others * self._smooth, self.size, axis=1), self._floor / 2)
        inverse = fft.rfft(1 / mean, axis=1)
        return -np.asarray(fft.irfft(self._spectra * np.conj(inverse), self.size, axis=1), float)


def aligned(sense: Sense, times_s: Floats, *, start: Floats, wander: float, reach: int) -> Aligned:
    """Return each beat's own lateness, looked for within `reach` columns.

    `start` : shape (beats,), a first guess; `wander` : how far lateness is thought to scatter;
    `times_s` : when the beats come
    """
    lags = np.arange(-reach, reach + 1)
    seconds = times_s - times_s.mean()
    squares = float(seconds @ seconds)
    chance = np.zeros((start.size, sense.size), np.float32)
    chance[np.arange(start.size), np.rint(np.clip(start, -reach, reach)).astype(np.intp)] = 1.0
    drift = float(start @ seconds) / squares
    for _ in range(ROUNDS):
        likely = sense.told(chance)[:, lags]
        expected = drift * seconds
        likely -= (lags - expected[:, None]) ** 2 / (2 * wander**2)
        likely = np.exp(likely - likely.max(axis=1, keepdims=True))
        likely /= likely.sum(axis=1, keepdims=True)
        late = likely @ lags
        late_u2 = likely @ (lags**2.0) - late**2
        late -= late.mean()
        chance[:, lags] = likely
        sure = float(np.clip(1 - late_u2.mean() / wander**2, SLOWEST_GAIN, 1))
        rest = late - expected
        step = float(rest @ seconds) / squares
        drift += step / sure
        before, scatter = wander, float(np.mean((rest - step * seconds) ** 2 + late_u2))
        wander = float(np.sqrt(max(scatter, LEAST_WANDER**2)))
        if abs(wander / before - 1) < SETTLED:
            break
    return Aligned(
        late=late,
        wander=wander,
        sure=sure,
    )
