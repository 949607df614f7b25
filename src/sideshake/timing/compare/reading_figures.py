"""What a reading says in figures, and which errors it shares with others: clock and lift angle.

What the onsets of two recordings may have in common is not known and counts as independent: an
interval is then rather too wide than too narrow.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from sideshake.core.correlated import SharedErrors, left_of, relative_u, widened, without_share
from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, ppm_to_s_per_day
from sideshake.core.version import EAR
from sideshake.timing.compare.conditions import Conditions
from sideshake.timing.compare.difference import ComparedFigure
from sideshake.timing.repeatability import USUAL, Repeatability

if TYPE_CHECKING:
    from sideshake.timing.reading import Reading

WANDER_U_PPM = 1.0 / math.sqrt(3)
"""A quartz in a workshop's warmth stays within 1 ppm from one day to another (from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingFigures:
    """What one reading says, and what its uncertainties rest on; what could not be told is None.

    `rate_alone_u_s_per_day` : the rate's standard uncertainty without the sound clock's share
    `lift_angle_deg` : the one the amplitude was read with
    `recorder`, `clock_checked_on` : which sound clock, and its check; "" if it had none
    `ear` : which ear heard it (`version.EAR`); None if that is not known
    """

    conditions: Conditions
    rate_s_per_day: Measured | None = None
    rate_alone_u_s_per_day: float | None = None
    amplitude_deg: Measured | None = None
    beat_error_ms: Measured | None = None
    beats_per_hour: float | None = None
    lift_angle_deg: Measured | None = None
    recorder: str = ""
    clock_checked_on: str = ""
    ear: int | None = None

    def __post_init__(self) -> None:
        alone, rate = self.rate_alone_u_s_per_day, self.rate_s_per_day
        if alone is not None and not (rate and 0 <= alone <= rate.u * (1 + 1e-9)):
            raise InputError(f"a rate's own uncertainty lies within the whole one, got {alone:g}")

    @property
    def clock(self) -> tuple[str, str] | None:
        """Return which sound clock the rate was read by; None if its share is not known."""
        alone_known = self.rate_alone_u_s_per_day is not None
        return (self.recorder, self.clock_checked_on) if alone_known and self.recorder else None


def figures_of(reading: "Reading", conditions: Conditions, *, recorder: str) -> ReadingFigures:
    """Return a reading's figures, with what their uncertainties rest on."""
    alone = reading.rate_alone_s_per_day
    return ReadingFigures(
        conditions=conditions,
        rate_s_per_day=reading.rate_s_per_day,
        rate_alone_u_s_per_day=None if alone is None else alone.u,
        amplitude_deg=reading.amplitude_deg,
        beat_error_ms=reading.beat_error_ms,
        beats_per_hour=reading.beats_per_hour,
        lift_angle_deg=reading.lift_angle_deg,
        recorder=recorder,
        clock_checked_on=reading.clock.date if reading.clock.checked else "",
        ear=EAR,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrelatedErrors:
    """Figures of readings as values that keep what they share: one clock's error, one lift angle's.

    `again` : what each laying of the watch adds, which no two readings have in common
    """

    again: Repeatability = USUAL
    shared: SharedErrors = field(default_factory=SharedErrors)

    def rate(self, read: ReadingFigures, when: str) -> Any:
        """Return a reading's rate: its own error, its clock's, and the clock's wandering."""
        rate, own_u = read.rate_s_per_day, read.rate_alone_u_s_per_day
        if rate is None:
            return None
        again = self.again.rate_s_per_day
        if read.clock is None or own_u is None:
            return self.of(widened(rate, again))
        shares = {
            ("clock", *read.clock): left_of(rate.u, own_u),
            ("wander", when): ppm_to_s_per_day(WANDER_U_PPM),
        }
        return self.of(widened(Measured(rate.value, own_u), again), shares)

    def amplitude(self, read: ReadingFigures) -> Any:
        """Return a reading's amplitude: its own error, and the lift angle's in proportion."""
        swing, lift = read.amplitude_deg, read.lift_angle_deg
        if swing is None:
            return None
        again = self.again.amplitude_deg
        if lift is None:
            return self.of(widened(swing, again))
        shares = {("lift", lift.value, lift.u): swing.value * relative_u(lift)}
        return self.of(widened(without_share(swing, relative_u(lift)), again), shares)

    def value(self, what: ComparedFigure, read: ReadingFigures, when: str) -> Any:
        """Return one figure of a reading as a variable, None where it has none."""
        if what is ComparedFigure.RATE:
            return self.rate(read, when)
        if what is ComparedFigure.AMPLITUDE:
            return self.amplitude(read)
        error = read.beat_error_ms
        return None if error is None else self.of(error)

    def of(self, own: Measured, shares: Mapping[Any, float] | None = None) -> Any:
        """Return a value with its own uncertainty and its share of each error that has a name."""
        return self.shared.value(own.value, own.u, shares)
