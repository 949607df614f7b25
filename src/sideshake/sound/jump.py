"""Where the beats of a sound jump: it was cut and joined there, or sound was lost.

Before and after the jump the beat is the same and stands elsewhere. So the loudness is folded over
a period in two parts, and the period and the parting whose two folds stand out most are taken.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.core.errors import NotEnough
from sideshake.sound.tempo import (
    CLIP_QUANTILE,
    LONGEST_LAG_S,
    USED_SHARE,
    autocorrelation,
    candidate_periods,
    chance_sigma,
    comb_scores,
    levelled,
)

Floats = NDArray[np.float64]

LEAST_TURNS = 2
"""A part holds at least so many periods."""
LEAST_SIGMAS = 4.0
"""Each part repeats, so the whole stands out too; of noise and rain 13 % do
(experiments/tempo.py)."""
NEAR, TRIES = 0.02, 161
"""How far from the best period of the whole, which the jump has led astray, is looked."""
LEAST_JUMP_S = 8e-3
"""Less is no jump that keeps beats from being heard: windows reach 6 ms to either side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Jump:
    """Beats go on evenly at `on_s` where they leave off at `at_s`; `by_s` is how far they jump."""

    at_s: float
    on_s: float
    by_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Parting:
    """The period (frames) and parting that stand out most, and the fold of each part."""

    period: float
    turn: int
    before: Floats
    after: Floats


def without_jump(loudness: Floats, frame_s: float) -> Jump | None:
    """Return the jump most likely in `loudness` (shape (frames,)), None if there is none.

    That there is one at all must be shown by hearing the sound without it.
    """
    if not loudness.size:
        return None
    try:
        course = levelled(loudness, frame_s, CLIP_QUANTILE)
        found = parted(course, best_period(course, frame_s))
    except NotEnough:
        return None
    size = found.before.size
    likeness = fft.irfft(np.conj(fft.rfft(found.before)) * fft.rfft(found.after), size)
    late = int(np.argmax(likeness))
    by_s = min(late, size - late) * frame_s
    if by_s < LEAST_JUMP_S:
        return None
    quiet = int(np.argmin(found.before))
    at = round(found.turn * found.period) + quiet
    return Jump(at_s=at * frame_s, on_s=(at + late) * frame_s, by_s=by_s)


def best_period(course: Floats, frame_s: float) -> float:
    """Return the period (frames) that a comb finds, believed or not.

    Raises
    ------
    NotEnough : none stands out at all
    """
    longest = min(LONGEST_LAG_S / frame_s, USED_SHARE * course.size)
    periods = candidate_periods(longest, frame_s, None)
    likeness = autocorrelation(course)
    scores = comb_scores(likeness, periods, longest)
    if scores.max() < LEAST_SIGMAS * chance_sigma(likeness, longest):
        raise NotEnough("nothing repeats")
    return float(periods[int(np.argmax(scores))])


def parted(course: Floats, period: float) -> Parting:
    """Return the best parting near a period.

    Raises
    ------
    NotEnough : too short for two parts
    """
    found = [part(course, each) for each in period * (1 + np.linspace(-NEAR, NEAR, TRIES))]
    return max(found, key=lambda each: each[0])[1]


def part(course: Floats, period: float) -> tuple[float, Parting]:
    """Return how far the two folds of the best parting stand out, and that parting."""
    turns = smooth(every_turn(course, period))
    count = turns.shape[0]
    if count < 2 * LEAST_TURNS:
        raise NotEnough("too short for two parts")
    sums = np.cumsum(turns, axis=0)
    first = np.arange(LEAST_TURNS, count - LEAST_TURNS + 1)[:, None]
    before, after = sums[first[:, 0] - 1] / first, (sums[-1] - sums[first[:, 0] - 1])
    after = after / (count - first)
    relief = first[:, 0] * before.var(axis=1) + (count - first[:, 0]) * after.var(axis=1)
    best = int(np.argmax(relief))
    return float(relief[best]) / turns.size, Parting(
        period=period, turn=int(first[best, 0]), before=before[best], after=after[best]
    )


def every_turn(course: Floats, period: float) -> Floats:
    """Return the course cut into whole periods (frames), the last one too."""
    width = round(period)
    at = np.rint(np.arange(int((course.size - width) / period) + 1) * period).astype(np.intp)
    return np.asarray(course[at[:, None] + np.arange(width)])


def smooth(turns: Floats) -> Floats:
    """Return each turn smoothed over five frames."""
    wide = np.pad(turns, ((0, 0), (2, 2)), mode="wrap")
    return np.asarray(sum(wide[:, k : k + turns.shape[1]] for k in range(5)) / 5)
