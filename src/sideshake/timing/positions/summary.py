"""What a round of readings in several positions says about the watch.

Positions are those of ISO 3158, in the words of a watch with its crown at 3 (trade-facts 2.1).
Gains are positive, amplitudes are in degrees from rest to turning point, beat error is half the
difference of alternate intervals.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from sideshake.core.correlated import (
    largest_minus_smallest,
    mean_parts,
    relative_u,
    with_common,
    with_share,
)
from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, ppm_to_s_per_day

if TYPE_CHECKING:
    from sideshake.timing.reading import Reading

MOST_DEG = 360.0
WOUND = ("full", "24h", "")
ROUNDING = 1.01
"""Stored uncertainties are rounded; a share may be larger by that much."""


class Position(StrEnum):
    """How the watch is held, by ISO 3158; the hour named is the one that is up."""

    CH = "CH"
    FH = "FH"
    H3 = "3H"
    H6 = "6H"
    H9 = "9H"
    H12 = "12H"

    @property
    def words(self) -> str:
        """Return the position in plain words, for a watch with its crown at 3."""
        return WORDS[self]

    @property
    def lying(self) -> bool:
        """Return whether the dial is level."""
        return self in {Position.CH, Position.FH}

    @property
    def hanging(self) -> bool:
        """Return whether the dial is upright."""
        return not self.lying


WORDS = {
    Position.CH: "dial up",
    Position.FH: "dial down",
    Position.H3: "crown up",
    Position.H6: "crown left",
    Position.H9: "crown down",
    Position.H12: "crown right",
}
LYING = (Position.CH, Position.FH)
HANGING = (Position.H3, Position.H6, Position.H9, Position.H12)


@dataclass(frozen=True, slots=True, kw_only=True)
class InPosition:
    """A reading in one position; what could not be heard is None.

    `rate_s_per_day` is without the sound clock's share of the uncertainty, which all positions have
    in common; `amplitude_deg` is as read, with the share of the lift angle.
    """

    position: Position
    rate_s_per_day: Measured | None
    amplitude_deg: Measured | None
    beat_error_ms: Measured | None
    chronograph_on: bool = False

    def __post_init__(self) -> None:
        swing, error = self.amplitude_deg, self.beat_error_ms
        if swing is not None and not 0 < swing.value <= MOST_DEG:
            raise InputError(f"an amplitude lies within 0 and 360 degrees, got {swing.value:g}")
        if error is not None and error.value < 0:
            raise InputError(f"a beat error is 0 ms or more, got {error.value:g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardRound:
    """Readings in several positions, in one state of wind, by one sound clock.

    `clock_u_s_per_day` : the sound clock's standard uncertainty, common to all rates
    `wound` : "full", "24h" or "" when not noted
    `lift_share_u` : relative standard uncertainty of the lift angle, common to all amplitudes; None
    when not told, and then mean and difference each get the larger uncertainty possible
    """

    readings: tuple[InPosition, ...]
    clock_u_s_per_day: float
    wound: str = ""
    lift_share_u: float | None = None

    def __post_init__(self) -> None:
        if not (math.isfinite(self.clock_u_s_per_day) and self.clock_u_s_per_day >= 0):
            raise InputError(f"a clock's uncertainty is 0 or more, got {self.clock_u_s_per_day:g}")
        if self.wound not in WOUND:
            raise InputError(f'wound is "full", "24h" or "", got {self.wound!r}')
        if self.lift_share_u is not None and not 0 <= self.lift_share_u < 1:
            raise InputError(f"a share lies from 0 to below 1, got {self.lift_share_u:g}")
        self.require_share_within()

    def require_share_within(self) -> None:
        """Refuse a lift angle less sure than an amplitude that was computed with it."""
        share = self.lift_share_u or 0.0
        swings = [each.amplitude_deg for each in self.readings if each.amplitude_deg is not None]
        for swing in swings:
            if share * swing.value > ROUNDING * swing.u:
                raise InputError(
                    f"an amplitude of {swing.text()}° holds the lift angle's uncertainty already, "
                    f"yet the share told is {share:g} of it; leave it out if lift angles differ"
                )

    def latest(self, *, chronograph_on: bool = False) -> dict[Position, InPosition]:
        """Return the reading that counts in each position: of several, the last."""
        heard = {
            each.position: each for each in self.readings if each.chronograph_on == chronograph_on
        }
        return {position: heard[position] for position in Position if position in heard}


@dataclass(frozen=True, slots=True, kw_only=True)
class AtPosition:
    """A figure and where it was read."""

    position: Position
    value: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The largest minus the smallest rate (s a day), and where they were read."""

    value: Measured
    largest: Position
    smallest: Position


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """What a round says. None where the positions that are needed were not heard.

    All of it is with the chronograph off, but for its cost. Means are over the positions heard:
    `rates_in` and `amplitudes_in` tell which, for means over other positions cannot be compared.
    Means of rates hold the sound clock's share of the uncertainty; in differences it cancels.

    `hanging_minus_lying_s_per_day` : mean of the hanging minus mean of the lying positions
        (vertical minus horizontal): positive when it gains by hanging
    `fall_deg` : mean amplitude lying minus mean amplitude hanging
    `dial_up_minus_down_s_per_day`, `dial_up_minus_down_deg` : CH minus FH
    `chronograph_cost_deg` : off minus on, mean over the positions heard both ways: positive when
        the amplitude falls with the chronograph on
    `chronograph_change_s_per_day` : on minus off, likewise: positive when it gains by running
    `chronograph_in` : the positions whose amplitude was read both ways
    """

    rates_in: tuple[Position, ...]
    amplitudes_in: tuple[Position, ...]
    lying_s_per_day: Measured | None
    hanging_s_per_day: Measured | None
    hanging_minus_lying_s_per_day: Measured | None
    mean_s_per_day: Measured | None
    spread: Spread | None
    dial_up_minus_down_s_per_day: Measured | None
    lying_deg: Measured | None
    hanging_deg: Measured | None
    fall_deg: Measured | None
    least_hanging: AtPosition | None
    dial_up_minus_down_deg: Measured | None
    largest_beat_error: AtPosition | None
    chronograph_cost_deg: Measured | None
    chronograph_change_s_per_day: Measured | None
    chronograph_in: tuple[Position, ...]


