"""The beats per hour a watch should have: told, or a clear match, or not known; never guessed.

The rate is nothing but the difference between these and what is heard, so who says them is said
with the rate.
"""

from dataclasses import dataclass
from enum import StrEnum

from sideshake.core.errors import InputError
from sideshake.core.quantities import SECONDS_PER_DAY, Measured

KNOWN_PER_HOUR = (
    14400.0, 16200.0, 16800.0, 18000.0, 19440.0, 19800.0, 21000.0, 21306.0, 21600.0, 22320.0,
    25200.0, 28800.0, 32400.0, 36000.0,
)  # fmt: skip
"""Beats per hour that exist (trade-facts 3.5.4, from memory)."""
LIKELY_S_PER_DAY = 120.0
"""A watch of which nothing is known is taken to be no further off than this: twice the 60 s a day
that one repairer's table still accepts of an old watch (trade-facts 3.5.15, [S44]). Of the numbers
that exist the two nearest to each other, 21306 and 21600, lie 1176 s a day apart: so much off, a
watch is hardly worn any more, so no other can be meant (common practice, no source)."""
HINTED_S_PER_DAY = 900.0
"""Up to here the nearest number that exists is named where none is taken."""
MOST_OFF = 0.05
"""What is heard may be so far, as a share, from what is told; farther off it is another beat."""


class BeatSource(StrEnum):
    """Where the beats per hour are from; the value is its name in JSON."""

    TOLD = "told"
    CALIBRE = "calibre sheet"
    NEAREST = "nearest usual number"


@dataclass(frozen=True, slots=True, kw_only=True)
class Nominal:
    """The beats per hour a watch should have, and where they are from."""

    per_hour: float
    source: BeatSource = BeatSource.TOLD

    def __post_init__(self) -> None:
        if not self.per_hour > 0:
            raise InputError(f"beats per hour must be above 0, got {self.per_hour:g}")


def nominal(heard_per_hour: Measured, told: float | Nominal | None) -> Nominal | None:
    """Return the beats per hour the watch should have: as told, else a clear match, else None.

    A match is clear if the whole 95 % interval of what is heard lies within `LIKELY_S_PER_DAY` of
    the only number that exists there.

    Raises
    ------
    InputError : what is told cannot be, or is more than 5 % from what is heard

    Examples
    --------
    >>> nominal(Measured(18010.0, 1.0), None)
    Nominal(per_hour=18000.0, source=<BeatSource.NEAREST: 'nearest usual number'>)
    >>> nominal(Measured(16269.0, 1.0), None) is None
    True
    """
    if told is not None:
        told = told if isinstance(told, Nominal) else Nominal(per_hour=told)
        require_heard(heard_per_hour, told)
        return told
    near = [each for each in KNOWN_PER_HOUR if farthest(heard_per_hour, each) <= LIKELY_S_PER_DAY]
    return Nominal(per_hour=near[0], source=BeatSource.NEAREST) if len(near) == 1 else None


def require_heard(heard_per_hour: Measured, told: Nominal) -> None:
    """Raise InputError if what is told is quite another beat than what is heard."""
    if abs(heard_per_hour.value / told.per_hour - 1) > MOST_OFF:
        raise InputError(
            f"{told.per_hour:.10g} beats per hour were given, but {heard_per_hour.value:.0f} are "
            "heard"
        )


def away_s_per_day(heard_per_hour: float, per_hour: float) -> float:
    """Return how fast (s a day) what is heard would be if `per_hour` were right."""
    return SECONDS_PER_DAY * (heard_per_hour / per_hour - 1)


def farthest(heard_per_hour: Measured, per_hour: float) -> float:
    """Return how far off (s a day) the farther end of the 95 % interval of what is heard lies."""
    own = away_s_per_day(heard_per_hour.value, per_hour)
    return abs(own) + SECONDS_PER_DAY * heard_per_hour.expanded / per_hour


def nearest(heard_per_hour: float) -> float | None:
    """Return the number that exists nearest to what is heard, None if all are far off."""
    known = min(KNOWN_PER_HOUR, key=lambda each: abs(each - heard_per_hour))
    return known if abs(away_s_per_day(heard_per_hour, known)) <= HINTED_S_PER_DAY else None


def per_hour(beat_s: Measured) -> Measured:
    """Return beats per hour from the time of one beat."""
    return Measured(3600 / beat_s.value, 3600 / beat_s.value**2 * beat_s.u)


def per_hour_of(told: float | Nominal | None) -> float | None:
    """Return the number alone, as the ear wants it."""
    return told.per_hour if isinstance(told, Nominal) else told
