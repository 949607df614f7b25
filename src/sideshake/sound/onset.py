"""Where one noise of the tick begins, to a fraction of a sample, averaged over beats.

The beats are first aligned to each other at this noise alone: coarsely by their powers, which also
serves where waves do not repeat, then finely by their waves close to the onset. The noise begins
where the power of the average first reaches a tenth of its peak.
Rows are averages: of all beats, of bootstrap draws, of groups in time.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.sound.align import ByPower, ByWave, aligned
from sideshake.sound.average import turned_back
from sideshake.sound.windows import Waves

Floats = NDArray[np.float64]

BEFORE_S, AFTER_S = 1.8e-3, 2.0e-3
"""What is taken of a noise, before and after it seems to begin."""
REACH_S, WANDER_S = 1.2e-3, 0.15e-3
"""How far a beat's noise is looked for from the mean of all, and how far it is thought to scatter
before that is known."""
UNBOUND, WIDER = 0.35, 2.0
"""What is not found, or scatters by more than this share of its reach, is looked for again, so many
times wider."""
CLOSE_S, CLOSE_REACH_S, CLOSE_WANDER_S = (0.4e-3, 0.5e-3), 0.12e-3, 0.03e-3
"""The same of the fine alignment by waves, round the onset that the powers show."""
LEVEL = 0.1
HALF = 0.5
PEAK_S = 0.25e-3
SOONER_S = 0.7e-3
"""The drop may be fainter than the banking that follows it so soon."""
AROUND_S = (1.2e-3, 0.7e-3)
SMEAR_LEAD = 0.4
"""How much too early (in standard deviations) a smeared noise reaches that level: 1.28 for a step
that is smeared normally; the fine alignment takes most of that back: design/onset.py."""
LEAST_ALIKE = 0.38
"""Waves of which less than this share of the energy is left in their average do not repeat: noise
alone, aligned to itself, leaves 0.22 to 0.37; waves that repeat, 0.9 and more."""
POWER_CELLS, FAINT_APART_S = 2.0, 0.2e-3
"""How far an onset by powers alone is taken to lie from one by waves: so many cells, and where the
noise is faint so long (nine of ten such were within 0.55 ms: design/README.md, once)."""
CHANCE, CHANCE_OF_WAVES = 4.0, 8.0
"""How far above chance the level must stand: in standard deviations of a mean power, and in means
of what is left of the background in an average of waves."""
FAINT, STEP_S, STEP_LATE_S = 3.0, 0.4e-3, 50e-6
"""A noise whose mean power over the second does not reach so many times a cell's chance is placed
by the step that explains it best, which lies half way up and so much later."""
DRAWS = 16
"""Averages of beats drawn anew come after the first row."""
MOST_SOONER_S, MOST_CHANCE_S = 0.35e-3, 0.12e-3
"""An onset so long before the noise that was noticed, or so uncertain by chance, is mostly another
one's (design/README.md, measured once)."""
MOST_APART_S = 0.15e-3
"""Where powers and waves show onsets farther apart, the waves have missed a part of the noise that
does not repeat, or found one that is none: of eight such all were right by powers."""
FINER = 4
QUIET = 0.15


@dataclass(frozen=True, slots=True)
class Side:
    """The beats of one side, turned to a common arrival.

    `waves` : shape (beats, samples); `powers` : (beats, cells) of `step` samples each, background 1
    `offset` : how many samples more a beat's powers were turned back than its waves
    `lead` : samples before the arrival; `times_s` : when the beats come
    `share` : what each beat counts in each row; `counts` : beats in each row
    `noise` : variance of the background in a sample
    """

    waves: Waves
    powers: Waves
    step: float
    offset: Floats
    lead: int
    times_s: Floats
    share: Waves
    counts: Floats
    noise: float
    rate_hz: int


@dataclass(frozen=True, slots=True, kw_only=True)
class NoiseOnset:
    """Where a noise begins in each row (s against the arrival, NaN where that is not clear).

    `rise_s` : how long it takes from the level told to half its peak
    `smear_s` : how far single beats may still lie from where they belong
    `apart_s` : between what powers and waves show
    `late_s` : each beat's own lateness
    """

    at_s: Floats
    rise_s: float
    smear_s: float
    apart_s: float
    late_s: Floats


