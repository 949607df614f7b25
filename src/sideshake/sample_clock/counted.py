"""The recorder's clock from counting its samples against the computer's clock.

Samples arrive late by varying delays, never early. Of each stretch of time only the least late
arrival counts, as in a clock filter that keeps the best of several exchanges (RFC 5905, from
memory); a robust line through these gives how much faster one clock runs than the other.
"""

import math

import numpy as np
from numpy.typing import NDArray

from sideshake.core.correlated import widened
from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.clock import UNKNOWN_WITHIN_PPM, SampleClock
from sideshake.sound.line import BeatLine, fit_line

Floats = NDArray[np.float64]

STRETCHES, LEAST_OF = 24, 8
"""So many points make the line, each the least late of at least so many arrivals."""
ROUNDS = 3
SURE_PPM = 5.0
"""Half-width of 95 % that the counting itself must reach: 0.4 s a day."""
MOST_RHO = 0.95
GRID_S = 1e-3
"""Arrivals may come on a grid (a timer, a buffer) that drifts against the samples: the least delay
then wanders by its step unseen. So much is allowed for, more if the times show it (assumed)."""
SIDE = np.zeros(STRETCHES, np.int8)


def clock_from_counts(  # noqa: PLR0913 - each says something that no other of them does
    samples_counted: NDArray[np.int64],
    at_s: Floats,
    *,
    rate_hz: float,
    system_within_ppm: float,
    name: str,
    date: str,
) -> SampleClock:
    """Return the sample clock from how many samples had come by when.

    Parameters
    ----------
    samples_counted : shape (n,), samples received so far, rising
    at_s : shape (n,), seconds of the computer's clock when they had, rising; a clock that is
        steered but never set (CLOCK_MONOTONIC), if anything steers it
    rate_hz : samples a second as the recorder states it
    system_within_ppm : bound of the computer's clock over that time, taken as uniform (GUM 4.3.7)

    Raises
    ------
    InputError : counts or times that cannot be
    NotEnough : too short, says how long it will take; the times are too coarse; or the computer's
        clock is no better known than a sound card

    Examples
    --------
    >>> true_s = np.arange(0.0, 600.0, 0.5)
    >>> late_s = 0.01 + 1e-3 * np.sin(np.arange(1200)) ** 2
    >>> clock = clock_from_counts(
    ...     np.rint(48000 * true_s * (1 + 30e-6)).astype(np.int64), true_s + late_s,
    ...     rate_hz=48000, system_within_ppm=3, name="", date="",
    ... )  # fmt: skip
    >>> clock.fast_ppm.text(sign=True)
    '+30 ± 4'
    """
    if not 0 <= system_within_ppm < UNKNOWN_WITHIN_PPM:
        raise NotEnough(
            "the computer's own clock is not known better than a sound card's "
            f"({UNKNOWN_WITHIN_PPM:.0f} ppm), so counting against it tells nothing"
        )
    alone_ppm = counted_fast_ppm(samples_counted, at_s, rate_hz=rate_hz)
    if alone_ppm.expanded > SURE_PPM:
        counted_s = float(samples_counted[-1] - samples_counted[0]) / rate_hz
        raise too_short(counted_s, alone_ppm.expanded / SURE_PPM * counted_s)
    fast_ppm = widened(alone_ppm, system_within_ppm / math.sqrt(3))
    return SampleClock(fast_ppm=fast_ppm, checked=True, name=name, date=date)


def counted_fast_ppm(
    samples_counted: NDArray[np.int64], at_s: Floats, *, rate_hz: float
) -> Measured:
    """Return how much faster samples are counted than the computer's clock runs, however unsure.

    As `clock_from_counts`, without the doubt about the computer's clock.

    Raises
    ------
    InputError : counts or times that cannot be
    NotEnough : too few arrivals, says how long it will take; or times that are too coarse
    """
    require_counts(samples_counted, at_s, rate_hz)
    counted_s = (samples_counted - samples_counted[0]) / rate_hz
    late_s = (at_s - at_s[0]) - counted_s
    require_long_enough(counted_s)
    slope = slope_of_least(counted_s, late_s)
    grid = grid_step_s(late_s) / float(counted_s[-1])
    fast = 1 / (1 + slope.value) - 1
    return Measured(fast * 1e6, math.hypot(slope.u, grid / math.sqrt(3)) * 1e6)


