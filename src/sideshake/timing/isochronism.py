"""Fully wound against 24 hours later: what a smaller swing does to the rate.

Compared is position by position, over those heard both times. The sound clock's error is common to
both rounds and cancels, if it is the same clock; so does most of the lift angle's.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from sideshake.core.correlated import widened
from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.movement.sheet import CalibreSheet
from sideshake.timing.diagnosis.evidence import DEGREES, Proofs, least_hanging_after_a_day, seen
from sideshake.timing.positions.summary import (
    HANGING,
    LYING,
    AtPosition,
    Figures,
    HeardRound,
    Position,
    fall,
    in_both,
    rate_change,
    rates_of,
    summary,
    swings_of,
)
from sideshake.timing.repeatability import USUAL, Repeatability, laid_again
from sideshake.timing.tolerance import ToleranceCheck

FULL_FROM_H, FULL_UNTIL_H = 0.5, 1.5
DAY_FROM_H, DAY_UNTIL_H = 23.5, 25.0
"""When to read: one maker's instruction (trade-facts 3.5.11); others wait 20 min or 1 to 2 h."""
WHEN_TO_READ = (
    "Read fully wound 30 to 90 minutes after winding, and again 23½ to 25 hours after it, in the "
    "same positions and with the same microphone."
)
MOST_FALL_DEG = 50.0
"""Full wind to 24 h, a factory's limit (trade-facts 3.5.9)."""


class Sign(StrEnum):
    """What the rate does as the swing falls."""

    GAINS = "gains in short arcs"
    LOSES = "loses in short arcs"
    STEADY = "the same in short arcs"


