"""The beat by the middle of lift, which neither a wider swing nor a louder drop moves."""

import math

import numpy as np
from numpy.typing import NDArray

from sideshake.core.quantities import Measured
from sideshake.sound.beats import Beats
from sideshake.sound.clock import SampleClock
from sideshake.sound.line import LEAST_WEIGHT, BeatLine, fit_line
from sideshake.sound.listener import Heard
from sideshake.timing.amplitude import Swing
from sideshake.timing.scatter import slope_uncertainty

Floats = NDArray[np.float64]

LEAST_FOR_SLOPE = 6
UNSEEN_SHARE, UNSEEN_S, PLACED_SHARE = 3.3e-4, 30.0, 0.6
"""How far the drop moves against the middle of lift, as a share of the beat (standard deviation),
where nobody knows how the amplitude drifted: some 1.5 degrees at 200 degrees (our assumption), in
half a minute and no more in longer. What is placed without being sure tells a part of it."""


def middle_beat(heard: Heard, swings: list[Swing], clock: SampleClock, *, sure: bool) -> Measured:
    """Return one beat in true seconds, from one passage of the middle of lift to the next.

    The arrivals follow the loudest noise, mostly the drop, which comes the sooner after the middle
    the wider the balance swings: while the amplitude grows, a watch seems to gain by them.
    """
    beats = heard.beats
    index = beats.index.astype(np.float64)
    drift, at_s = middle_drift(beats, swings)
    line = fit_line(index, beats.side, at_s)
    slope = slope_beat(beats, line, at_s - line.at(index, beats.side))
    unseen = 0.0 if sure else unseen_u(beats, line.beat, placed=bool(swings))
    u = math.hypot(slope.u, math.hypot(drift.u, unseen) * line.beat)
    return Measured(clock.true_s(line.beat * (1 + drift.value)), u)


def middle_drift(beats: Beats, swings: list[Swing]) -> tuple[Measured, Floats]:
    """Return how fast the middle of lift moves against the arrivals (s a s), and when the beats
    come, the middle's own moving within each page taken in but for that drift.

    On each page the middle is told apart from its mean there, which hangs on where the onsets are
    said to be; so the drift is that within the pages. With one page its uncertainty is in the
    beats' scatter, and in what tick and tock contradict each other by.
    """
    at_s = beats.arrival_s.copy()
    slopes, apart2 = [], []
    for swing in swings:
        here = (beats.arrival_s > swing.start_s) & (beats.arrival_s <= swing.end_s)
        if np.count_nonzero(here) < LEAST_FOR_SLOPE:
            continue
        since_s = beats.arrival_s[here] - beats.arrival_s[here].mean()
        slope = float(since_s @ beats.middle_s[here] / (since_s @ since_s))
        at_s[here] += beats.middle_s[here] - slope * since_s
        slopes.append(slope)
        apart2.append(sides_apart(beats.part(here)) ** 2)
    if not slopes:
        return Measured(0.0), at_s
    spread = float(np.std(slopes, ddof=1)) if len(slopes) > 1 else 0.0
    u = math.hypot(spread, math.sqrt(float(np.mean(apart2))) / 2) / math.sqrt(len(slopes))
    return Measured(float(np.mean(slopes)), u), at_s


def sides_apart(beats: Beats) -> float:
    """Return by how much the middle's drift (s a s) differs between tick and tock, above chance.

    One balance works both: what they do not share is an error of one of them, as where a faint
    noise was followed from one wave to the next.
    """
    slopes, chance2 = [], 0.0
    for side in (0, 1):
        own = beats.part(beats.side == side)
        if own.count < LEAST_FOR_SLOPE:
            return 0.0
        since_s = own.arrival_s - own.arrival_s.mean()
        squares = float(since_s @ since_s)
        slopes.append(float(since_s @ own.middle_s) / squares)
        rest = own.middle_s - own.middle_s.mean() - slopes[-1] * since_s
        chance2 += float(rest @ rest) / (own.count - 2) / squares
    return math.sqrt(max(0.0, (slopes[0] - slopes[1]) ** 2 - chance2))


def slope_beat(beats: Beats, line: BeatLine, rest: Floats) -> Measured:
    """Return one beat by the recorder's count, uncertain by the beats' scatter about the line."""
    sound = line.weight > LEAST_WEIGHT
    return Measured(line.beat, slope_uncertainty(beats.index[sound], rest[sound]))


def unseen_u(beats: Beats, beat_s: float, *, placed: bool) -> float:
    """Return the standard uncertainty (s a s) from a drift of the amplitude that nobody saw.

    Where two noises were placed, without its being sure which they are, some of it was seen.
    """
    share = PLACED_SHARE if placed else 1.0
    return share * UNSEEN_SHARE * beat_s / max(UNSEEN_S, float(np.ptp(beats.arrival_s)))