Figures = dict[Position, Measured]


def summary(heard: HeardRound) -> Summary:
    """Return what the round says; of a position heard twice the last reading counts.

    References
    ----------
    The sign of hanging minus lying is that of ISO 3159's D, vertical minus horizontal
    (trade-facts 1.3.1, through secondary pages)
    """
    off = heard.latest()
    rates, swings, errors = rates_of(off), swings_of(off), errors_of(off)
    clock, lift = heard.clock_u_s_per_day, heard.lift_share_u
    running = heard.latest(chronograph_on=True)
    lying, hanging = picked(swings, LYING), picked(swings, HANGING)
    return Summary(
        rates_in=tuple(rates),
        amplitudes_in=tuple(swings),
        lying_s_per_day=mean_rate(picked(rates, LYING), clock),
        hanging_s_per_day=mean_rate(picked(rates, HANGING), clock),
        hanging_minus_lying_s_per_day=rate_change(picked(rates, HANGING), picked(rates, LYING)),
        mean_s_per_day=mean_rate(list(rates.values()), clock),
        spread=spread_of(rates),
        dial_up_minus_down_s_per_day=rate_change(
            picked(rates, LYING[:1]), picked(rates, LYING[1:])
        ),
        lying_deg=with_share(mean_parts(lying), lift) if lying else None,
        hanging_deg=with_share(mean_parts(hanging), lift) if hanging else None,
        fall_deg=fall(lying, hanging, lift),
        least_hanging=extreme({p: v for p, v in swings.items() if p.hanging}, min),
        dial_up_minus_down_deg=fall(picked(swings, LYING[:1]), picked(swings, LYING[1:]), lift),
        largest_beat_error=extreme(errors, max),
        chronograph_cost_deg=fall(*in_both(swings, swings_of(running)), lift),
        chronograph_change_s_per_day=rate_change(*in_both(rates_of(running), rates)),
        chronograph_in=tuple(p for p in swings if p in swings_of(running)),
    )


def rates_of(heard: dict[Position, InPosition]) -> Figures:
    """Return the rate in each position that has one, without the clock's share."""
    return {p: each.rate_s_per_day for p, each in heard.items() if each.rate_s_per_day is not None}


def swings_of(heard: dict[Position, InPosition]) -> Figures:
    """Return the amplitude in each position that has one."""
    return {p: each.amplitude_deg for p, each in heard.items() if each.amplitude_deg is not None}


def errors_of(heard: dict[Position, InPosition]) -> Figures:
    """Return the beat error in each position that has one."""
    return {p: each.beat_error_ms for p, each in heard.items() if each.beat_error_ms is not None}


def picked(figures: Figures, positions: Sequence[Position]) -> list[Measured]:
    """Return the figures of those positions that were heard."""
    return [figures[position] for position in positions if position in figures]


def in_both(first: Figures, second: Figures) -> tuple[list[Measured], list[Measured]]:
    """Return the figures of the positions that both have."""
    both = [position for position in first if position in second]
    return picked(first, both), picked(second, both)


def mean_rate(rates: list[Measured], clock_u_s_per_day: float) -> Measured | None:
    """Return the mean rate with the clock's share, None without any rate."""
    return with_common(mean_parts(rates), clock_u_s_per_day) if rates else None


def rate_change(to: list[Measured], start: list[Measured]) -> Measured | None:
    """Return the mean of one group of rates minus that of the other; the clock cancels."""
    if not (to and start):
        return None
    return with_common([*mean_parts(to), *mean_parts(start, -1.0)], 0.0)


def fall(high: list[Measured], low: list[Measured], share_u: float | None) -> Measured | None:
    """Return the mean of one group of amplitudes minus that of the other."""
    if not (high and low):
        return None
    return with_share([*mean_parts(high), *mean_parts(low, -1.0)], share_u)


def spread_of(rates: Figures) -> Spread | None:
    """Return the spread of the rates; None for fewer than two positions."""
    if len(rates) < 2:
        return None
    order = sorted(rates, key=lambda each: rates[each].value)
    value = largest_minus_smallest(list(rates.values()))
    return Spread(value=value, largest=order[-1], smallest=order[0])


def extreme(figures: Figures, choose: Callable[..., Position]) -> AtPosition | None:
    """Return the largest (`max`) or smallest (`min`) figure and where it was read."""
    if not figures:
        return None
    position = choose(figures, key=lambda each: figures[each].value)
    return AtPosition(position=position, value=figures[position])


def in_position(
    reading: "Reading", position: Position, *, chronograph_on: bool = False
) -> InPosition:
    """Return a reading as one of a round, its rate without the sound clock's share."""
    return InPosition(
        position=position,
        rate_s_per_day=reading.rate_alone_s_per_day,
        amplitude_deg=reading.amplitude_deg,
        beat_error_ms=reading.beat_error_ms,
        chronograph_on=chronograph_on,
    )


def clock_share(reading: "Reading") -> float:
    """Return the sound clock's standard uncertainty (s a day), common to a round."""
    return ppm_to_s_per_day(reading.clock.fast_ppm.u)


def lift_share(reading: "Reading") -> float:
    """Return the lift angle's relative standard uncertainty, common to a round."""
    return relative_u(reading.lift_angle_deg)
