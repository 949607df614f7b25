"""The programme and the seven criteria of ISO 3159, as data.

ISO 3159:2009 through secondary pages; trade-facts 1.1 and 1.2. Days 12 and 14 enter no criterion.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np

HANGING_MINUS_LYING = 1
"""1 for 6H minus CH, as an observatory that works to the standard writes it; -1 turns it round
(disputed: trade-facts 1.3.1). Both operands are shown."""
Rates = Mapping[int, Any]
"""Daily rate by day of the programme: a number each, or an array of draws each."""


class MovementSize(StrEnum):
    """Which limits hold, by the movement's diameter (trade-facts 1.2.9, 1.2.10)."""

    LARGE = "over 20 mm"
    SMALL = "20 mm or less"


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One day of the programme: how the watch lies, how warm, whether its mechanism runs."""

    number: int
    position: str
    temperature_c: int
    mechanism_on: bool = False


_POSITIONS = ["6H", "6H", "3H", "3H", "9H", "9H", "FH", "FH", "CH", "CH", "CH", "CH", "CH"]
_WARMTH = {11: 8, 13: 38}
PLAN = tuple(
    Day(
        number=number,
        position=position,
        temperature_c=_WARMTH.get(number, 23),
        mechanism_on=number == 10,
    )
    for number, position in enumerate([*_POSITIONS, "6H", "6H"], start=1)
)
"""ISO 3159:2009 through secondary pages (trade-facts 1.1.3 to 1.1.10)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionLimits:
    """What a criterion must lie within, the limits themselves included."""

    low: float
    high: float

    def hold(self, value: Any) -> Any:
        """Return whether a value (or each of an array) lies within."""
        return (self.low <= value) & (value <= self.high)

    @property
    def text(self) -> str:
        """Return the limits in words."""
        if self.low == -self.high:
            return f"±{self.high:g}"
        if self.low == 0:
            return f"0 to {self.high:g}"
        return f"{self.low:+g} to {self.high:+g}".replace("-", "−")


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionPart:
    """One of the figures a criterion is made of, signed, and the days it needs."""

    words: str
    days: tuple[int, ...]
    read: Callable[[Rates], Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionRule:
    """One of the seven criteria: its formula on its parts, and its limits for each size.

    `of_sizes` : whether it is made of its parts' sizes, which noise makes larger
    `only_grows` : whether further days can but raise it, so that it may be lost before the end
    """

    key: str
    name: str
    definition: str
    unit: str
    days: tuple[int, ...]
    parts: tuple[CriterionPart, ...]
    formula: Callable[[Any], Any]
    limits: Mapping[MovementSize, CriterionLimits]
    of_sizes: bool = False
    only_grows: bool = False


def both(
    low: float, high: float, small_low: float, small_high: float
) -> dict[MovementSize, CriterionLimits]:
    """Return the limits of both sizes."""
    return {
        MovementSize.LARGE: CriterionLimits(low=low, high=high),
        MovementSize.SMALL: CriterionLimits(low=small_low, high=small_high),
    }


def one_day(day: int, words: str = "") -> CriterionPart:
    """Return the rate of one day."""
    return CriterionPart(words=words or f"day {day}", days=(day,), read=lambda rates: rates[day])


def mean_of(*days: int) -> Callable[[Rates], Any]:
    """Return the function that averages some days."""
    return lambda rates: sum(rates[day] for day in days) / len(days)


def pair_mean(day: int) -> CriterionPart:
    """Return the mean of two neighbouring days in one position."""
    words = f"{PLAN[day - 1].position}, days {day} and {day + 1}"
    return CriterionPart(words=words, days=(day, day + 1), read=mean_of(day, day + 1))


def pair_change(day: int) -> CriterionPart:
    """Return how far two neighbouring days in one position lie apart."""
    return CriterionPart(
        words=f"{PLAN[day - 1].position}, days {day} and {day + 1}",
        days=(day, day + 1),
        read=lambda rates: rates[day + 1] - rates[day],
    )


def largest(parts: Any) -> Any:
    """Return the largest size, for each draw."""
    return np.maximum.reduce([abs(part) for part in parts])


def mean_size(parts: Any) -> Any:
    """Return the mean size of the five changes, for each draw; one that is not there counts 0."""
    return sum(abs(part) for part in parts) / len(_CHANGES)


TEN = tuple(range(1, 11))
_MEAN = mean_of(*TEN)
_CHANGES = tuple(pair_change(day) for day in range(1, 10, 2))


def away(day: int) -> CriterionPart:
    """Return how far one day lies from the mean of ten."""
    return CriterionPart(words=f"day {day}", days=TEN, read=lambda rates: rates[day] - _MEAN(rates))


def hanging_lying(sign: int) -> CriterionRule:
    """Return the rule of 6H minus CH (sign 1), or of CH minus 6H (sign -1)."""
    words = ("mean of days 1 and 2 (6H)", "mean of days 9 and 10 (CH)")
    return CriterionRule(
        key="hanging-lying",
        name="difference hanging − lying" if sign == 1 else "difference lying − hanging",
        definition=" less ".join(words[::sign]),
        unit="s/day",
        days=(1, 2, 9, 10),
        parts=(pair_mean(1), pair_mean(9)),
        formula=lambda parts: sign * (parts[0] - parts[1]),
        limits=both(-6, 8, -8, 10),
    )


RULES = (
    CriterionRule(
        key="mean",
        name="mean daily rate",
        definition="mean of days 1 to 10",
        unit="s/day",
        days=TEN,
        parts=tuple(one_day(day) for day in TEN),
        formula=lambda parts: sum(parts) / 10,
        limits=both(-4, 6, -5, 8),
    ),
    CriterionRule(
        key="mean-variation",
        name="mean variation of rates",
        definition="mean of how far the two days of each position lie apart",
        unit="s/day",
        days=TEN,
        parts=_CHANGES,
        formula=mean_size,
        limits=both(0, 2, 0, 3.4),
        of_sizes=True,
        only_grows=True,
    ),
    CriterionRule(
        key="greatest-variation",
        name="greatest variation of rates",
        definition="the largest of those five",
        unit="s/day",
        days=TEN,
        parts=_CHANGES,
        formula=largest,
        limits=both(0, 5, 0, 7),
        of_sizes=True,
        only_grows=True,
    ),
    hanging_lying(HANGING_MINUS_LYING),
    CriterionRule(
        key="greatest-difference",
        name="greatest difference from the mean",
        definition="the largest distance of days 1 to 10 from their mean",
        unit="s/day",
        days=TEN,
        parts=tuple(away(day) for day in TEN),
        formula=largest,
        limits=both(0, 10, 0, 15),
        of_sizes=True,
    ),
    CriterionRule(
        key="thermal",
        name="variation with temperature",
        definition="day 13 (38 °C) less day 11 (8 °C), for one degree",
        unit="s/day and °C",
        days=(11, 13),
        parts=(one_day(11, "8 °C, day 11"), one_day(13, "38 °C, day 13")),
        formula=lambda parts: (parts[1] - parts[0]) / 30,
        limits=both(-0.6, 0.6, -0.7, 0.7),
    ),
    CriterionRule(
        key="resumption",
        name="resumption of rate",
        definition="day 15 less mean of days 1 and 2, all 6H",
        unit="s/day",
        days=(1, 2, 15),
        parts=(pair_mean(1), one_day(15, "6H, day 15")),
        formula=lambda parts: parts[1] - parts[0],
        limits=both(-5, 5, -6, 6),
    ),
)
"""Definitions and limits: trade-facts 1.2.1 to 1.2.10."""
