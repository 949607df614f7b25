"""How loud the average tick is at each moment, from silence before it to silence after it.

Two averages are looked at. That of the beats' powers keeps what moves against the arrival from beat
to beat (unlocking, where the amplitude wavers) and only smears it. That of their waves loses it,
the more surely the cleaner the sound, but hears what does not move far below the room.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.sound.average import turned_back
from sideshake.sound.windows import TAPER_S, Spectra, Waves, Windows

Floats = NDArray[np.float64]

CELL_RATE_HZ = 24000.0
"""The envelope of what lies below 22 kHz is whole at this rate (Nyquist, for one sideband)."""
GROUPS, LEAST_IN_GROUP = 7, 5
"""The mean power is the median over groups of beats, each averaged: a knock spoils one of them."""
MEDIAN_LOSS = 1.2
"""The median of group means scatters so much more than the mean (simulated, 7 groups)."""
QUIET = 0.3
LEAST_CELLS = 64
"""2.7 ms: less holds no tick."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The average power of one side's beats; a single beat's background has power 1.

    `power` : shape (cells,), less than nothing is possible: the background's own part is `floor`
    `spread` : standard deviation of a cell's power as a share of it
    `start_s` : when its first cell is, against the arrival; `cell_s` : a cell's length
    """

    power: Floats
    floor: float
    spread: float
    start_s: float
    cell_s: float

    def cells(self, length_s: float) -> int:
        """Return how many cells a length has, at least one."""
        return max(1, round(length_s / self.cell_s))

    def cell_at(self, at_s: float) -> int:
        """Return which cell lies at a time against the arrival; the last one behind all others."""
        cell = min((at_s - self.start_s) / self.cell_s, float(self.power.size))
        return max(0, round(cell))

    def place_s(self, cell: int) -> float:
        """Return when a cell begins, against the arrival."""
        return self.start_s + cell * self.cell_s


@dataclass(frozen=True, slots=True)
class Powers:
    """Squared envelopes, shape (rows, cells) of `step` samples each; background has power 1."""

    cells: Waves
    step: float


def envelope_powers(spectra: Spectra, windows: Windows) -> Powers:
    """Return each row's squared envelope.

    The positive frequencies alone, brought back to time at the rate that just holds them, are the
    analytic signal (Gabor 1946).
    """
    size, rate_hz = windows.span.size, windows.span.rate_hz
    bins = min(spectra.shape[1], round(CELL_RATE_HZ * size / rate_hz))
    wave = fft.ifft(spectra[:, :bins], axis=1)
    cells = windows.span.length * bins // size
    scale = 2 * bins**2 / size**2 / windows.noise_power
    wave = wave[:, :cells]
    power = wave.real**2
    power += wave.imag**2
    power *= np.float32(scale)
    return Powers(power, size / bins)


@dataclass(frozen=True, slots=True)
class TurnedBeats:
    """Beats turned back to their common arrival, by whole samples and whole cells.

    `waves` : shape (beats, samples); `cells` : (beats, cells), their powers
    `late`, `cells_late` : shape (beats,), how many samples and cells they were turned
    """

    waves: Waves
    cells: Waves
    late: NDArray[np.intp]
    cells_late: NDArray[np.intp]


def turned(windows: Windows, powers: Powers, shift: Floats, rows: NDArray[np.intp]) -> TurnedBeats:
    """Return the beats in some rows, aligned by `shift` (samples)."""
    late = np.rint(shift[rows]).astype(np.intp)
    cells_late = np.rint(shift[rows] / powers.step).astype(np.intp)
    return TurnedBeats(
        waves=turned_back(windows.waves[rows], late),
        cells=turned_back(powers.cells[rows], cells_late),
        late=late,
        cells_late=cells_late,
    )


def side_profiles(windows: Windows, powers: Powers, beats: TurnedBeats) -> list[Profile]:
    """Return the profiles of a side's beats.

    None where there is no beat, or where the beats wander over the whole window.
    """
    count = beats.late.size
    if count == 0:
        return []
    mean = median_of_means(beats.cells)
    wave = beats.waves.mean(axis=0)
    coherent = envelope_powers(fft.rfft(wave[None, :]), windows).cells[0].astype(np.float64)
    wander = int(np.max(np.abs(beats.cells_late), initial=0))
    edge = int(np.ceil(TAPER_S * windows.span.rate_hz / powers.step)) + wander
    if mean.size - 2 * edge < LEAST_CELLS:
        return []
    parts = ((mean, MEDIAN_LOSS / float(np.sqrt(count))), (coherent, 1.0))
    return [
        Profile(
            power=power[edge:-edge],
            floor=float(np.quantile(power[edge:-edge], QUIET)),
            spread=spread,
            start_s=(edge * powers.step - windows.span.lead) / windows.span.rate_hz,
            cell_s=powers.step / windows.span.rate_hz,
        )
        for power, spread in parts
    ]


def median_of_means(rows: NDArray[np.float32]) -> Floats:
    """Return the median over groups of the rows' means.

    Nearly as sharp as the mean, and one loud knock changes nothing (Nemirovsky & Yudin 1983).
    """
    groups = min(GROUPS, rows.shape[0] // LEAST_IN_GROUP)
    if groups < 3:
        return np.asarray(rows.mean(axis=0), np.float64)
    means = [rows[first::groups].mean(axis=0, dtype=np.float64) for first in range(groups)]
    return np.asarray(np.median(means, axis=0))
