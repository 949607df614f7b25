"""A round of readings: what several positions say, the heavy spot, full wind against 24 hours.

Readings of a round share the error of one sound clock and of one lift angle. What they share counts
once in a mean and cancels in a difference; where it is not known, it counts both times.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from sideshake.core.correlated import left_of, relative_u
from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.movement.energy import stiffness
from sideshake.movement.sheet import CalibreSheet
from sideshake.timing.balance.known import KnownOfBalance, known_from
from sideshake.timing.compare.reading_figures import ReadingFigures
from sideshake.timing.diagnosis.causes import StandsOut, stands_out
from sideshake.timing.diagnosis.evidence import chronograph, seen
from sideshake.timing.isochronism import Isochronism, isochronism
from sideshake.timing.poise.heavy_spot import Hanging, Poise, find_poise, unbalance_ug_cm
from sideshake.timing.poise.of_round import hanging_of
from sideshake.timing.poise.two_amplitudes import TwoAmplitudes, compare_amplitudes
from sideshake.timing.poise.words import (
    CAUTIONS,
    CHECK_FIRST,
    say_poise,
    say_unbalance,
    where_to_take_weight,
)
from sideshake.timing.positions.summary import HeardRound, InPosition
from sideshake.timing.positions.words import say_round
from sideshake.timing.repeatability import laid_again
from sideshake.timing.tolerance import ToleranceCheck

Answer = TypeVar("Answer")
Clock = tuple[str, str]
"""A microphone and the day its sound clock was checked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundRead:
    """Readings of one round, in the order in which they were taken, and how far it was wound.

    `wound` : "full", "24h" or "" when not noted
    """

    readings: tuple[ReadingFigures, ...]
    wound: str = ""

    @property
    def heard(self) -> HeardRound:
        """Return them as a round; a reading without a position does not count."""
        return heard_round(self.readings, self.wound)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeavySpot:
    """The heavy spot and what to do about it, or why there is none to be told.

    `turned` : the proof at another amplitude; `turned_reason` says why there is none
    """

    poise: Poise | None
    sentence: str
    unbalance: str
    reason: str
    turned: TwoAmplitudes | None
    turned_reason: str

    @property
    def where(self) -> tuple[str, ...]:
        """Return where to take weight, a sentence for each step."""
        return where_to_take_weight(self.poise) if self.poise else ()

    @property
    def check_first(self) -> tuple[str, ...]:
        """Return what comes before poising."""
        return CHECK_FIRST

    @property
    def cautions(self) -> tuple[str, ...]:
        """Return what to mind when weight is taken."""
        return CAUTIONS


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundSaid:
    """All that a round says of its watch.

    `sentences`, `chronograph` and `stands_out` hold for the watch, which comes back to its figures
    only so far when it is laid the same way again; `heard` is as this laying was heard.
    """

    heard: HeardRound
    sentences: tuple[str, ...]
    chronograph: tuple[ToleranceCheck, ...]
    stands_out: StandsOut | None
    spot: HeavySpot


def say_of_round(
    read: RoundRead, *, sheet: CalibreSheet | None = None, other: RoundRead | None = None
) -> RoundSaid:
    """Return all that a round says.

    Parameters
    ----------
    sheet : the watch's calibre, if it is known
    other : the same watch in another state of wind: its other amplitude proves a heavy spot

    Examples
    --------
    >>> from sideshake.timing.compare.conditions import Conditions
    >>> from sideshake.timing.positions.summary import Position
    >>> one = ReadingFigures(
    ...     conditions=Conditions(position=Position.CH), amplitude_deg=Measured(280.0, 2.0))
    >>> say_of_round(RoundRead(readings=(one,))).spot.reason[:49]
    'A heavy spot is told from all four hanging positi'
    """
    heard = read.heard
    known = seen(laid_again(heard), sheet)
    return RoundSaid(
        heard=heard,
        sentences=say_round(known.said),
        chronograph=chronograph(known),
        stands_out=stands_out(heard, sheet) if heard.latest() else None,
        spot=heavy_spot(heard, other.heard if other else None, sheet),
    )


