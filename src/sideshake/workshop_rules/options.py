"""Options for the owner: what could be done, why, what it may cost, and what if it is left.

Working times are the workshop's own business. Those given here are common practice, no source,
and only a beginning: hand in your own, or what your past visits took.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from enum import IntEnum

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.workshop_rules.money import Amount, nothing, sum_of
from sideshake.workshop_rules.need import WorkNeed
from sideshake.workshop_rules.totals import NoTax, TaxedLine

COMMON_PRACTICE = "common practice, no source"
MINUTES_AN_HOUR = 60
OVERHAUL = "overhaul"


class OpeningDepth(IntEnum):
    """How far a watch must be opened for a piece of work."""

    OUTSIDE = 0
    OPENED = 1
    APART = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkTime:
    """How long a piece of work takes, from least to most, and how that is known."""

    least_min: int
    most_min: int
    source: str = COMMON_PRACTICE

    def __post_init__(self) -> None:
        if not 0 <= self.least_min <= self.most_min:
            raise InputError(
                f"a working time runs from least to most, 0 or more: got {self.least_min} to "
                f"{self.most_min} minutes"
            )

    @classmethod
    def of(cls, measured: Measured, source: str) -> "WorkTime":
        """Return the 95 % range of a measured time in minutes."""
        return cls(
            least_min=max(0, round(measured.value - measured.expanded)),
            most_min=round(measured.value + measured.expanded),
            source=source,
        )

    @property
    def middle_min(self) -> int:
        """Return the middle of the range, in whole minutes."""
        return (self.least_min + self.most_min + 1) // 2

    @property
    def words(self) -> str:
        """Return the range in words."""
        if self.least_min == self.most_min:
            return f"{self.most_min} minutes"
        return f"{self.least_min} to {self.most_min} minutes"

    def __add__(self, other: "WorkTime") -> "WorkTime":
        sources = dict.fromkeys((self.source, other.source))
        return WorkTime(
            least_min=self.least_min + other.least_min,
            most_min=self.most_min + other.most_min,
            source="; ".join(sources),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """One option of a proposal, in words for the owner.

    `instead_of` is the key of the option that this one replaces, when only one can be chosen.
    """

    key: str
    title: str
    reason: str
    evidence: tuple[str, ...]
    risk: str
    if_left: str
    time: WorkTime
    parts: tuple[str, ...] = ()
    outwork: str = ""
    instead_of: str | None = None
    depth: OpeningDepth = OpeningDepth.OUTSIDE
    need: WorkNeed = WorkNeed.ADVISED

    @property
    def on_top_of(self) -> str | None:
        """Return the key of the overhaul if this cannot be done, and is not timed, without it."""
        return OVERHAUL if self.depth is OpeningDepth.APART and self.key != OVERHAUL else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What an option may cost, without or with tax as the hourly rate was: from least to most."""

    least: Amount
    most: Amount

    @property
    def middle(self) -> Amount:
        """Return the middle, rounded half up."""
        return (self.least + self.most).times(Decimal("0.5"))


def price(
    time: WorkTime,
    *,
    hour: Amount,
    parts: tuple[Amount, ...] = (),
    outwork: tuple[Amount, ...] = (),
) -> Price:
    """Return what an option costs: its time at the hourly rate, its parts and its outwork.

    Examples
    --------
    >>> asked = price(WorkTime(least_min=60, most_min=90), hour=Amount(Decimal(80), "EUR"))
    >>> str(asked.least.value), str(asked.most.value)
    ('80.00', '120.00')
    """
    if hour.value < 0:
        raise InputError(f"an hourly rate is 0 or more, got {hour.value} {hour.currency}")
    fixed = sum_of((*parts, *outwork), hour.currency)
    return Price(
        least=labour(time.least_min, hour) + fixed, most=labour(time.most_min, hour) + fixed
    )


def to_step(asked: Amount, step: Decimal) -> Amount:
    """Return a price rounded half up to a whole number of steps; a step of 0 leaves it.

    A price above 0 never becomes 0.

    Examples
    --------
    >>> [str(to_step(Amount(Decimal(p), "EUR"), Decimal(5)).value) for p in ("97.50", "1", "0")]
    ['100.00', '5.00', '0.00']
    """
    if step < 0:
        raise InputError(f"prices are rounded to 0 or more, got {step}")
    if not step or not asked.value:
        return asked
    steps = (asked.value / step).quantize(Decimal(1), ROUND_HALF_UP)
    return Amount((steps or 1) * step, asked.currency)


def labour(minutes: int, hour: Amount) -> Amount:
    """Return so many minutes at an hourly rate, rounded half up."""
    return hour.times(Decimal(minutes) / MINUTES_AN_HOUR) if minutes else nothing(hour.currency)


def priced_line(
    suggestion: Suggestion,
    agreed: Amount,
    *,
    tax_percent: Decimal | int = 0,
    no_tax: NoTax | None = None,
) -> TaxedLine:
    """Return the line of a proposal or an invoice for an option at the price agreed."""
    return TaxedLine(
        text=suggestion.title, quantity=1, each=agreed, tax_percent=tax_percent, no_tax=no_tax
    )


def with_own_times(
    suggestions: tuple[Suggestion, ...], own: Mapping[str, WorkTime]
) -> tuple[Suggestion, ...]:
    """Return the options with the workshop's own working times where it has one of that key."""
    return tuple(
        replace(each, time=own[each.key]) if each.key in own else each for each in suggestions
    )