HINTS = {
    Sign.GAINS: "In old watches usually so: regulator pins close, the spring's outer curve or its "
    "pinning point.",
    Sign.LOSES: "Pins too far apart let the spring swing free between them in short arcs; some "
    "loss is the lever escapement's own.",
    Sign.STEADY: "As far as these readings can tell, a smaller swing does not move the rate.",
}
POISE_HINT = (
    "Hanging changes otherwise than lying: poise, which shows only hanging, has a part in it."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayChange:
    """What 24 hours do, in one position or on average over some.

    `rate_s_per_day` : after 24 h minus fully wound: positive when it gains in short arcs
    `fall_deg` : amplitude fully wound minus after 24 h
    Each is None where it was not read both times.
    """

    positions: tuple[Position, ...]
    rate_s_per_day: Measured | None
    fall_deg: Measured | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Isochronism:
    """Fully wound against 24 hours later: by position, on average, and against the limits.

    `sign` : by the lying positions, where poise has no part, else by all
    `lying`, `hanging` : None when none of these was heard both times
    """

    sign: Sign | None
    sentence: str
    hint: str
    by_position: tuple[DayChange, ...]
    mean: DayChange
    lying: DayChange | None
    hanging: DayChange | None
    least_hanging_24h: AtPosition | None
    limits: Proofs


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPair:
    """The figures of both rounds; `clock_u` is what the clocks add to a change of rate."""

    rates: tuple[Figures, Figures]
    swings: tuple[Figures, Figures]
    clock_u: float
    lift_share_u: float | None

    def change(self, positions: tuple[Position, ...]) -> DayChange | None:
        """Return the mean change over those of the positions that were heard both times."""
        early, late = in_both(*(chosen(each, positions) for each in self.rates))
        high, low = in_both(*(chosen(each, positions) for each in self.swings))
        if not early and not high:
            return None
        change = rate_change(late, early)
        return DayChange(
            positions=tuple(p for p in positions if self.has(p)),
            rate_s_per_day=change and widened(change, self.clock_u),
            fall_deg=fall(high, low, self.lift_share_u),
        )

    def has(self, position: Position) -> bool:
        """Return whether anything was read in a position both times."""
        pairs = (self.rates, self.swings)
        return any(position in first and position in second for first, second in pairs)


def isochronism(
    full: HeardRound,
    day: HeardRound,
    *,
    sheet: CalibreSheet | None = None,
    same_clock: bool = True,
    again: Repeatability = USUAL,
) -> Isochronism:
    """Return what 24 hours do to rate and amplitude, chronograph off.

    `same_clock` : whether one sound clock was used for both; else both clocks' shares count
    `again` : what each laying of the watch adds to the uncertainty of rate and amplitude

    Raises
    ------
    InputError : the first round is noted as after 24 h, or the second as fully wound
    NotEnough : no position was heard both times

    References
    ----------
    Trade-facts 4.10 (method), 3.5.9 (limits, secondary trade page), 4.11, 4.3.2, 4.4, 4.2.7 (what
    the sign means)
    """
    require_states(full, day)
    full, day = laid_again(full, again), laid_again(day, again)
    pair = pair_of(full, day, same_clock=same_clock)
    mean = pair.change(tuple(Position))
    if mean is None:
        raise NotEnough("no position was heard both fully wound and after 24 h")
    lying, hanging = pair.change(LYING), pair.change(HANGING)
    by_position = tuple(each for p in Position if (each := pair.change((p,))))
    sign = sign_of(lying, mean)
    return Isochronism(
        sign=sign,
        sentence=say(mean),
        hint=hint(sign, lying, hanging),
        by_position=by_position,
        mean=mean,
        lying=lying,
        hanging=hanging,
        least_hanging_24h=summary(day).least_hanging,
        limits=(*fall_limits(mean, by_position), *least_hanging_after_a_day(seen(day, sheet))),
    )


def require_states(full: HeardRound, day: HeardRound) -> None:
    """Refuse two rounds in the wrong order."""
    if full.wound == "24h" or day.wound == "full":
        raise InputError(
            f"the first round is the one fully wound, the second the one after 24 h; got "
            f'"{full.wound}" and "{day.wound}"'
        )


def pair_of(full: HeardRound, day: HeardRound, *, same_clock: bool) -> RoundPair:
    """Return the figures of both rounds, chronograph off."""
    first, second = full.latest(), day.latest()
    clocks = (full.clock_u_s_per_day, day.clock_u_s_per_day)
    shares = {full.lift_share_u, day.lift_share_u}
    return RoundPair(
        rates=(rates_of(first), rates_of(second)),
        swings=(swings_of(first), swings_of(second)),
        clock_u=0.0 if same_clock else math.hypot(*clocks),
        lift_share_u=shares.pop() if len(shares) == 1 else None,
    )


def chosen(figures: Figures, positions: tuple[Position, ...]) -> Figures:
    """Return only the figures in these positions."""
    return {p: each for p, each in figures.items() if p in positions}


def sign_of(lying: DayChange | None, mean: DayChange) -> Sign | None:
    """Return what the rate does in short arcs, as far as its 95 % interval tells.

    As the lying positions show it, where poise has no part; else as all of them do.
    """
    change = lying.rate_s_per_day if lying else None
    change = change or mean.rate_s_per_day
    if change is None:
        return None
    if change.holds(0.0):
        return Sign.STEADY
    return Sign.GAINS if change.value > 0 else Sign.LOSES


def say(mean: DayChange) -> str:
    """Return the mean change in one sentence."""
    where = f"mean of {len(mean.positions)} positions" if len(mean.positions) > 1 else (
        f"in {mean.positions[0]}"
    )  # fmt: skip
    said = []
    if mean.rate_s_per_day is not None:
        said.append(f"the rate changes by {mean.rate_s_per_day.text(sign=True)} s a day")
    if mean.fall_deg is not None:
        said.append(f"the amplitude falls by {mean.fall_deg.text()}°")
    return f"From full wind to 24 h {' and '.join(said)} ({where})."


def hint(sign: Sign | None, lying: DayChange | None, hanging: DayChange | None) -> str:
    """Return where to look; empty when no rate was read both times."""
    if sign is None:
        return ""
    apart = lying and hanging and (lying.rate_s_per_day, hanging.rate_s_per_day)
    if apart and apart[0] is not None and apart[1] is not None:
        change = rate_change([apart[1]], [apart[0]])
        if change is not None and not change.holds(0.0):
            return f"{HINTS[sign]} {POISE_HINT}"
    return HINTS[sign]


def fall_limits(mean: DayChange, by_position: tuple[DayChange, ...]) -> Proofs:
    """Return the fall over 24 h against a factory's limit: the mean, and the largest of several."""
    falls = [(each.positions[0], each.fall_deg) for each in by_position if each.fall_deg]
    if mean.fall_deg is None or not falls:
        return ()
    words = "fall of amplitude from full wind to 24 h"
    if len(falls) == 1:
        return (fall_limit(f"{words}, in {falls[0][0]},", mean.fall_deg),)
    position, worst = max(falls, key=lambda each: each[1].value)
    return (
        fall_limit(f"{words}, mean,", mean.fall_deg),
        fall_limit(f"{words}, largest, in {position},", worst, chances=len(falls)),
    )


def fall_limit(what: str, value: Measured, chances: int = 1) -> ToleranceCheck:
    """Return one fall against a factory's limit."""
    source = "a factory's limit, secondary trade page"
    return ToleranceCheck(
        what=what, value=value, unit=DEGREES, source=source, at_most=MOST_FALL_DEG, chances=chances
    )  # fmt: skip


def wound_after(hours: float) -> str:
    """Return "full" or "24h" for a round read so many hours after full wind, "" for neither.

    Examples
    --------
    >>> wound_after(0.75), wound_after(24.0), wound_after(6.0)
    ('full', '24h', '')

    Raises
    ------
    InputError : a negative time
    """
    if not hours >= 0:
        raise InputError(f"hours after full wind are 0 or more, got {hours:g}")
    if FULL_FROM_H <= hours <= FULL_UNTIL_H:
        return "full"
    return "24h" if DAY_FROM_H <= hours <= DAY_UNTIL_H else ""
