"""Fifteen days of daily rates compared with the seven criteria of ISO 3159.

A comparison, not a certification: that comes only from a neutral accredited laboratory.

A daily rate is the difference of two states (watch minus reference) about 24 h apart, never a
minute of listening (trade-facts 1.1.12). Neighbouring days share a state: the criteria are drawn
from the states, so what they share is carried. Nothing is rounded before it is compared (1.1.13).
Criteria made of sizes are freed of what the comparisons' own doubt adds to them.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError
from sideshake.core.quantities import COVERAGE_FACTOR, SECONDS_PER_DAY, Measured, propagate
from sideshake.timing.daily_rates.known_noise import freed_of_noise, shape_of
from sideshake.timing.daily_rates.rules import (
    PLAN,
    RULES,
    CriterionLimits,
    CriterionPart,
    CriterionRule,
    MovementSize,
    Rates,
)

NOTICE = "Compared with the limits of ISO 3159; not a certification."
USUAL_GAP_H = (23.5, 24.5)
DRAWS, SEED = 20_000, 3159
SURE = 0.95


class CriterionVerdict(StrEnum):
    """How a criterion stands against its limits."""

    KEPT = "kept"
    NOT_KEPT = "not kept"
    NEAR = "too near to the limit to tell"
    OPEN = "cannot be told yet"


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockComparison:
    """One comparison: watch minus reference in seconds, plus is ahead; `at_s` by the reference."""

    at_s: float
    state_s: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One day that was run: from one comparison to the next."""

    day: int
    begun: ClockComparison
    ended: ClockComparison

    def __post_init__(self) -> None:
        if not 1 <= self.day <= len(PLAN):
            raise InputError(f"the programme has days 1 to {len(PLAN)}, got {self.day}")
        if not self.ended.at_s > self.begun.at_s:
            raise InputError(f"day {self.day} ends before it begins")

    @property
    def hours(self) -> float:
        """Return how long it lasted."""
        return (self.ended.at_s - self.begun.at_s) / 3600

    @property
    def is_usual(self) -> bool:
        """Return whether the two comparisons lie about 24 h apart."""
        low, high = USUAL_GAP_H
        return low <= self.hours <= high

    @property
    def rate_s_per_day(self) -> Measured:
        """Return the daily rate."""
        return daily_rate(self.begun, self.ended)


