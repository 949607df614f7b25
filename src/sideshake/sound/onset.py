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
from scipy.ndimage import grey_closing

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
"""What scatters by more than this share of its reach is looked for again, so many times wider."""
CLOSE_S, CLOSE_REACH_S, CLOSE_WANDER_S = (0.4e-3, 0.5e-3), 0.12e-3, 0.03e-3
"""The same of the fine alignment by waves, round the onset that the powers show."""
LEVEL = 0.1
HALF = 0.5
PEAK_S = 0.25e-3
DIP_S = 0.25e-3
"""Two resonances that beat against each other leave dips so long at most within one noise."""
AROUND_S = (0.8e-3, 0.7e-3)
SMEAR_LEAD = 0.4
"""How much too early (in standard deviations) a smeared noise reaches that level: 1.28 for a step
that is smeared normally; the fine alignment takes most of that back: design/onset.py."""
CHANCE = 4.0
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
    if found is not None and found.wander_s > UNBOUND * REACH_S:
        found = coarse_onset(side, near_s, wider=WIDER)
    return None if found is None else fine_onset(side, found)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoarseOnset:
    """A noise aligned by powers: the samples `low` to `high` that hold it, its onset `spot` among
    them, and each beat's lateness (samples)."""

    low: int
    high: int
    spot: float
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
    power = turned_back(cells, np.rint(found.late).astype(np.intp)).mean(axis=0)
    floor = float(np.quantile(power, QUIET))
    chance = CHANCE * floor / np.sqrt(side.times_s.size)
    first = crossings((power - floor)[None, :], (here - low) / step, rate_hz / step, chance=chance)
    if not np.isfinite(first.at[0]):
        return None
    return CoarseOnset(
        low=low,
        high=high,
        spot=(float(first.at[0]) + 0.5) * step,
        late=found.late * step + side.offset,
        wander_s=found.wander * step / rate_hz,
        smear_s=found.smear * step / rate_hz,
    )


def fine_onset(side: Side, coarse: CoarseOnset) -> NoiseOnset:
    """Return where a noise begins, once the beats are aligned by their waves close to its onset."""
    rate_hz, spot = side.rate_hz, round(coarse.spot)
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
    noise = 2 * side.noise / side.counts
    found = crossings(
        fine_power(side.share @ waves) - noise[:, None],
        spot * FINER,
        rate_hz * FINER,
        chance=CHANCE * noise,
    )
    late = whole + fine.late
    own = side.share @ (late - late.mean())
    return NoiseOnset(
        at_s=(found.at / FINER + coarse.low - side.lead + own) / rate_hz
        + SMEAR_LEAD * coarse.smear_s,
        rise_s=float(found.rise[0]) / FINER / rate_hz,
        smear_s=coarse.smear_s,
        apart_s=abs(float(found.at[0]) / FINER - coarse.spot) / rate_hz,
        late_s=(late - late.mean()) / rate_hz,
    )


@dataclass(frozen=True, slots=True)
class Crossings:
    """Where each row reaches a tenth of its peak, and how much later half of it (columns)."""

    at: Floats
    rise: Floats


def crossings(power: Floats, near: float, rate_hz: float, *, chance: Floats | float) -> Crossings:
    """Return where each row of powers begins to rise near a column, NaN where it does not.

    The peak is the highest within `PEAK_S` of where half of all there is is first reached; from
    there it is gone back to the last column below the level.
    """
    low = max(0, int(near - AROUND_S[0] * rate_hz))
    part = power[:, low : int(near + AROUND_S[1] * rate_hz)]
    rows = np.arange(part.shape[0])
    half = np.argmax(part >= HALF * part.max(axis=1, keepdims=True), axis=1)
    columns = np.arange(part.shape[1])
    ahead = (columns >= half[:, None]) & (columns < half[:, None] + PEAK_S * rate_hz)
    top = np.where(ahead, part, -np.inf).max(axis=1)
    level = np.maximum(LEVEL * top, chance)
    bridged = grey_closing(part, size=(1, max(2, round(DIP_S * rate_hz))))
    at = last_below(part, bridged, level, half)
    rise = half - at
    clear = (part[rows, half] >= level) & np.isfinite(at)
    return Crossings(np.where(clear, low + at, np.nan), np.where(clear, rise, np.nan))


def last_below(part: Floats, bridged: Floats, level: Floats, before: NDArray[np.intp]) -> Floats:
    """Return where each row last rises through its level before a column, NaN if it never does."""
    rows, columns = np.arange(part.shape[0]), np.arange(part.shape[1])
    below = (bridged < level[:, None]) & (columns < np.maximum(before, 1)[:, None])
    last = part.shape[1] - 1 - np.argmax(below[:, ::-1], axis=1)
    last = np.minimum(last, part.shape[1] - 2)
    left, right = part[rows, last], part[rows, last + 1]
    share = (level - left) / np.where(right > left, right - left, 1.0)
    return np.where(below.any(axis=1), last + np.clip(share, 0, 1), np.nan)


def fine_power(averages: Waves) -> Floats:
    """Return the squared envelope (analytic signal) of each row, four values per sample."""
    size = averages.shape[1]
    spectrum = fft.rfft(averages, axis=1)
    full = np.zeros((averages.shape[0], size * FINER), np.complex64)
    full[:, : spectrum.shape[1]] = 2 * FINER * spectrum
    wave = fft.ifft(full, axis=1)
    return np.asarray(wave.real**2 + wave.imag**2, np.float64)
