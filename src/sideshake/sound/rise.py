"""Where powers first stand out: the first rise of aligned beats, row by row.

The lower the level, the less it matters how a noise swells; so it is asked for at a small share of
the peak, or as low as chance allows.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.sound.windows import Waves

Floats = NDArray[np.float64]

HALF = 0.5
PEAK_S = 0.25e-3
STEEP = 4.0
"""How steep a noise begins is told by when it is so many times as loud."""
PAUSE_S, CLOSE_AROUND_S = 0.35e-3, (0.6e-3, 0.7e-3)
"""A noise may pause so long at its beginning (two resonances beat); how far round the coarse onset
it is looked for."""
GROUPS, LEAST_IN_GROUP, LEAST_GROUPS = 7, 5, 3
"""Mean powers of what does not repeat are medians over so many groups of beats, if each has so many
and there are so many groups."""
KEPT, LEAST_CUT = 0.8, 15
KEPT_MEAN = 0.438
"""Of so many beats or more, the loudest fifth in each column is left out of mean powers; of squares
of normal numbers so much is left of the mean (0.8 - 2 z f(z), over 0.8, at z = 1.2816)."""


def middle_means(share: Waves, rows: Waves) -> Floats:
    """Return for each row of `share` the median over groups of the rows' weighted means: a few
    beats that lie elsewhere change nothing."""
    groups = min(GROUPS, rows.shape[0] // LEAST_IN_GROUP)
    if groups < LEAST_GROUPS:
        return np.asarray(share @ rows, np.float64)
    means = []
    for first in range(groups):
        own = share[:, first::groups]
        total = own.sum(axis=1, keepdims=True)
        means.append(np.where(total > 0, own, 1.0) @ rows[first::groups])
        means[-1] /= np.where(total > 0, total, own.shape[1])
    return np.asarray(np.median(means, axis=0), np.float64)


def cut_means(share: Waves, rows: Waves) -> tuple[Floats, float]:
    """Return for each row of `share` the rows' weighted means without each column's loudest, and
    what is left so of the mean of a background: a few beats that lie elsewhere change nothing."""
    count = rows.shape[0]
    if count < LEAST_CUT:
        return np.asarray(share @ rows, np.float64), 1.0
    least = round(KEPT * count) - 1
    kept = rows <= np.partition(rows, least, axis=0)[least]
    weight = share @ kept.astype(share.dtype)
    return np.asarray(share @ (rows * kept), np.float64) / np.maximum(weight, 1e-6), KEPT_MEAN


@dataclass(frozen=True, slots=True)
class Rises:
    """Where each row begins, how much later it is `STEEP` times as loud, and how much later it is
    half as loud as it gets (`slow`; columns)."""

    at: Floats
    rise: Floats
    slow: Floats

    def columns(self, scale: float) -> "Rises":
        """Return the same in columns of another grid, so many of them to one here."""
        return Rises(self.at * scale, self.rise * scale, self.slow * scale)


def close_around(near: float, rate_hz: float) -> tuple[int, int]:
    """Return the first column that is looked at round another, and that after the last."""
    return max(0, int(near - CLOSE_AROUND_S[0] * rate_hz)), int(near + CLOSE_AROUND_S[1] * rate_hz)


def first_rises(
    power: Floats, near: float, rate_hz: float, *, level: float, chance: Floats
) -> Rises:
    """Return where each row of powers first stands at a share of its peak near a column.

    What was that loud before stays so but for pauses shorter than `PAUSE_S`: a wave passes through
    nought, a noise may be two. The peak is the highest within `PEAK_S` of where half of all there
    is near is first reached.
    """
    low, high = close_around(near, rate_hz)
    part = power[:, low:high]
    rows, columns = np.arange(part.shape[0]), np.arange(part.shape[1])
    half, top = peaks(part, rate_hz)
    least = np.maximum(level * top, chance)[:, None]
    loud = (part >= least) & (columns <= half[:, None])
    last = np.maximum.accumulate(np.where(loud, columns, -part.shape[1]), axis=1)
    since = columns - np.pad(last, ((0, 0), (1, 0)), constant_values=-part.shape[1])[:, :-1]
    begins = loud & (since > PAUSE_S * rate_hz)
    at = np.where(begins, columns, 0).max(axis=1)
    place = passed(part, at, least[:, 0])
    steeper = np.minimum(STEEP * least[:, 0], HALF * part[rows, half])
    later = np.argmax((part >= steeper[:, None]) & (columns >= at[:, None]), axis=1)
    rise = passed(part, later, steeper) - place
    clear = (at > 0) & (part[rows, half] >= least[:, 0])
    return Rises(*(np.where(clear, each, np.nan) for each in (low + place, rise, half - place)))


def peaks(part: Floats, rate_hz: float) -> tuple[NDArray[np.intp], Floats]:
    """Return where each row first reaches half of all there is, and its peak: the highest within
    `PEAK_S` of that."""
    columns = np.arange(part.shape[1])
    half = np.argmax(part >= HALF * part.max(axis=1, keepdims=True), axis=1)
    ahead = (columns >= half[:, None]) & (columns < half[:, None] + PEAK_S * rate_hz)
    return half, np.where(ahead, part, -np.inf).max(axis=1)


def passed(part: Floats, column: NDArray[np.intp], level: Floats) -> Floats:
    """Return where each row passes its level on the way to a column."""
    rows = np.arange(part.shape[0])
    left, right = part[rows, np.maximum(column - 1, 0)], part[rows, column]
    share = (level - left) / np.where(right > left, right - left, 1.0)
    return np.asarray(column - 1 + np.clip(share, 0, 1))
