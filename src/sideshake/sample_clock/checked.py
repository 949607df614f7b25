"""Checking a sound clock by a tick whose beat is known, and when the answer is good enough."""

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from sideshake.core.correlated import left_of, widened, with_common
from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import COVERAGE_FACTOR, Measured
from sideshake.sound.clock import SampleClock, clock_from_reference
from sideshake.sound.listener import Heard
from sideshake.timing.dropouts import without_dropouts
from sideshake.timing.middle import slope_beat
from sideshake.timing.reading import even_beat

WITHIN_MOST_PPM = 50.0
"""A reference known no better than an unchecked recorder checks nothing."""
USUAL_PER_HOUR, USUAL_WITHIN_PPM = 3600.0, 10.0
"""A quartz watch that steps once a second; about 26 s a month (common practice, no source)."""
SURE_S = 60.0
"""A check by less sound is not kept unasked, however well its beats lie on a line."""
FINE_PPM = 1.0
"""A 95 % half-width of 0.09 s a day; nothing at the bench asks for more."""
SHARE = 0.5
"""Half the reference's own doubt more widens the whole by 12 % (adding in squares)."""
ENDS_SAMPLES = 1.0
"""How far apart the two ends of a stretch may be misplaced, in samples: a few clean beats lie on a
line far better than their common place is known (seen in a browser's resampled sound)."""
CORRECTED_EVERY_S, CORRECTED_PPM = 60.0, 100.0
"""A quartz watch may run fast by up to so much and leave out steps of its crystal once a minute
(from memory of the trade); a pulse that is right to the last digit (0 ppm) does not."""


class How(StrEnum):
    """What a sound clock was checked by."""

    TICK = "tick"
    COUNTS = "counts"


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockFound:
    """What a check says so far: the clock, after how long, by a reference right within so much."""

    clock: SampleClock
    heard_s: float
    within_ppm: float

    @property
    def alone_u_ppm(self) -> float:
        """Return the share of the uncertainty that longer listening shrinks."""
        return left_of(self.clock.fast_ppm.u, self.within_ppm / math.sqrt(3))

    @property
    def wanted_u_ppm(self) -> float:
        """Return how small that share should become; less would change little.

        Counting need not come nearer than an ordinary quartz watch would.
        """
        within_ppm = USUAL_WITHIN_PPM if self.clock.how == How.COUNTS else self.within_ppm
        return max(FINE_PPM / COVERAGE_FACTOR, SHARE * within_ppm / math.sqrt(3))

    @property
    def more_s(self) -> float:
        """Return how much longer listening is advisable, 0 when it is not.

        The slope of a line through n beats over a time T is uncertain by s sqrt(12 / n) / T, and n
        grows with T: it falls with the power 3/2 of the time.

        Examples
        --------
        >>> clock = SampleClock(fast_ppm=Measured(30, 4), checked=True)
        >>> # 0.5 is wanted: (4/0.5)^(2/3) = 4
        >>> ClockFound(clock=clock, heard_s=100, within_ppm=0).more_s
        300.0
        """
        longer = math.pow(self.alone_u_ppm / self.wanted_u_ppm, 2 / 3)
        return round(max(SURE_S, self.heard_s * max(1.0, longer)) - self.heard_s, 3)


def clock_from_tick(
    heard: Heard, *, beats_per_hour: float, within_ppm: float, name: str, date: str
) -> ClockFound:
    """Return the clock that recorded a tick of `beats_per_hour`, right within `within_ppm`.

    Raises
    ------
    NotEnough : too few beats
    InputError : a reference that cannot be one, or that the beats heard cannot come from
    """
    require_reference(within_ppm)
    whole = without_dropouts(heard)
    line, rest = even_beat(whole)
    beat_s = slope_beat(whole.beats, line, rest)
    placed = beat_s.value * ENDS_SAMPLES / (whole.rate_hz * whole.duration_s)
    beat_s = widened(beat_s, placed)
    bound_ppm = within_ppm and math.hypot(within_ppm, uncorrected_ppm(whole.duration_s))
    clock = clock_from_reference(
        beat_s, 3600 / beats_per_hour, reference_within_ppm=bound_ppm, name=name, date=date
    )
    return ClockFound(
        clock=replace(clock, how=How.TICK), heard_s=whole.duration_s, within_ppm=within_ppm
    )


def uncorrected_ppm(heard_s: float) -> float:
    """Return how far a line through a quartz watch's steps may be off between its corrections.

    It runs fast by s and jumps back once a minute. A straight line through n whole minutes is off
    by s / n^2, and by less through any other time above one minute; within a minute nothing is seen
    of it.

    Examples
    --------
    >>> round(uncorrected_ppm(300), 9)
    4.0
    """
    return CORRECTED_PPM * min(1.0, (CORRECTED_EVERY_S / heard_s) ** 2)


def require_reference(within_ppm: float) -> None:
    """Raise InputError unless a reference is known better than an unchecked recorder."""
    if not 0 <= within_ppm <= WITHIN_MOST_PPM:
        raise InputError(
            f"a reference within {within_ppm:g} ppm cannot be used: 0 to {WITHIN_MOST_PPM:.0f} "
            "is allowed"
        )


def require_worth_keeping(clock: SampleClock) -> None:
    """Raise NotEnough if a checked clock is no surer than one that nobody has checked."""
    if not clock.fast_ppm.expanded <= WITHIN_MOST_PPM:
        raise NotEnough(
            f"the clock is only known within ± {clock.fast_ppm.expanded:.0f} ppm, no better than "
            f"the ± {WITHIN_MOST_PPM:.0f} of one that was never checked; listen longer"
        )


def difference_ppm(one: SampleClock, other: SampleClock) -> Measured:
    """Return by how much one check says more than another of the same sound.

    They agree where the interval holds 0. A microphone whose sound is counted by the clock of
    another device (a loudspeaker's, say) loses or repeats a little sound now and then: then the
    count and the tick tell of two different clocks.
    """
    return with_common([(1.0, one.fast_ppm), (-1.0, other.fast_ppm)], 0.0)
