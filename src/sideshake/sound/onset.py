"""Where one noise of the tick begins, to a fraction of a sample, averaged over beats.

The beats are first aligned to each other at this noise alone: coarsely by their powers, which also
serves where waves do not repeat, then finely by their waves close to the onset. The noise begins
where the mean power, and that of the mean wave, first reach a small share of their peak: waves come
through a filter that rings after a noise and not before it (`causal`).
Rows are averages: of all beats, of bootstrap draws, of groups in time.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.sound.align import ByPower, ByWave, aligned
from sideshake.sound.average import turned_back
from sideshake.sound.began import SideBeats, began_at, repeated
from sideshake.sound.rise import close_around, passed, peaks
from sideshake.sound.windows import Waves

Floats = NDArray[np.float64]

BEFORE_S, AFTER_S = 1.8e-3, 2.0e-3
"""What is taken of a noise, before and after it seems to begin."""
REACH_S, WANDER_S = 1.2e-3, 0.15e-3
"""How far a beat's noise is looked for from the mean of all, and how far it is thought to scatter
before that is known."""
UNBOUND, WIDTHS = 0.35, (1.0, 2.0)
"""What is not found, is faint, or scatters by more than this share of its reach is looked for
again, so many times wider."""
CLOSE_S, CLOSE_REACH_S, CLOSE_WANDER_S = (0.4e-3, 0.5e-3), 0.12e-3, 0.03e-3
"""The same of the fine alignment by waves, round the onset that the powers show."""
CELLS_LEVEL = 0.1
"""At which share of its peak a noise begins in the coarse cells."""
SOONER_S = 0.7e-3
"""The drop may be fainter than the banking that follows it so soon."""
AROUND_S = (1.2e-3, 0.7e-3)
LATER_S, LATER_SIGMAS, MOST_LATER_S = 0.3e-3, 2.0, 1.6e-3
"""What scatters from beat to beat was noticed early by some two standard deviations: so much later
it may begin."""
FAINT_APART_S = 0.27e-3
"""How far powers and waves are taken to lie apart about a noise that is faint (nine of ten such
were within 0.55 ms: experiments/README.md, once)."""
USUAL_SMEAR_S, EARLY_SHARE = 15e-6, 0.9
"""Beats that lie farther than this from where they belong (standard deviation) let their average
begin early, by this share of what it is more (fitted on the second simulator:
experiments/README.md)."""
CHANCE = 4.0
"""How far above chance a cell must stand: in standard deviations of a mean power."""
FAINT, STEP_S, STEP_LATE_S = 3.0, 0.4e-3, 50e-6
"""A noise whose mean power over the second does not reach so many times a cell's chance is placed
by the step that explains it best, which lies half way up and so much later."""
DRAWS = 16
"""Averages of beats drawn anew come after the first row."""
MOST_SOONER_S, MOST_CHANCE_S = 0.35e-3, 0.12e-3
"""An onset so long before the noise that was noticed, or so uncertain by chance, is mostly another
one's (experiments/README.md, measured once)."""
QUIET = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class NoiseOnset:
    """Where a noise begins in each row (s against the arrival, NaN where that is not clear).

    `own_s` : what of that is only which beats a row holds
    `alone_s` : where it begins by powers alone; `by_wave` : whether waves had a say in `at_s`
    `rise_s` : how long it takes from the level told to four times that; by powers alone, to half
        its peak
    `smear_s` : how far single beats may still lie from where they belong: what aligning by waves
        left of it as far as waves repeat, else what aligning by powers left
    `apart_s` : between what powers and waves show
    `late_s` : each beat's own lateness
    """

    at_s: Floats
    own_s: Floats
    alone_s: Floats
    by_wave: bool
    rise_s: float
    smear_s: float
    apart_s: float
    late_s: Floats


def noise_onset(side: SideBeats, near_s: float) -> NoiseOnset | None:
    """Return where the noise near `near_s` begins, None where it does not stand out."""
    best: NoiseOnset | None = None
    for wider in WIDTHS:
        found = aligned_powers(side, near_s, wider=wider)
        if found.wander_s > UNBOUND * REACH_S * wider:
            continue
        for later_s in latest_s(found.wander_s):
            coarse = coarse_onset(side, found, later_s=later_s)
            if coarse is None:
                continue
            onset = fine_onset(side, coarse)
            if is_astray(onset, near_s):
                continue
            best = onset
            if not coarse.faint:
                return best
    return best


def latest_s(wander_s: float) -> tuple[float, ...]:
    """Return how much later than it was noticed a noise may begin: first as usual, then by what
    its beats scatter."""
    smeared = float(np.clip(LATER_S + LATER_SIGMAS * wander_s, AROUND_S[1], MOST_LATER_S))
    return tuple(dict.fromkeys((AROUND_S[1], smeared)))


