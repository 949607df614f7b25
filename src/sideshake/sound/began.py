"""Where aligned beats begin: by the mean of their powers and, where that repeats, their mean wave.

Rows are averages: of all beats, of bootstrap draws, of groups in time.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.sound.rise import Rises, cut_means, first_rises, middle_means
from sideshake.sound.windows import Waves

Floats = NDArray[np.float64]

FINER = 4
"""Beats are brought to a grid so many times as fine: between two samples a noise may begin."""
LEVEL, LEVEL_ALONE = 0.02, 0.1
"""At which share of its peak a noise begins, of aligned powers and waves; of powers alone, whose
beats are not aligned so well."""
EDGE = 8
"""So many columns of silence are put between a row's end and its beginning, which follows it in a
transform."""
LEAST_ALIKE = 0.38
"""Waves of which less than this share of the energy is left in their average do not repeat: noise
alone, aligned to itself, leaves 0.22 to 0.37; waves that repeat, 0.9 and more."""
ALONE_APART_S = 0.075e-3
"""How far an onset by powers alone is taken to lie from one by waves (of 40 such, once, half were
off by less than 20 us; experiments/README.md)."""
CHANCE_OF_POWERS, CHANCE_OF_WAVES = 4.0, 10.0
"""How far above chance the level must stand: in standard deviations of a mean power, and in means
of what is left of the background in an average of waves."""
MOST_APART_S, SURELY_ALIKE = 0.15e-3, 0.7
"""Where powers and waves show onsets farther apart, the waves have missed a part of the noise that
does not repeat, or found one that is none: of eight such all were right by powers. But where so
much of the waves repeats, an earlier onset by them is one that powers are too coarse for."""


@dataclass(frozen=True, slots=True)
class SideBeats:
    """The beats of one side, turned to a common arrival.

    `waves` : shape (beats, samples); `powers` : (beats, cells) of `step` samples each, background 1
    `offset` : how many samples more a beat's powers were turned back than its waves
    `lead` : samples before the arrival
    `along` : shape (2, beats), when the beats come, and how much later than the even beat each
        arrives (s): the balance is far more even than what a beat's arrival is told by
    `share` : what each beat counts in each row; `counts` : beats in each row
    `noise` : variance of the background in a sample
    """

    waves: Waves
    powers: Waves
    step: float
    offset: Floats
    lead: float
    along: Floats
    share: Waves
    counts: Floats
    noise: float
    rate_hz: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Began:
    """Where aligned beats begin in each row (`at`), how long they take to four times the level told
    (by powers alone: to half their peak), how far powers and waves are apart about it (columns);
    whether waves had a say; and where they begin by powers alone in any case (`alone`)."""

    at: Floats
    alone: Floats
    rise: float
    apart: float
    by_wave: bool


def began_at(side: SideBeats, waves: Waves, near: float, *, alike: float, rest: Floats) -> Began:
    """Return where the aligned beats begin, by the mean of their powers and of their waves.

    Where waves repeat both tell it, and how far they are apart tells how well.

    `rest` : shape (beats,), by how much of a column each beat still comes too late
    """
    whole = middle_means(side.share, np.square(waves)) - side.noise
    chance = CHANCE_OF_POWERS * side.noise * np.sqrt(2 / side.counts)
    alone = first_rises(whole, near, side.rate_hz, level=LEVEL_ALONE, chance=chance)
    by_waves, by_power = fine_rises(side, finer(waves, rest), near)
    apart = abs(float(by_waves.at[0] - by_power.at[0]))
    if alike > LEAST_ALIKE and apart < MOST_APART_S * side.rate_hz:
        both = np.where(np.isfinite(by_waves.at), by_waves.at, by_power.at) + by_power.at
        rise = float(by_power.rise[0])
        return Began(at=both / 2, alone=alone.at, rise=rise, apart=apart, by_wave=True)
    if alike > SURELY_ALIKE and not by_waves.at[0] > by_power.at[0]:
        far = float(np.nan_to_num(apart, nan=MOST_APART_S * side.rate_hz))
        rise = float(by_waves.rise[0])
        return Began(at=by_waves.at, alone=alone.at, rise=rise, apart=far, by_wave=True)
    sooner = first_rises(whole, near, side.rate_hz, level=LEVEL, chance=chance)
    apart = float(np.fmax(ALONE_APART_S * side.rate_hz, abs(alone.at[0] - sooner.at[0])))
    rise = float(alone.slow[0])
    return Began(at=alone.at, alone=alone.at, rise=rise, apart=apart, by_wave=False)


def finer(waves: Waves, rest: Floats) -> Waves:
    """Return the rows on a grid `FINER` times as fine, each turned back by its rest of a column."""
    count = waves.shape[1]
    size = int(fft.next_fast_len(count + EDGE, real=True))
    turn = np.exp(2j * np.pi * np.fft.rfftfreq(size) * rest[:, None]).astype(np.complex64)
    turned = fft.irfft(fft.rfft(waves, size, axis=1) * turn, FINER * size, axis=1)
    return np.asarray(turned[:, : FINER * count] * np.float32(FINER))


def fine_rises(side: SideBeats, fine: Waves, near: float) -> tuple[Rises, Rises]:
    """Return where beats on the fine grid first rise, by their mean wave and by their mean power,
    in columns of the grid they come from."""
    rate_hz = FINER * side.rate_hz
    cut, left = cut_means(side.share, np.square(fine))
    means = np.square(side.share @ fine, dtype=np.float64) - (side.noise / side.counts)[:, None]
    chances = (
        CHANCE_OF_WAVES * side.noise / side.counts,
        CHANCE_OF_POWERS * left * side.noise * np.sqrt(2 / side.counts),
    )
    by_waves, by_power = (
        first_rises(rows, FINER * near, rate_hz, level=LEVEL, chance=chance).columns(1 / FINER)
        for rows, chance in zip((means, cut - left * side.noise), chances, strict=True)
    )
    return by_waves, by_power


def repeated(rows: Waves, noise: float) -> float:
    """Return the share of the rows' energy, less background, that is left in their average."""
    count, columns = rows.shape
    mean = rows.mean(axis=0)
    single = float(np.vdot(rows, rows)) / count - noise * columns
    average = (count * float(mean @ mean) - single - noise * columns) / max(1, count - 1)
    return average / single if single > 0 else 0.0
