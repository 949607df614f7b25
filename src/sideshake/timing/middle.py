"""The beat by the middle of lift, which neither a wider swing nor a louder drop moves."""

import math

import numpy as np
from numpy.typing import NDArray

from sideshake.quantities import Measured
from sideshake.sound.beats import Beats
from sideshake.sound.clock import SampleClock
from sideshake.sound.line import Line, fit_line
from sideshake.sound.listener import Heard
from sideshake.timing.amplitude import Swing
from sideshake.timing.scatter import slope_uncertainty

Floats = NDArray[np.float64]

LEAST_WEIGHT = 1e-6
UNSEEN_DRIFT, UNSEEN_S, PLACED_SHARE = 1.5e-6, 30.0, 0.6
"""Standard uncertainty (s a s) of a beat where nobody knows how the amplitude drifted: one degree
in half a minute at 200 degrees and 18 000 beats an hour (our assumption), and no more in longer."""


def middle_beat(heard: Heard, swings: list[Swing], clock: SampleClock, *, sure: bool) -> Measured:
    """Return one beat in true seconds, from one passage of the middle of lift to the next.

    The arrivals follow the loudest noise, mostly the drop, which comes the sooner after the middle
    the wider the balance swings: while the amplitude grows, a watch seems to gain by them.
    """
    beats = heard.beats
    index = beats.index.astype(np.float64)
    at_s = beats.arrival_s + beats.middle_s + page_middles_s(beats.arrival_s, swings)
    line = fit_line(index, beats.side, at_s)
    slope = slope_beat(beats, line, at_s - line.at(index, beats.side))
    unseen = 0.0 if sure else unseen_u(beats, placed=bool(swings))
    u = math.hypot(slope.u, math.hypot(middle_u(swings), unseen) * line.beat)
    return Measured(clock.true_s(line.beat), u)


def slope_beat(beats: Beats, line: Line, rest: Floats) -> Measured:
    """Return one beat by the recorder's count, uncertain by the beats' scatter about the line."""
    sound = line.weight > LEAST_WEIGHT
    return Measured(line.beat, slope_uncertainty(beats.index[sound], rest[sound]))


def page_middles_s(at_s: Floats, swings: list[Swing]) -> Floats:
    """Return how much later than usual the middle of lift comes on the page of each beat (s)."""
    late_s = np.zeros(at_s.size)
    if len(swings) < 2:
        return late_s
    usual = float(np.mean([swing.middle_s.value for swing in swings]))
    for swing in swings:
        late_s[(at_s > swing.start_s) & (at_s <= swing.end_s)] = swing.middle_s.value - usual
    return late_s


def middle_u(swings: list[Swing]) -> float:
    """Return the standard uncertainty (s a s) that the scatter about the line does not show."""
    if len(swings) < 2:
        return 0.0
    at_s = np.array([(swing.start_s + swing.end_s) / 2 for swing in swings])
    own2 = float(np.mean([swing.middle_s.u**2 for swing in swings]))
    return math.sqrt(own2 / float(np.sum((at_s - at_s.mean()) ** 2)))


def unseen_u(beats: Beats, *, placed: bool) -> float:
    """Return the standard uncertainty (s a s) from a drift of the amplitude that nobody saw.

    Where two noises were placed, without its being sure which they are, some of it was seen.
    """
    share = PLACED_SHARE if placed else 1.0
    return share * UNSEEN_DRIFT * min(1.0, UNSEEN_S / max(float(np.ptp(beats.arrival_s)), 1.0))