def daily_rate(first: ClockComparison, second: ClockComparison) -> Measured:
    """Return what the watch gained between two comparisons, for 24 h by the reference.

    Raises
    ------
    InputError : the second does not come after the first

    Examples
    --------
    >>> daily_rate(ClockComparison(at_s=0, state_s=Measured(1.0)), ClockComparison(at_s=43200,
    ...     state_s=Measured(3.5)))
    Measured(value=5.0, u=0.0)
    """
    lasted_s = second.at_s - first.at_s
    if not lasted_s > 0:
        raise InputError("the second comparison must come after the first")
    return propagate(
        lambda a, b: (b - a) * (SECONDS_PER_DAY / lasted_s), first.state_s, second.state_s
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Operand:
    """One of the figures a criterion is made of."""

    words: str
    value: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """How one criterion stands; without a value while days are missing that could still save it.

    `interval` : the 95 % interval of one made of sizes, freed of the comparisons' noise; it lies
        unevenly about the value, whose own ± reaches its farther end. None where ± says it all.
    """

    rule: CriterionRule
    limits: CriterionLimits
    value: Measured | None
    interval: tuple[float, float] | None
    operands: tuple[Operand, ...]
    probability: float | None
    missing: tuple[int, ...]

    @property
    def verdict(self) -> CriterionVerdict:
        """Return kept, not kept, too near to tell (the probability says), or open."""
        if self.probability is None:
            return CriterionVerdict.OPEN
        if self.probability >= SURE:
            return CriterionVerdict.KEPT
        return CriterionVerdict.NOT_KEPT if self.probability <= 1 - SURE else CriterionVerdict.NEAR


def criteria(runs: Iterable[Run], size: MovementSize) -> tuple[Criterion, ...]:
    """Return how the seven criteria stand after the days that were run.

    Raises
    ------
    InputError : a day is given twice
    """
    by_day: dict[int, Run] = {}
    for run in runs:
        if run.day in by_day:
            raise InputError(f"day {run.day} is given twice")
        by_day[run.day] = run
    rates = {day: run.rate_s_per_day.value for day, run in by_day.items()}
    drawn = draw_rates(by_day)
    return tuple(judged(rule, size, rates, drawn) for rule in RULES)


def draw_rates(by_day: Mapping[int, Run]) -> dict[int, NDArray[np.float64]]:
    """Return draws of each day's rate; days that share a comparison share its error.

    References
    ----------
    JCGM 101:2008 (GUM Supplement 1): propagation of distributions by drawing
    """
    random = np.random.default_rng(SEED)
    drawn: dict[ClockComparison, NDArray[np.float64]] = {}
    for _, run in sorted(by_day.items()):
        for state in (run.begun, run.ended):
            if state not in drawn:
                drawn[state] = random.normal(state.state_s.value, state.state_s.u, DRAWS)
    return {
        day: (drawn[run.ended] - drawn[run.begun])
        * (SECONDS_PER_DAY / (run.ended.at_s - run.begun.at_s))
        for day, run in by_day.items()
    }


def judged(
    rule: CriterionRule, size: MovementSize, rates: Rates, drawn: Mapping[int, NDArray[np.float64]]
) -> Criterion:
    """Return one criterion with the operands that are there, and the days it still misses.

    One that only grows is lost before its last day when what is there already breaks the limit.
    """
    limits = rule.limits[size]
    missing = tuple(day for day in rule.days if day not in rates)
    parts = [part for part in rule.parts if all(day in rates for day in part.days)]
    values, clouds = ([part.read(each) for part in parts] for each in (rates, drawn))
    told = bool(parts) and (rule.only_grows or not missing)
    stands = figure(rule, parts, values, clouds) if told else None
    if stands and missing and stands.share_in(limits) > 1 - SURE:
        stands = None
    return Criterion(
        rule=rule,
        limits=limits,
        value=stands.value if stands else None,
        interval=stands.interval if stands else None,
        operands=tuple(operand(rule, *each) for each in zip(parts, values, clouds, strict=True)),
        probability=stands.share_in(limits) if stands else None,
        missing=missing,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionFigure:
    """A criterion's figure; an interval of its own where it lies unevenly about the value."""

    value: Measured
    interval: tuple[float, float] | None
    draws: NDArray[np.float64]

    def share_in(self, limits: CriterionLimits) -> float:
        """Return the probability of lying within limits."""
        return float(np.mean(limits.hold(self.draws)))


def figure(
    rule: CriterionRule,
    parts: list[CriterionPart],
    values: list[float],
    clouds: list[NDArray[np.float64]],
) -> CriterionFigure:
    """Return a criterion's figure: freed of the comparisons' noise where that makes it larger."""
    cloud = np.asarray(rule.formula(clouds))
    value = float(rule.formula(values))
    if not rule.of_sizes or not spread(cloud):
        return CriterionFigure(value=Measured(value, spread(cloud)), interval=None, draws=cloud)
    read = np.array(values, dtype=float)
    freed = freed_of_noise(
        read,
        np.array(clouds) - read[:, None],
        shape_of(
            [part.read for part in parts], sorted({day for part in parts for day in part.days})
        ),
        rule.formula,
    )
    half = max(freed.high - freed.value, freed.value - freed.low)
    return CriterionFigure(
        value=Measured(freed.value, half / COVERAGE_FACTOR),
        interval=(freed.low, freed.high),
        draws=freed.draws,
    )


def operand(
    rule: CriterionRule, part: CriterionPart, value: float, cloud: NDArray[np.float64]
) -> Operand:
    """Return one of the figures as it was read, without its sign where only its size counts."""
    read = abs(value) if rule.of_sizes else float(value)
    return Operand(words=part.words, value=Measured(read, spread(cloud)))


def spread(cloud: NDArray[np.float64]) -> float:
    """Return the standard deviation of draws; exactly 0 where all are alike."""
    return float(np.std(cloud)) if np.ptp(cloud) else 0.0


def summary(stood: tuple[Criterion, ...]) -> str:
    """Return how many are kept, in one sentence, with what this is not."""
    counts = {
        verdict: sum(each.verdict is verdict for each in stood) for verdict in CriterionVerdict
    }
    told = [f"{count} {verdict}" for verdict, count in counts.items() if count]
    return f"Of {len(stood)} criteria: {', '.join(told)}. {NOTICE}"