def noise_onset(side: Side, near_s: float) -> NoiseOnset | None:
    """Return where the noise near `near_s` begins, None where it does not stand out."""
    found = coarse_onset(side, near_s, wider=1.0)
    if found is None or found.wander_s > UNBOUND * REACH_S:
        found = coarse_onset(side, near_s, wider=WIDER)
    onset = None if found is None else fine_onset(side, found)
    return None if onset is None or is_astray(onset, near_s) else onset


def is_astray(onset: NoiseOnset, near_s: float) -> bool:
    """Return whether something else in the room's noise was found instead."""
    sooner_s = near_s - float(onset.at_s[0])
    return sooner_s > MOST_SOONER_S or float(np.nanstd(onset.at_s[: 1 + DRAWS])) > MOST_CHANCE_S


@dataclass(frozen=True, slots=True, kw_only=True)
class CoarseOnset:
    """A noise aligned by powers: the samples `low` to `high` that hold it, its onset in each row
    among them (`spots`), whether that is hardly above chance (`faint`), and each beat's lateness
    (samples)."""

    low: int
    high: int
    spots: Floats
    faint: bool
    late: Floats
    wander_s: float
    smear_s: float


def coarse_onset(side: Side, near_s: float, *, wider: float) -> CoarseOnset | None:
    """Return the noise aligned by powers; what is taken of it is so many times wider."""
    rate_hz, step = side.rate_hz, side.step
    here = round(near_s * rate_hz) + side.lead
    low = max(0, here - round(BEFORE_S * wider * rate_hz))
    high = min(side.waves.shape[1], here + round(AFTER_S * wider * rate_hz))
    cells = side.powers[:, int(low / step) : int(high / step)]
    reach = round(REACH_S * wider * rate_hz / step)
    found = aligned(
        ByPower(cells, reach),
        side.times_s,
        start=np.zeros(side.times_s.size),
        wander=WANDER_S * wider * rate_hz / step,
        reach=reach,
    )
    turned = turned_back(cells, np.rint(found.late).astype(np.intp))
    power = np.asarray(side.share @ turned, np.float64)
    floor = float(np.quantile(power[0], QUIET))
    chance = CHANCE * floor / np.sqrt(side.counts)
    at, faint = power_onsets(power - floor, (here - low) / step, rate_hz / step, chance=chance)
    if not np.isfinite(at[0]):
        return None
    return CoarseOnset(
        low=low,
        high=high,
        spots=(at + 0.5) * step,
        faint=faint,
        late=found.late * step + side.offset,
        wander_s=found.wander * step / rate_hz,
        smear_s=found.smear * step / rate_hz,
    )


def power_onsets(
    power: Floats, near: float, rate_hz: float, *, chance: Floats
) -> tuple[Floats, bool]:
    """Return where each row of mean powers begins to rise near a cell, NaN where it does not, and
    whether the noise is faint.

    Where a single cell's chance is no longer small against the noise, its beginning is not where a
    cell first stands out, but where a step explains the powers best.
    """
    at, top = steps(power, near, rate_hz, chance=chance)
    if top[0] < FAINT * chance[0]:
        return at - STEP_LATE_S * rate_hz, True
    return crossings(power, near, rate_hz, chance=chance).at, False


def steps(power: Floats, near: float, rate_hz: float, *, chance: Floats) -> tuple[Floats, Floats]:
    """Return where each row steps up, NaN where it does not, and how high.

    The most probable place of a step in normal noise is where the sum of all that exceeds half its
    height begins to grow (Page 1954, Biometrika 41, 100-115).
    """
    low = max(0, int(near - AROUND_S[0] * rate_hz))
    part = power[:, low : int(near + AROUND_S[1] * rate_hz)]
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


