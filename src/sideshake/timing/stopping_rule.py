"""When a reading may stop: it is as sure as was asked for, or has taken as long as was allowed.

Only what longer listening shrinks is asked about. The sound clock's share of the rate and the lift
angle's share of the amplitude stay as they are however long one listens: they are left out here,
and said where they are larger than what is wanted.
"""

import math
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.core.quantities import COVERAGE_FACTOR, Measured, decimals
from sideshake.timing.reading import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class StoppingRule:
    """How sure a reading should become, as half-widths of 95 %, and how long that may take."""

    rate_s_per_day: float
    amplitude_deg: float
    least_s: float
    most_s: float

    def __post_init__(self) -> None:
        if not min(self.rate_s_per_day, self.amplitude_deg) > 0:
            raise InputError(f"a wanted interval must be above 0: {self}")
        if not 0 <= self.least_s <= self.most_s:
            raise InputError(f"the shortest time lies between 0 and the longest: {self}")


def enough(reading: Reading, wanted: StoppingRule, heard_s: float) -> str:
    """Return why listening may stop after `heard_s`; "" while more is needed.

    Examples
    --------
    >>> from sideshake.sound.listener import Listener
    >>> from sideshake.sound.simulate import SimulatedWatch, simulate
    >>> from sideshake.timing.reading import read
    >>> listener = Listener(48000)
    >>> listener.feed(simulate(SimulatedWatch(), duration_s=21).samples)
    >>> wanted = StoppingRule(rate_s_per_day=1, amplitude_deg=2, least_s=20, most_s=120)
    >>> enough(read(listener.hear(), lift_angle_deg=Measured(52)), wanted, 21)
    'rate within 1 s a day (the sound clock aside) and amplitude within 2° after 21 s'
    """
    if heard_s < wanted.least_s:
        return ""
    rate, swing = reading.rate_alone_s_per_day, reading.amplitude_alone_deg
    if within(rate, wanted.rate_s_per_day) and within(swing, wanted.amplitude_deg):
        clock = aside(reading.rate_s_per_day, wanted.rate_s_per_day, "the sound clock")
        lift = aside(reading.amplitude_deg, wanted.amplitude_deg, "the lift angle")
        return (
            f"rate within {wanted.rate_s_per_day:g} s a day{clock} and amplitude within "
            f"{wanted.amplitude_deg:g}°{lift} after {heard_s:.0f} s"
        )
    if heard_s < wanted.most_s:
        return ""
    return f"longest time reached: {still_open(reading, wanted)}"


def within(value: Measured | None, half_width: float) -> bool:
    """Return whether there is a value whose 95 % interval is no wider than wanted."""
    return value is not None and value.expanded <= half_width


def aside(whole: Measured | None, half_width: float, what: str) -> str:
    """Return words for a share that was left out, if the whole interval is wider than wanted."""
    return "" if within(whole, half_width) else f" ({what} aside)"


def still_open(reading: Reading, wanted: StoppingRule) -> str:
    """Return how unsure what is not yet sure enough still is."""
    rate, swing = reading.rate_alone_s_per_day, reading.amplitude_alone_deg
    said = []
    if rate is None:
        said.append("no rate, for it is not known how many beats an hour the watch should have")
    elif not within(rate, wanted.rate_s_per_day):
        said.append(f"rate still ±{rounded(rate.expanded)} s a day")
    if swing is None:
        said.append("no amplitude yet")
    elif not within(swing, wanted.amplitude_deg):
        said.append(f"amplitude still ±{rounded(swing.expanded)}°")
    return " and ".join(said)


def rounded(half_width: float) -> str:
    """Return a half-width with as many digits as an uncertainty has.

    Examples
    --------
    >>> rounded(1.234), rounded(14.2), rounded(0.61)
    ('1.2', '14', '0.6')
    """
    return f"{half_width:.{decimals(half_width)}f}"


def settled(reading: Reading) -> bool:
    """Return whether the amplitude has come to rest: its last two groups of 10 s agree.

    They agree if they differ by no more than 95 % of pairs of such groups would by chance. A group
    is less sure than the mean of all n by the root of n, and a difference by another root of 2.
    False with fewer than two groups, or no amplitude.
    """
    swing, series = reading.amplitude_alone_deg, reading.amplitudes_deg
    if swing is None or series.size < 2:
        return False
    chance = reading.amplitude_chance_deg or swing.u
    by_chance = COVERAGE_FACTOR * chance * math.sqrt(2 * series.size)
    return bool(abs(series[-1] - series[-2]) <= by_chance)