def is_astray(onset: NoiseOnset, near_s: float) -> bool:
    """Return whether something else in the room's noise was found instead."""
    sooner_s = near_s - float(onset.at_s[0])
    return sooner_s > MOST_SOONER_S or float(np.nanstd(onset.at_s[: 1 + DRAWS])) > MOST_CHANCE_S


@dataclass(frozen=True, slots=True, kw_only=True)
class AlignedPowers:
    """A noise aligned by powers: the samples `low` to `high` that hold it, the cell among them at
    which it was noticed (`near`), each row's mean powers above the background and how high chance
    alone reaches, each beat's lateness (samples)."""

    low: int
    high: int
    near: float
    power: Floats
    chance: Floats
    late: Floats
    wander_s: float
    smear_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CoarseOnset:
    """A noise aligned by powers, its onset in each row (samples from `low`; `spots`), and whether
    that is hardly above chance (`faint`)."""

    found: AlignedPowers
    spots: Floats
    faint: bool


def aligned_powers(side: SideBeats, near_s: float, *, wider: float) -> AlignedPowers:
    """Return the noise near `near_s` aligned by powers; what is taken of it is so many times
    wider."""
    rate_hz, step = side.rate_hz, side.step
    here = round(near_s * rate_hz + side.lead)
    low = max(0, here - round(BEFORE_S * wider * rate_hz))
    high = min(side.waves.shape[1], here + round(AFTER_S * wider * rate_hz))
    cells = side.powers[:, int(low / step) : int(high / step)]
    reach = round(REACH_S * wider * rate_hz / step)
    found = aligned(
        ByPower(cells, reach),
        side.along,
        start=likely_start(cells, side.along[1] * rate_hz / step),
        wander=WANDER_S * wider * rate_hz / step,
        reach=reach,
    )
    turned = turned_back(cells, np.rint(found.late).astype(np.intp))
    power = np.asarray(side.share @ turned, np.float64)
    floor = float(np.quantile(power[0], QUIET))
    return AlignedPowers(
        low=low,
        high=high,
        near=(here - low) / step,
        power=power - floor,
        chance=CHANCE * floor / np.sqrt(side.counts),
        late=found.late * step + side.offset,
        wander_s=found.wander * step / rate_hz,
        smear_s=found.smear * step / rate_hz,
    )


def likely_start(cells: Waves, uneven: Floats) -> Floats:
    """Return the first guess at each beat's lateness (cells): none, or what makes the noise come
    evenly; the one whose mean power stands out more."""
    even = -np.clip(uneven - uneven.mean(), -cells.shape[1] / 4, cells.shape[1] / 4)
    guesses = (np.zeros(even.size), even)
    means = [turned_back(cells, np.rint(each).astype(np.intp)).mean(axis=0) for each in guesses]
    peaked = [float(mean @ mean) for mean in means]
    return guesses[int(np.argmax(peaked))]


def coarse_onset(side: SideBeats, found: AlignedPowers, *, later_s: float) -> CoarseOnset | None:
    """Return where the aligned powers begin, None where they do not stand out."""
    rate_hz = side.rate_hz / side.step
    at, faint = power_onsets(found.power, found.near, rate_hz, chance=found.chance, later_s=later_s)
    if not np.isfinite(at[0]):
        return None
    return CoarseOnset(found=found, spots=(at + 0.5) * side.step, faint=faint)


def power_onsets(
    power: Floats, near: float, rate_hz: float, *, chance: Floats, later_s: float
) -> tuple[Floats, bool]:
    """Return where each row of mean powers begins to rise near a cell, NaN where it does not, and
    whether the noise is faint.

    Where a single cell's chance is no longer small against the noise, its beginning is not where a
    cell first stands out, but where a step explains the powers best.
    """
    at, top = steps(power, near, rate_hz, chance=chance, later_s=later_s)
    if top[0] < FAINT * chance[0]:
        return at - STEP_LATE_S * rate_hz, True
    return crossings(power, near, rate_hz, chance=chance, later_s=later_s).at, False