def fine_onset(side: Side, coarse: CoarseOnset) -> NoiseOnset:
    """Return where a noise begins, once the beats are aligned by their waves close to its onset."""
    rate_hz, spot = side.rate_hz, round(float(coarse.spots[0]))
    whole = np.rint(coarse.late)
    part = turned_back(side.waves[:, coarse.low : coarse.high], whole.astype(np.intp))
    close = part[:, max(0, spot - round(CLOSE_S[0] * rate_hz)) : spot + round(CLOSE_S[1] * rate_hz)]
    reach = round(CLOSE_REACH_S * rate_hz)
    fine = aligned(
        ByWave(close, reach, noise=side.noise),
        side.times_s,
        start=np.zeros(side.times_s.size),
        wander=CLOSE_WANDER_S * rate_hz,
        reach=reach,
    )
    waves = turned_back(part, np.rint(fine.late).astype(np.intp))
    alike = repeated(turned_back(close, np.rint(fine.late).astype(np.intp)), side.noise)
    noise = 2 * side.noise / side.counts
    found = crossings(
        fine_power(side.share @ waves) - noise[:, None],
        spot * FINER,
        rate_hz * FINER,
        chance=CHANCE_OF_WAVES * noise,
    )
    apart = abs(float(found.at[0] / FINER - coarse.spots[0]))
    by_wave = alike > LEAST_ALIKE and apart < MOST_APART_S * rate_hz
    at = found.at / FINER if by_wave else coarse.spots
    at = np.where(np.isfinite(at), at, coarse.spots)
    if not by_wave:
        apart = FAINT_APART_S * rate_hz if coarse.faint else POWER_CELLS * side.step
    late = whole + fine.late
    own = side.share @ (late - late.mean())
    return NoiseOnset(
        at_s=(at + coarse.low - side.lead + own) / rate_hz + SMEAR_LEAD * coarse.smear_s,
        rise_s=float(found.rise[0]) / FINER / rate_hz if by_wave else 0.0,
        smear_s=coarse.smear_s,
        apart_s=apart / rate_hz,
        late_s=(late - late.mean()) / rate_hz,
    )


def repeated(rows: Waves, noise: float) -> float:
    """Return the share of the rows' energy, less background, that is left in their average."""
    count, columns = rows.shape
    mean = rows.mean(axis=0)
    single = float(np.vdot(rows, rows)) / count - noise * columns
    average = (count * float(mean @ mean) - single - noise * columns) / max(1, count - 1)
    return average / single if single > 0 else 0.0


@dataclass(frozen=True, slots=True)
class Crossings:
    """Where each row reaches a tenth of its peak, and how much later half of it (columns)."""

    at: Floats
    rise: Floats


def crossings(power: Floats, near: float, rate_hz: float, *, chance: Floats | float) -> Crossings:
    """Return where each row of powers begins to rise near a column, NaN where it does not.

    The peak is the highest within `PEAK_S` of where half of all there is is first reached.
    """
    low = max(0, int(near - AROUND_S[0] * rate_hz))
    part = power[:, low : int(near + AROUND_S[1] * rate_hz)]
    rows = np.arange(part.shape[0])
    half = np.argmax(part >= HALF * part.max(axis=1, keepdims=True), axis=1)
    columns = np.arange(part.shape[1])
    ahead = (columns >= half[:, None]) & (columns < half[:, None] + PEAK_S * rate_hz)
    top = np.where(ahead, part, -np.inf).max(axis=1)
    level = np.maximum(LEVEL * top, chance)
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
    left, right = part[rows, np.maximum(at - 1, 0)], part[rows, at]
    share = (level - left) / np.where(right > left, right - left, 1.0)
    found = above.any(axis=1) & (at > 0) & below[rows, np.maximum(at - 1, 0)]
    return np.where(found, at - 1 + np.clip(share, 0, 1), np.nan)


def fine_power(averages: Waves) -> Floats:
    """Return the squared envelope (analytic signal) of each row, four values per sample."""
    size = averages.shape[1]
    spectrum = fft.rfft(averages, axis=1)
    full = np.zeros((averages.shape[0], size * FINER), np.complex64)
    full[:, : spectrum.shape[1]] = 2 * FINER * spectrum
    wave = fft.ifft(full, axis=1)
    return np.asarray(wave.real**2 + wave.imag**2, np.float64)
