"""A maker's instruction for a round, and what a round says against it."""

from dataclasses import dataclass

from sideshake.timing.diagnosis.evidence import DEGREES, RATE, Proofs
from sideshake.timing.positions.summary import Summary
from sideshake.timing.tolerance import ToleranceCheck


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundLimits:
    """What a round is to keep, in one state of wind; None where the instruction says nothing.

    `mean_s_per_day` : least and most of the mean rate
    `spread_s_per_day` : most, largest minus smallest rate
    `hanging_deg` : least amplitude in any hanging position
    `chronograph_deg` : most that the chronograph may cost
    """

    source: str
    mean_s_per_day: tuple[float, float] | None = None
    spread_s_per_day: float | None = None
    hanging_deg: float | None = None
    chronograph_deg: float | None = None


def held_against(said: Summary, limits: RoundLimits) -> Proofs:
    """Return the round's figures against the instruction, of those that both have."""
    return (
        *mean_held(said, limits),
        *spread_held(said, limits),
        *hanging_held(said, limits),
        *chronograph_held(said, limits),
    )


def mean_held(said: Summary, limits: RoundLimits) -> Proofs:
    """Return the mean rate against its limits."""
    if said.mean_s_per_day is None or limits.mean_s_per_day is None:
        return ()
    least, most = limits.mean_s_per_day
    positions = ", ".join(said.rates_in)
    return (
        ToleranceCheck(
            what=f"mean rate of {positions}", value=said.mean_s_per_day, unit=RATE,
            source=limits.source, at_least=least, at_most=most,
        ),
    )  # fmt: skip


def spread_held(said: Summary, limits: RoundLimits) -> Proofs:
    """Return the spread against its limit."""
    spread = said.spread
    if spread is None or limits.spread_s_per_day is None:
        return ()
    return (
        ToleranceCheck(
            what=f"spread, {spread.largest} minus {spread.smallest},", value=spread.value,
            unit=RATE, source=limits.source, at_most=limits.spread_s_per_day,
        ),
    )  # fmt: skip


def hanging_held(said: Summary, limits: RoundLimits) -> Proofs:
    """Return the least hanging amplitude against its limit."""
    least = said.least_hanging
    if least is None or limits.hanging_deg is None:
        return ()
    return (
        ToleranceCheck(
            what=f"least amplitude hanging, in {least.position},", value=least.value, unit=DEGREES,
            source=limits.source, at_least=limits.hanging_deg,
            chances=sum(each.hanging for each in said.amplitudes_in),
        ),
    )  # fmt: skip


def chronograph_held(said: Summary, limits: RoundLimits) -> Proofs:
    """Return the chronograph's cost against its limit."""
    cost = said.chronograph_cost_deg
    if cost is None or limits.chronograph_deg is None:
        return ()
    return (
        ToleranceCheck(
            what="amplitude lost with the chronograph on", value=cost, unit=DEGREES,
            source=limits.source, at_most=limits.chronograph_deg,
        ),
    )  # fmt: skip
