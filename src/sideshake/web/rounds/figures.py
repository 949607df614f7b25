"""From rows of readings to the values that `timing` reckons with; nothing here asks the database.

Readings of a round share the error of one sound clock and of one lift angle. What they share counts
once in a mean and cancels in a difference; where it is not known, it counts both times.
"""

from collections.abc import Iterable, Sequence

from sideshake.core.correlated import left_of
from sideshake.core.quantities import Measured
from sideshake.timing.positions.summary import HeardRound, InPosition, Position
from sideshake.web.models import Reading
from sideshake.web.readings.heard_rows import HEARD, measured

Clock = tuple[str, str]
"""A microphone and the day its sound clock was checked."""


def heard_round(readings: Iterable[Reading], wound: str) -> HeardRound:
    """Return readings as a round; those without a position or without a reading do not count."""
    heard = [each for each in readings if each.state == HEARD and each.position]
    alone = len(clocks_of(heard)) == 1
    return HeardRound(
        readings=tuple(in_position(each, alone=alone) for each in heard),
        clock_u_s_per_day=max((clock_share(each) for each in heard), default=0.0),
        wound=wound,
        lift_share_u=lift_share(heard),
    )


def in_position(reading: Reading, *, alone: bool) -> InPosition:
    """Return one reading of a round; `alone` takes the sound clock's share out of the rate."""
    rate, own_u = measured(reading, "rate_s_per_day"), reading.rate_alone_u_s_per_day
    if alone and rate is not None and own_u is not None:
        rate = Measured(rate.value, own_u)
    return InPosition(
        position=Position(reading.position),
        rate_s_per_day=rate,
        amplitude_deg=measured(reading, "amplitude_deg"),
        beat_error_ms=measured(reading, "beat_error_ms"),
        chronograph_on=reading.chronograph_on,
    )


def clock_share(reading: Reading) -> float:
    """Return the sound clock's standard uncertainty (s a day); all of the rate's if not known."""
    u, own_u = reading.rate_u_s_per_day or 0.0, reading.rate_alone_u_s_per_day
    return u if own_u is None else left_of(u, own_u)


def lift_share(readings: Sequence[Reading]) -> float | None:
    """Return the lift angle's relative uncertainty, if all were read with one; else None."""
    told = {
        (each.figures.get("lift_angle_deg"), each.figures.get("lift_angle_u_deg", 0.0))
        for each in readings
        if each.amplitude_deg is not None
    }
    angle, u = told.pop() if len(told) == 1 else (None, 0.0)
    return u / angle if angle else None


def clocks_of(readings: Iterable[Reading]) -> set[Clock]:
    """Return the sound clocks that readings were taken with."""
    return {
        (each.figures.get("recorder") or each.recorder, each.figures.get("clock", ""))
        for each in readings
        if each.state == HEARD
    }
