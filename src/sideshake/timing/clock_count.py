"""A recorder's clock by counting: how many samples have come, against when they had come.

Each count is a little late, now more, now less, never early; over minutes that evens out.
"""

import math

import numpy as np
from numpy.typing import NDArray

from sideshake.errors import InputError, NotEnough
from sideshake.quantities import Measured
from sideshake.sound.clock import SampleClock
from sideshake.sound.line import fit_line
from sideshake.timing.clock_check import Found, How, require_reference
from sideshake.timing.scatter import slope_uncertainty

Floats = NDArray[np.float64]

LEAST_COUNTS, LEAST_S = 30, 20.0
LEAST_WEIGHT = 1e-6
CRYSTAL_MOST_PPM = 200.0
"""No sound card's crystal is further off (from memory of the trade); lost sound looks like that."""


def clock_from_counts(
    counts: NDArray[np.int64], at_s: Floats, *, rate_hz: float, within_ppm: float
) -> Found:
    """Return the clock that counted samples, against a clock that is right within `within_ppm`.

    Parameters
    ----------
    counts : shape (n,), samples that had come, rising
    at_s : shape (n,), when (s), by the other clock
    rate_hz : samples a second by the recorder's own word
    within_ppm : 0 to 50

    Raises
    ------
    NotEnough : too few counts; or so far off that sound must have been lost
    InputError : counts that do not rise, or another clock that cannot judge
    """
    require_reference(within_ppm)
    if counts.shape != at_s.shape or np.any(np.diff(counts) <= 0):
        raise InputError("each count needs its time, and counts must rise")
    counted_s = counts / rate_hz
    if counts.size < LEAST_COUNTS or np.ptp(counted_s) < LEAST_S:
        raise NotEnough(f"at least {LEAST_S:.0f} s must be counted")
    alone = against(counted_s, at_s)
    if abs(alone.value) > CRYSTAL_MOST_PPM + alone.expanded:
        raise NotEnough("no crystal is so far off: sound is lost on the way")
    fast_ppm = Measured(alone.value, math.hypot(alone.u, within_ppm / math.sqrt(3)))
    clock = SampleClock(fast_ppm=fast_ppm, checked=True, how=How.COUNTS)
    return Found(clock=clock, heard_s=float(np.ptp(counted_s)), within_ppm=within_ppm)


def against(counted_s: Floats, at_s: Floats) -> Measured:
    """Return by how many ppm one count of seconds runs faster than another, shapes (n,).

    A robust line; its uncertainty honours that late counts come in rows.
    """
    since_s = at_s - at_s[0]
    line = fit_line(counted_s, np.zeros(counted_s.size, np.int8), since_s)
    rest = since_s - line.at(counted_s, np.zeros(counted_s.size, np.int8))
    each_s = float(np.median(np.diff(counted_s)))
    place, first = np.unique(np.round(counted_s / each_s).astype(np.int64), return_index=True)
    sound = line.weight[first] > LEAST_WEIGHT
    u = slope_uncertainty(place[sound], rest[first][sound]) / each_s
    return Measured((1 / line.beat - 1) * 1e6, u * 1e6)