def steps(
    power: Floats, near: float, rate_hz: float, *, chance: Floats, later_s: float = AROUND_S[1]
) -> tuple[Floats, Floats]:
    """Return where each row steps up, NaN where it does not, and how high.

    The most probable place of a step in normal noise is where the sum of all that exceeds half its
    height begins to grow (Page 1954, Biometrika 41, 100-115).
    """
    low = max(0, int(near - AROUND_S[0] * rate_hz))
    part = power[:, low : int(near + later_s * rate_hz)]
    rows, width = np.arange(part.shape[0]), max(1, round(STEP_S * rate_hz))
    sums = np.cumsum(np.pad(part, ((0, 0), (1, 0))), axis=1)
    means = (sums[:, width:] - sums[:, :-width]) / width
    best = np.argmax(means, axis=1)
    top = means[rows, best]
    excess = sums - top[:, None] / 2 * np.arange(sums.shape[1])
    before = np.arange(sums.shape[1]) <= (best + width // 2)[:, None]
    at = np.argmin(np.where(before, excess, np.inf), axis=1).astype(np.float64)
    stands = (top > chance / np.sqrt(width)) & (at > 0)
    return np.where(stands, low + at, np.nan), top


def fine_onset(side: SideBeats, coarse: CoarseOnset) -> NoiseOnset:
    """Return where a noise begins, once the beats are aligned by their waves close to its onset."""
    rate_hz, found, near = side.rate_hz, coarse.found, float(coarse.spots[0])
    whole, spot = np.rint(found.late), round(near)
    part = turned_back(side.waves[:, found.low : found.high], whole.astype(np.intp))
    close = part[:, max(0, spot - round(CLOSE_S[0] * rate_hz)) : spot + round(CLOSE_S[1] * rate_hz)]
    reach = round(CLOSE_REACH_S * rate_hz)
    fine = aligned(
        ByWave(close, reach, noise=side.noise),
        side.along,
        start=np.zeros(side.along.shape[1]),
        wander=CLOSE_WANDER_S * rate_hz,
        reach=reach,
    )
    turn = np.rint(fine.late).astype(np.intp)
    alike = repeated(turned_back(close, turn), side.noise)
    first, last = close_around(near, rate_hz)
    rows, rest = turned_back(part, turn)[:, first:last], fine.late - turn
    began = began_at(side, rows, near - first, alike=alike, rest=rest)
    late = whole + fine.late
    mean, own = float(late.mean()), side.share @ (late - late.mean())
    missing = ~np.isfinite(began.at)
    lost = (coarse.faint and not began.by_wave) or missing[0]
    at = np.where(missing | lost, coarse.spots, began.at + first)
    smear_s = left_smear_s(found.smear_s, fine.smear / rate_hz, alike if began.by_wave else 0.0)
    from_s = (found.low - side.lead + mean + own) / rate_hz + early_s(smear_s)
    return NoiseOnset(
        at_s=from_s + at / rate_hz,
        own_s=own / rate_hz,
        alone_s=from_s + (began.alone + first) / rate_hz,
        by_wave=began.by_wave,
        rise_s=0.0 if lost else began.rise / rate_hz,
        smear_s=smear_s,
        apart_s=FAINT_APART_S if lost else began.apart / rate_hz,
        late_s=(late - late.mean()) / rate_hz,
    )


def left_smear_s(powers_s: float, waves_s: float, alike: float) -> float:
    """Return how far beats may still lie from where they belong, from what is left of it by powers
    and by waves, of whose energy the share `alike` repeats.

    Examples
    --------
    >>> left_smear_s(50e-6, 3e-6, 1.0), left_smear_s(50e-6, 3e-6, 0.0)
    (3e-06, 5e-05)
    """
    told = min(max(alike, 0.0), 1.0)
    return math.sqrt((1 - told) * powers_s**2 + told * waves_s**2)


def early_s(smear_s: float) -> float:
    """Return how much too early an average begins whose beats are smeared."""
    return EARLY_SHARE * max(0.0, smear_s - USUAL_SMEAR_S)


@dataclass(frozen=True, slots=True)
class Crossings:
    """Where each row reaches a tenth of its peak, and how much later half of it (columns)."""

    at: Floats
    rise: Floats


def crossings(
    power: Floats,
    near: float,
    rate_hz: float,
    *,
    chance: Floats | float,
    later_s: float = AROUND_S[1],
) -> Crossings:
    """Return where each row of powers begins to rise near a column, NaN where it does not.

    The peak is the highest within `PEAK_S` of where half of all there is is first reached.
    """
    low = max(0, int(near - AROUND_S[0] * rate_hz))
    part = power[:, low : int(near + later_s * rate_hz)]
    rows = np.arange(part.shape[0])
    half, top = peaks(part, rate_hz)
    level = np.maximum(CELLS_LEVEL * top, chance)
    first = np.maximum(half - round(SOONER_S * rate_hz), 0)
    at = rises_through(part, level, first, half)
    rise = half - at
    clear = (part[rows, half] >= level) & np.isfinite(at)
    return Crossings(np.where(clear, low + at, np.nan), np.where(clear, rise, np.nan))


def rises_through(
    part: Floats, level: Floats, first: NDArray[np.intp], last: NDArray[np.intp]
) -> Floats:
    """Return where each row first rises through its level from a column on, NaN if it never does.

    A row that is above its level there already is followed back to where it rose.
    """
    rows, columns = np.arange(part.shape[0]), np.arange(part.shape[1])
    below = part < level[:, None]
    back = np.where(below & (columns <= first[:, None]), columns, 0).max(axis=1)
    above = ~below & (columns > back[:, None]) & (columns <= last[:, None])
    at = np.argmax(above, axis=1)
    found = above.any(axis=1) & (at > 0) & below[rows, np.maximum(at - 1, 0)]
    return np.where(found, passed(part, at, level), np.nan)
