"""Are tick and tock two sounds? Every fourth beat averaged: same side against other side.

In a watch two pallets make two sounds, so beats that are two apart are more alike than neighbours
are. Where one thing makes every beat, all averages are alike but for the noise, and how much that
is the comparison of the same side tells on the sound itself.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.sound.average import turned_back
from sideshake.sound.windows import Waves, Windows

Floats = NDArray[np.float64]

CELL_S, SMOOTH_CELLS = 0.1e-3, 5
FINER = 2
SAME, OTHER = ((0, 2), (1, 3)), ((0, 1), (1, 2), (2, 3), (0, 3))

ONE_SOUND = 0.8
"""How often what is no watch makes one sound, not two in turn."""
WAVES_NOISE, SWELLS_NOISE = (0.008, 0.12), (0.0015, 0.3)
"""Averages of one sound differ by this much, and by this share of how two of one side do."""
USUAL_BEATS = 24
WAVES_ALIKE, SWELLS_ALIKE = 0.003, 0.01
"""How often the tick and tock of a watch cannot be told apart."""
SWELLS_DIFFER = 0.07
"""How much the swells of a watch's tick and tock differ, on average."""
SWELLS_NATS = (-3.5, 1.2)
REPEATS = ((0.45, 0.75), (0.0, 1.0))
"""Waves tell as far as those of one side are alike."""
WAVY = ((0.5, 0.9), (1.0, 0.3))
"""Where waves repeat, two sounds that swell alike count less."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """How alike averages over every fourth beat are (1 is the same): of one side, and across.

    `waves` : of their waveforms; `swells` : of their loudness over time
    """

    waves_same: float
    waves_other: float
    swells_same: float
    swells_other: float
    beats: int


def compared_sides(windows: Windows, shift: Floats, heard: NDArray[np.bool_]) -> Sides | None:
    """Return how alike the sides are, None if one of the four averages would hold no beat."""
    rows = np.flatnonzero(heard)
    member = windows.number[rows] % 4 == np.arange(4)[:, None]
    counts = member.sum(axis=1)
    if counts.min() == 0:
        return None
    share = (member / counts[:, None]).astype(np.float32)
    late = np.rint(shift[rows]).astype(np.intp)
    aligned = turned_back(windows.waves[rows], late)[:, : windows.span.length]
    width = max(1, round(CELL_S * windows.span.rate_hz))
    cells = aligned[:, : aligned.shape[1] // width * width].reshape(rows.size, -1, width)
    powers = share @ (np.einsum("ijk,ijk->ij", cells, cells) / width) - windows.noise_power
    waves, swells = likenesses(share @ aligned), likenesses(swells_of(powers))
    return Sides(
        waves_same=mean_of(waves, SAME),
        waves_other=mean_of(waves, OTHER),
        swells_same=mean_of(swells, SAME),
        swells_other=mean_of(swells, OTHER),
        beats=rows.size,
    )


def swells_of(powers: Waves) -> Waves:
    """Return the smoothed amplitude of each row of powers."""
    kernel = np.full(SMOOTH_CELLS, 1 / SMOOTH_CELLS)
    smooth = [np.convolve(row, kernel, "same") for row in np.maximum(powers, 0)]
    return np.sqrt(smooth).astype(np.float32)


def likenesses(rows: Waves) -> Floats:
    """Return the greatest normalised correlation of pairs of rows, at any shift."""
    size = int(fft.next_fast_len(2 * rows.shape[1], real=True))
    spectra = fft.rfft(rows, size, axis=1)
    energy = np.einsum("ij,ij->i", rows, rows).astype(np.float64) + 1e-12
    found = np.eye(rows.shape[0])
    for one, other in (*SAME, *OTHER):
        course = fft.irfft(np.conj(spectra[one]) * spectra[other], FINER * size) * FINER
        found[one, other] = course.max() / math.sqrt(energy[one] * energy[other])
    return found


def mean_of(table: Floats, pairs: tuple[tuple[int, int], ...]) -> float:
    """Return the mean of the pairs' values."""
    return float(np.mean([table[pair] for pair in pairs]))


def waves_nats(sides: Sides) -> float:
    """Return how many nats the waveforms of tick and tock count for a watch."""
    ratio = 1.0
    if sides.waves_same > 0.05:
        ratio = min(max(sides.waves_other / sides.waves_same, 0.0), 1.0)
    one = half_bell(ratio, noise_of(sides.waves_same, WAVES_NOISE, sides.beats))
    ours = 1 - WAVES_ALIKE + WAVES_ALIKE * one
    nats = math.log(ours / (1 - ONE_SOUND + ONE_SOUND * one))
    return nats * float(np.interp(sides.waves_same, *REPEATS))


def swells_nats(sides: Sides, coherence: float) -> float:
    """Return how many nats it counts how differently tick and tock swell."""
    ratio = min(sides.swells_other / max(sides.swells_same, 1e-9), 1.0)
    one = half_bell(ratio, noise_of(sides.swells_same, SWELLS_NOISE, sides.beats))
    two = math.exp(-(1 - ratio) / SWELLS_DIFFER) / SWELLS_DIFFER
    ours = (1 - SWELLS_ALIKE) * two + SWELLS_ALIKE * one
    nats = math.log(ours / ((1 - ONE_SOUND) * two + ONE_SOUND * one))
    nats = min(max(nats, SWELLS_NATS[0]), SWELLS_NATS[1])
    return nats * (float(np.interp(coherence, *WAVY)) if nats < 0 else 1.0)


def noise_of(same: float, noise: tuple[float, float], beats: int) -> float:
    """Return how much averages of one sound differ by noise alone."""
    return noise[0] + noise[1] * (1 - min(same, 1.0)) * math.sqrt(max(1.0, USUAL_BEATS / beats))


def half_bell(ratio: float, sigma: float) -> float:
    """Return the density of a ratio that is 1 but for normal noise that only makes it less."""
    return math.exp(-(((1 - ratio) / sigma) ** 2) / 2) * 2 / (sigma * math.sqrt(2 * math.pi))