def after_a_day(
    full: RoundRead, day: RoundRead, *, sheet: CalibreSheet | None = None
) -> tuple[Isochronism | None, str]:
    """Return what 24 hours do to rate and amplitude, or why that cannot be told."""
    same_clock = len(clocks_of([*full.readings, *day.readings])) == 1
    return tried(lambda: isochronism(full.heard, day.heard, sheet=sheet, same_clock=same_clock))


def heard_round(readings: Sequence[ReadingFigures], wound: str) -> HeardRound:
    """Return readings as a round; those without a position do not count.

    Parameters
    ----------
    readings : in the order in which they were taken, each with its sound clock and lift angle
    wound : "full", "24h" or "" when not noted
    """
    heard = [each for each in readings if each.conditions.position]
    alone = len(clocks_of(heard)) == 1
    return HeardRound(
        readings=tuple(in_position(each, alone=alone) for each in heard),
        clock_u_s_per_day=max(map(clock_share, heard), default=0.0),
        wound=wound,
        lift_share_u=lift_share(heard),
    )


def in_position(read: ReadingFigures, *, alone: bool) -> InPosition:
    """Return one reading of a round; `alone` takes the sound clock's share out of the rate.

    Raises
    ------
    InputError : it has no position
    """
    rate, own_u, how = read.rate_s_per_day, read.rate_alone_u_s_per_day, read.conditions
    if how.position is None:
        raise InputError("a reading of a round needs a position")
    if alone and rate is not None and own_u is not None:
        rate = Measured(rate.value, own_u)
    return InPosition(
        position=how.position,
        rate_s_per_day=rate,
        amplitude_deg=read.amplitude_deg,
        beat_error_ms=read.beat_error_ms,
        chronograph_on=how.chronograph_on,
    )


def clock_share(read: ReadingFigures) -> float:
    """Return the sound clock's standard uncertainty (s a day); all of the rate's if not known."""
    u = read.rate_s_per_day.u if read.rate_s_per_day else 0.0
    own_u = read.rate_alone_u_s_per_day
    return u if own_u is None else left_of(u, own_u)


def lift_share(readings: Sequence[ReadingFigures]) -> float | None:
    """Return the lift angle's relative uncertainty, if all were read with one; else None."""
    told = {each.lift_angle_deg for each in readings if each.amplitude_deg is not None}
    lift = told.pop() if len(told) == 1 else None
    return relative_u(lift) if lift else None


def clocks_of(readings: Sequence[ReadingFigures]) -> set[Clock]:
    """Return the sound clocks that readings were taken with."""
    return {(each.recorder, each.clock_checked_on) for each in readings}


def heavy_spot(
    heard: HeardRound, other: HeardRound | None, sheet: CalibreSheet | None
) -> HeavySpot:
    """Return the heavy spot of a round, and the proof at the other amplitude where there is one."""
    hanging, reason = tried(lambda: hanging_of(heard))
    poise: Poise | None = None
    turned: TwoAmplitudes | None = None
    turned_reason = ""
    if hanging is not None:
        poise, reason = tried(lambda: find_poise(hanging))
        if other is not None:
            turned, turned_reason = tried(lambda: at_both(hanging, other))
    return HeavySpot(
        poise=poise,
        sentence=say_poise(poise) if poise else "",
        unbalance=unbalance_words(poise, sheet) if poise and sheet else "",
        reason=reason,
        turned=turned,
        turned_reason=turned_reason,
    )


def unbalance_words(poise: Poise, sheet: CalibreSheet) -> str:
    """Return how heavy the spot is, where the sheet knows the balance; else nothing."""
    known = KnownOfBalance(**known_from(sheet))
    if known.inertia_mg_cm2 is None or known.beats_per_hour is None:
        return ""
    spring = stiffness(known.inertia_mg_cm2, known.beats_per_hour)
    return say_unbalance(unbalance_ug_cm(poise, stiffness_nm=spring))


def at_both(hanging: Hanging, other: HeardRound) -> TwoAmplitudes:
    """Return what the two amplitudes of two states of wind tell apart."""
    return compare_amplitudes(hanging, hanging_of(other))


def tried(ask: Callable[[], Answer]) -> tuple[Answer | None, str]:
    """Return an answer, or why there is none, as a sentence."""
    try:
        return ask(), ""
    except (InputError, NotEnough) as fault:
        return None, fault.sentence
