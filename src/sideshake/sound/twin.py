"""A second watch of the same beat, heard between the beats of the first.

What is left when the first watch's beats are silenced is folded over its beat, stretch by stretch.
An echo keeps its distance from the beat it echoes; another watch gains on the first or loses, so
its place moves from stretch to stretch. Two watches that agree within some 2 s a day over half a
minute cannot be told from a watch and its echo.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.sound.line import robust_sigma

Floats = NDArray[np.float64]

STRETCHES, LEAST_TURNS = 8, 60
BEFORE, AFTER = 0.2, 0.3
"""The first watch's own noises lie within this share of a beat before and after its loudest."""
LEAST_SIGMAS, LEAST_SHARE = 8.0, 0.1
"""What is left must stand so far above its own course, and be so loud against the first watch."""
MOST_GAINS, STEP = 60 / 86400, 2 / 86400
DRIFT_SIGMAS, LEAST_GAINS = 5.0, 2 / 86400
MOST_SCATTER_S, LEAST_SCATTER_S = 0.6e-3, 0.1e-3


@dataclass(frozen=True, slots=True)
class Twin:
    """How much the second watch gains on the first (s a s), and its standard uncertainty."""

    gains: float
    u: float


def twin_of(loudness: Floats, *, first: float, beat: float, frame_s: float) -> Twin | None:
    """Return the second watch of the same beat, None where none can be told from an echo.

    Parameters
    ----------
    loudness : shape (frames,), as `band.prominence` gives it
    first, beat : one of the first watch's beats and the time from beat to beat, frames
    """
    if loudness.size < LEAST_TURNS * beat:
        return None
    edges = np.linspace(0, loudness.size, STRETCHES + 1).astype(np.intp)
    middle = (edges[1:] + edges[:-1]) / 2
    rows = np.array([folded(loudness, beat, a, b) for a, b in pairwise(edges)])
    rows -= np.median(rows, axis=1, keepdims=True)
    own = float(rows.mean(axis=0).max())
    rows *= between(rows.shape[1], first / beat % 1)
    spread = robust_sigma(rows[rows != 0]) / np.sqrt(STRETCHES)
    least = max(LEAST_SIGMAS * spread, LEAST_SHARE * own)
    if rows.max(axis=1).mean() < least:  # turned in any way they add up to no more
        return None
    spectra, width = fft.rfft(rows, axis=1), rows.shape[1]
    gains = best_gains(spectra, middle, width)
    straight = turned(spectra, -gains * (middle - middle.mean()), width)
    if fft.irfft(straight.mean(axis=0), width).max() < least:
        return None
    late = own_shifts(straight, width)
    slope, sigma = slope_of(middle, late)
    gains -= slope
    u = max(sigma, LEAST_SCATTER_S / frame_s) * np.sqrt(12 / STRETCHES) / loudness.size
    if sigma * frame_s > MOST_SCATTER_S or abs(gains) < max(DRIFT_SIGMAS * u, LEAST_GAINS):
        return None
    return Twin(float(gains), float(u))


def folded(course: Floats, beat: float, first: int = 0, end: int | None = None) -> Floats:
    """Return the mean course over one beat, of the frames from `first` up to `end`."""
    number = np.arange(first, course.size if end is None else end)
    width = round(beat)
    place = np.minimum((number / beat % 1 * width).astype(np.intp), width - 1)
    total = np.bincount(place, course[number], width)
    return np.asarray(total / np.maximum(np.bincount(place, minlength=width), 1))


def between(width: int, own: float) -> NDArray[np.bool_]:
    """Return which places of the beat lie between the first watch's own noises."""
    away = (np.arange(width) / width - own + BEFORE) % 1
    return np.asarray(away > BEFORE + AFTER)


def best_gains(spectra: NDArray[np.complex128], middle: Floats, width: int) -> float:
    """Return the drift (frames a frame) along which the folds add up to the most energy."""
    tries = np.arange(-MOST_GAINS, MOST_GAINS + STEP / 2, STEP)
    late = middle - middle.mean()
    straight = turned(spectra, -tries[0] * late, width)
    step = turned(np.ones_like(spectra), -STEP * late, width)
    energies = np.empty(tries.size)
    for at in range(tries.size):
        total = straight.sum(axis=0)[1:]
        energies[at] = np.vdot(total, total).real
        straight *= step
    return float(tries[int(np.argmax(energies))])


def turned(spectra: NDArray[np.complex128], late: Floats, width: int) -> NDArray[np.complex128]:
    """Return the folds' spectra, each turned back by so many frames."""
    turn = 2j * np.pi * np.arange(spectra.shape[1]) / width
    return np.asarray(spectra * np.exp(turn * late[:, None]))


def own_shifts(straight: NDArray[np.complex128], width: int) -> Floats:
    """Return how much later (frames) each fold is than the mean of all."""
    likeness = fft.irfft(straight * np.conj(straight.mean(axis=0)), 8 * width, axis=1)
    best = np.argmax(likeness, axis=1) / 8
    return np.asarray(np.where(best > width / 2, best - width, best))


def slope_of(at: Floats, late: Floats) -> tuple[float, float]:
    """Return the slope of a straight line through the shifts, and their scatter about it."""
    slope, start = np.polyfit(at, late, 1)
    rest = late - slope * at - start
    return float(slope), float(np.sqrt(np.sum(rest**2) / max(1, at.size - 2)))