def require_counts(samples_counted: NDArray[np.int64], at_s: Floats, rate_hz: float) -> None:
    """Raise InputError for counts and times that cannot be."""
    if samples_counted.ndim != 1 or samples_counted.shape != at_s.shape or not at_s.size:
        raise InputError(
            f"as many times as counts are needed, got {at_s.shape} and {samples_counted.shape}"
        )
    if not (rate_hz > 0 and np.isfinite(at_s).all()):
        raise InputError(f"times must be finite and the rate above 0, got {rate_hz} Hz")
    if np.any(np.diff(samples_counted) <= 0) or np.any(np.diff(at_s) < 0):
        raise InputError("samples only grow in number, and the computer's clock must not be set")


def require_long_enough(counted_s: Floats) -> None:
    """Raise NotEnough if there are too few arrivals for the stretches."""
    least = STRETCHES * LEAST_OF
    if counted_s.size < least:
        each_s = counted_s[-1] / max(1, counted_s.size - 1)
        raise too_short(float(counted_s[-1]), float(each_s * least))


def too_short(counted_s: float, needed_s: float) -> NotEnough:
    """Return why there is no clock yet."""
    about = f": about {math.ceil(needed_s / 10) * 10} s are needed" if needed_s else ""
    return NotEnough(f"{counted_s:.0f} s are too short for the sound card's clock{about}")


def slope_of_least(counted_s: Floats, late_s: Floats) -> Measured:
    """Return how much later each counted second arrives, from the least late of each stretch."""
    stretches = np.array_split(np.arange(counted_s.size), STRETCHES)
    slope = 0.0
    for _ in range(ROUNDS):
        against = late_s - slope * counted_s
        least = np.array([some[np.argmin(against[some])] for some in stretches])
        line = fit_line(counted_s[least], SIDE, late_s[least])
        slope = line.beat
    return Measured(slope, slope_u(line, counted_s[least], late_s[least]))


def grid_step_s(late_s: Floats) -> float:
    """Return by how much the least delay may wander unseen (s).

    Raises
    ------
    NotEnough : so few delays differ that the times lie on a grid whose step does not show
    """
    steps = np.diff(np.unique(np.round(late_s, 6)))
    if steps.size < LEAST_OF:
        raise NotEnough("the times of arrival are too coarse to tell the sound card's clock by")
    return max(GRID_S, float(np.median(steps)))


def slope_u(line: BeatLine, at: Floats, value: Floats) -> float:
    """Return the standard uncertainty of the line's slope from the scatter about it.

    Scatter that follows itself (rho from one stretch to the next) counts as fewer points,
    (1 - rho) / (1 + rho) of them: the usual first-order rule, from memory. So few points show rho
    too small by (1 + 4 rho) / n (Marriott & Pope 1954, Biometrika 41, 390-402; from memory).
    """
    rest, weight = value - line.at(at, SIDE), line.weight
    sigma = max(line.sigma, math.sqrt(float(weight @ rest**2) / max(1.0, weight.sum() - 2)))
    rest = np.sqrt(weight) * rest
    rho = max(0.0, float(rest[1:] @ rest[:-1]) / max(float(rest @ rest), 1e-30))
    rho = min(MOST_RHO, rho + (1 + 4 * rho) / rest.size)
    middle = float(weight @ at / weight.sum())
    spread = math.sqrt(float(weight @ (at - middle) ** 2))
    return sigma / spread * math.sqrt((1 + rho) / (1 - rho))
