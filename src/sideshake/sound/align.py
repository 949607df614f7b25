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
LEAST_OWN = 1e-3
"""Of two things that lateness may follow and that are one, each counts by half."""
SLOWEST_GAIN = 0.15
"""A drift told by less than this share of what is to be known is not speeded up further."""
LEAST_WANDER = 0.1
LEAST_SPREAD = 0.02
SMOOTH_CELLS = 3
NEVER = -40.0
"""What is less likely than this (nats) is not told apart: numbers too small are slow to reckon."""
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

    def told(self, chance: Waves) -> Waves:
        """Return the log-likelihood of each beat's lateness, from its `chance` now.

        Both of shape (rows, lags), the lags from `-reach` to `reach`.
        """


class ByWave:
    """Waves against the average wave: the sharpest where they repeat."""

    def __init__(self, part: Waves, reach: int, *, noise: float) -> None:
        """Keep the beats' spectra; `noise` is the background's variance in a sample."""
        self._size = int(fft.next_fast_len(part.shape[1] + 2 * reach, real=True))
        self._spectra, self._lags = fft.rfft(part, self._size, axis=1), lags_to(reach)
        self._energy = np.einsum("ij,ij->i", part, part)
        self._noise, self._columns = noise, part.shape[1]

    def told(self, chance: Waves) -> Waves:
        """Return the log-likelihoods; what the average leaves unexplained counts as noise."""
        placed = np.zeros((chance.shape[0], self._size), np.float32)
        placed[:, self._lags] = chance
        turned = self._spectra * np.conj(fft.rfft(placed, axis=1))
        others = (turned.sum(axis=0) - turned) / max(1, chance.shape[0] - 1)
        likeness = fft.irfft(self._spectra * np.conj(others), self._size, axis=1)
        power = 2 * np.sum(others.real**2 + others.imag**2, axis=1) / self._size
        left = self._energy - 2 * np.max(likeness, axis=1) + power
        noise = max(self._noise, float(np.mean(left)) / self._columns)
        return np.asarray(likeness[:, self._lags] / np.float32(noise))


class ByPower:
    """Powers against the average power: for noises whose waves do not repeat.

    A cell's power about its mean is exponential, as for Gaussian noise. Reaches are short, so
    products of matrices are faster than transforms.
    """

    def __init__(self, power: Waves, reach: int) -> None:
        """Keep the beats' powers, shape (beats, cells), with room for shifts on both sides."""
        size = int(fft.next_fast_len(power.shape[1] + 2 * reach, real=True))
        self._floor = float(np.quantile(power.mean(axis=0), 0.1))
        self._rows = np.full((power.shape[0], size), self._floor, np.float32)
        self._rows[:, : power.shape[1]] = power
        cells, lags = np.arange(size)[:, None], lags_to(reach)
        self._back = (cells - lags) % size
        self._near = (cells + np.arange(SMOOTH_CELLS)) % size
        few = power.shape[0] <= MANY
        self._turned = self._rows[:, (cells + lags) % size] if few else None

    def told(self, chance: Waves) -> Waves:
        """Return the log-likelihoods."""
        count = chance.shape[0]
        if self._turned is None:
            pairs = self._rows.T @ chance
            total = np.bincount(self._back.ravel(), pairs.ravel(), self._rows.shape[1])
            return np.asarray(self._rows @ -self._inverse(total / count)[self._back])
        turned = (self._turned @ chance[:, :, None])[:, :, 0]
        others = (turned.sum(axis=0) - turned) / max(1, count - 1)
        return np.asarray(-(self._inverse(others)[:, None, :] @ self._turned)[:, 0])

    def _inverse(self, mean: Waves) -> Waves:
        """Return 1 over the smoothed mean, which is nowhere less than half the floor."""
        smooth = mean[..., self._near].mean(axis=-1)
        return np.asarray(1 / np.maximum(smooth, self._floor / 2), np.float32)


def lags_to(reach: int) -> NDArray[np.intp]:
    """Return the lags that are looked at."""
    return np.arange(-reach, reach + 1)


def aligned(sense: Sense, along: Floats, *, start: Floats, wander: float, reach: int) -> Aligned:
    """Return each beat's own lateness, looked for within `reach` columns.

    `along` : shape (beats,) or (ways, beats), what lateness may follow in proportion: when the
    beats come, and how late each arrives against the even beat
    `start` : shape (beats,), a first guess; `wander` : how far lateness is thought to scatter
    """
    lags = lags_to(reach).astype(np.float32)
    powers = np.vander(lags.astype(np.float64), 3, increasing=True)
    ways = even_ways(along)
    told_by = np.linalg.solve(
        ways @ ways.T + LEAST_OWN * ways.shape[1] * np.eye(ways.shape[0]), ways
    ).T
    first = np.rint(np.clip(start, -reach, reach))
    chance = (lags == first[:, None]).astype(np.float32)
    slopes = start @ told_by
    for _ in range(ROUNDS):
        expected = slopes @ ways
        likely = sense.told(chance)
        likely -= (lags - expected.astype(np.float32)[:, None]) ** 2 / np.float32(2 * wander**2)
        likely = np.exp(np.maximum(likely - likely.max(axis=1, keepdims=True), NEVER))
        likely /= likely.sum(axis=1, keepdims=True)
        chance, (total, late, late_u2) = likely, (likely @ powers).T
        late, late_u2 = late / total, late_u2 / total - (late / total) ** 2
        late -= late.mean()
        sure = float(np.clip(1 - late_u2.mean() / wander**2, SLOWEST_GAIN, 1))
        rest = late - expected
        step = rest @ told_by
        slopes += step / sure
        before, scatter = wander, float(np.mean((rest - step @ ways) ** 2 + late_u2))
        wander = float(np.sqrt(max(scatter, LEAST_WANDER**2)))
        if abs(wander / before - 1) < SETTLED:
            break
    return Aligned(
        late=late,
        wander=wander,
        sure=sure,
    )


def even_ways(along: Floats) -> Floats:
    """Return what lateness may follow about its mean, each of standard deviation 1; what does not
    change stays nought."""
    ways = np.atleast_2d(along)
    ways = ways - ways.mean(axis=1, keepdims=True)
    return np.asarray(ways / np.maximum(ways.std(axis=1, keepdims=True), 1e-12))
