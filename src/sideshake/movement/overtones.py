"""What else a heard period may be: a harmonic of something slower, or an echo of something faster.

A fault need not show once a turn: an oval wheel shows twice, one on three arms three times. And the
beats look at the train only as often as they come: what moves faster than every second beat is
heard at another, slower period (its alias).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from sideshake.core.quantities import COVERAGE_FACTOR, Measured
from sideshake.movement.train import Period, require_heard

HARMONICS = (1, 2, 3)
FASTEST_TOLD = Fraction(1, 2)
"""Turns a beat up to which a movement is heard at its own period (sampling theorem)."""


class HeardAs(StrEnum):
    """How something that comes round would be heard at another period than its own."""

    SECOND = "second harmonic"
    THIRD = "third harmonic"
    BETWEEN = "lies between two beats"


@dataclass(frozen=True, slots=True, kw_only=True)
class Overtone:
    """Something that comes round, and the other period at which it would be heard."""

    period: Period
    heard_as: HeardAs
    heard_s: Fraction


def overtones(found: Iterable[Period], heard: Measured) -> tuple[Overtone, ...]:
    """Return everything that would be heard at this period though it comes round otherwise.

    Parameters
    ----------
    found : all that comes round in the movement
    heard : the period heard, seconds, with its uncertainty

    Raises
    ------
    InputError : the heard period is not above 0 s, or carries no uncertainty

    References
    ----------
    The sampling theorem: seen once a beat, f turns a beat cannot be told from |f - round(f)|

    Examples
    --------
    >>> from sideshake.movement.sheet_file import shipped_sheet
    >>> from sideshake.movement.train import periods_of
    >>> heard = Measured(30.0, 0.1)
    >>> [each.period.what for each in overtones(periods_of(shipped_sheet("corvanne-17")), heard)]
    ['fourth, one turn with the seconds hand']
    """
    require_heard(heard)
    reach = COVERAGE_FACTOR * heard.u
    return tuple(
        each
        for period in found
        for each in overtones_of(period)
        if abs(each.heard_s - heard.value) <= reach
    )


def overtones_of(period: Period) -> Iterable[Overtone]:
    """Yield at which other periods something that comes round would be heard."""
    beat_s = period.seconds / period.beats
    told = {period.seconds}
    for harmonic in HARMONICS:
        turns = harmonic / period.beats  # a beat
        if turns > FASTEST_TOLD:
            seen = abs(turns - round(turns))
            if seen and beat_s / seen not in told:  # not seen: at every beat in the same place
                told.add(beat_s / seen)
                yield Overtone(period=period, heard_as=HeardAs.BETWEEN, heard_s=beat_s / seen)
        elif harmonic > 1:
            heard_as = HeardAs.SECOND if harmonic == HARMONICS[1] else HeardAs.THIRD
            yield Overtone(period=period, heard_as=heard_as, heard_s=beat_s / turns)
