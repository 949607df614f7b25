"""Sizes freed of a noise that is known: what the comparisons' own doubt adds to a variation.

The mean, or the largest, of sizes grows by noise, since a size has no sign to cancel it: a watch
whose days differ by 0.82 s reads 1.72 when each comparison is uncertain to 0.8 s. The noise is
known, so it can be taken off; what is left is uncertain, and the interval says how much.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Sizes = Callable[[Any], Any]
"""From signed figures (rows) to one size, for one set of them or for draws of them (columns)."""
SEED, DRAWS, STEPS = 3159, 8_000, 240
WIDEST = 10.0
"""How far beyond the largest figure read the scatter is looked for."""
BOTH_TAILS = (0.025, 0.975)


@dataclass(frozen=True, slots=True, kw_only=True)
class Freed:
    """A size freed of noise: its value, its 95 % interval, and draws of what it may truly be."""

    value: float
    low: float
    high: float
    draws: Array


def freed_of_noise(read: Array, noise: Array, spread: Array, size: Sizes) -> Freed:
    """Return what a size of signed figures would be without their noise.

    Value: the size read, less the share of noise. That share is judged by the mean size for every
    criterion, so that the largest never falls below the mean: of the mean's square that of what
    noise alone reads is taken off, nought where noise alone reads more. Interval and draws: the
    truth of the figures is normal about 0 with the shape `spread` and an unknown scatter, all alike
    likely beforehand; the lower end is nought where noise alone reads as much in one case of forty.

    Parameters
    ----------
    read : shape (k,), the signed figures
    noise : shape (k, n), draws of their noise alone, about 0; not all nought
    spread : shape (k, k), covariance of the figures' truth, to a factor
    size : the mean or the largest of their sizes, say

    References
    ----------
    Normal means with a common variance: Gelman et al., Bayesian Data Analysis, ch. 5 (uniform prior
    of the scatter); JCGM 101:2008 for the drawing. Bias and coverage:
    tests/timing/daily_rates/test_known_noise
    """
    seen, alone = float(size(read)), size(noise)
    truth = np.asarray(size(true_figures(read, np.cov(noise), spread)))
    low, high = np.quantile(truth, BOTH_TAILS)
    value = seen * kept_share(read, noise)
    nothing = seen <= np.quantile(alone, BOTH_TAILS[1])
    return Freed(
        value=value,
        low=0.0 if nothing else min(float(low), value),
        high=max(float(high), value),
        draws=truth,
    )


def kept_share(read: Array, noise: Array) -> float:
    """Return what share of the sizes read is not noise, by their mean, 0 to 1."""
    mean = float(np.abs(read).mean())
    return float(np.sqrt(max(0.0, 1.0 - (np.abs(noise).mean() / mean) ** 2))) if mean else 0.0


def true_figures(read: Array, noise: Array, spread: Array) -> Array:
    """Return draws of the figures without noise, shape (k, DRAWS).

    In axes in which truth scatters alike and noise is independent, each figure keeps the share
    t² / (t² + n²) of what was read, for a scatter t drawn from what the figures say of it.

    Parameters
    ----------
    noise, spread : covariances of the noise and, to a factor, of the truth, shape (k, k)
    """
    into, back, own = independent_axes(np.atleast_2d(noise), spread)
    figures = into @ read
    random = np.random.default_rng(SEED)
    tried, likely = scatters(figures, own)
    scatter = random.choice(tried, size=DRAWS, p=likely)
    kept = scatter**2 / (scatter**2 + own[:, None])
    wobble = random.standard_normal((figures.size, DRAWS))
    return np.asarray(back @ (kept * figures[:, None] + np.sqrt(kept * own[:, None]) * wobble))


def independent_axes(noise: Array, spread: Array) -> tuple[Array, Array, Array]:
    """Return the way into axes that make both covariances diagonal, the way back, and the noise.

    Directions in which the truth cannot scatter (deviations add to nought) are left out.
    """
    sizes, directions = np.linalg.eigh(spread)
    free = sizes > 1e-9 * sizes.max()
    root = directions[:, free] * np.sqrt(sizes[free])
    white = (directions[:, free] / np.sqrt(sizes[free])).T
    own, turn = np.linalg.eigh(white @ noise @ white.T)
    return turn.T @ white, root @ turn, np.maximum(own, 0.0)


def scatters(figures: Array, own: Array) -> tuple[Array, Array]:
    """Return the scatters to draw from, and how likely each is."""
    widest = WIDEST * max(float(np.abs(figures).max()), float(np.sqrt(own.max())))
    # closer together near nought, where the likelihood changes fastest
    tried = widest * (np.arange(1, STEPS + 1) / STEPS) ** 2
    variance = tried**2 + own[:, None]
    likely = -0.5 * (np.log(variance) + figures[:, None] ** 2 / variance).sum(axis=0)
    weight = np.exp(likely - likely.max()) * np.gradient(tried)
    return tried, weight / weight.sum()


def shape_of(parts: Sequence[Callable[[Any], Any]], days: Sequence[int]) -> Array:
    """Return the covariance of linear figures of daily rates that scatter alike, to a factor."""
    rows = np.array(
        [[part({day: float(day == one) for day in days}) for one in days] for part in parts]
    )
    return np.asarray(rows @ rows.T)
