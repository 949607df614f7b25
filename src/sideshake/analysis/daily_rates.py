"""A programme of daily rates from its book: which days were run, which follow, how it stands."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sideshake.core.quantities import Measured
from sideshake.timing.daily_rates.criteria import ClockComparison, Criterion, Run, criteria
from sideshake.timing.daily_rates.rules import PLAN, Day, MovementSize


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseEntry:
    """One line of a programme's book.

    `day` : the day it ends; 0 when it only begins one (the first, or after the watch was set)
    `at`, `state_s` : when, and watch minus reference; both None when the day is left out
    `counts` : False when the day it ends was disturbed
    """

    day: int = 0
    at: datetime | None = None
    state_s: float | None = None
    counts: bool = True

    @property
    def is_left_out(self) -> bool:
        """Whether the day was not run at all."""
        return self.at is None


def runs_of(book: Sequence[CourseEntry], u_s: float) -> tuple[Run | None, ...]:
    """Return beside each line of the book the day that it ends; None where none counts.

    Parameters
    ----------
    book : in order of time
    u_s : standard uncertainty of each comparison (s)

    Raises
    ------
    InputError : a comparison does not come after the one before it

    Examples
    --------
    >>> book = [CourseEntry(at=datetime(2026, 3, day), state_s=float(day), day=day - 1)
    ...     for day in (1, 2, 3)]
    >>> [run and run.rate_s_per_day.value for run in runs_of(book, 0.2)]
    [None, 1.0, 1.0]
    """
    runs: list[Run | None] = []
    begun: ClockComparison | None = None
    for entry in book:
        if entry.at is None:
            runs.append(None)
            continue
        now = ClockComparison(
            at_s=entry.at.timestamp(), state_s=Measured(entry.state_s or 0.0, u_s)
        )
        counts = bool(entry.day and begun and entry.counts)
        runs.append(Run(day=entry.day, begun=begun, ended=now) if counts and begun else None)
        begun = now
    return tuple(runs)


def days_to_come(book: Sequence[CourseEntry]) -> tuple[Day, ...]:
    """Return the days of the programme that are neither run nor left out; the first runs now."""
    return PLAN[max((each.day for each in book), default=0) :]


def last_comparison(book: Sequence[CourseEntry]) -> CourseEntry | None:
    """Return the comparison from which the next day runs; None before the first."""
    return next((each for each in reversed(book) if not each.is_left_out), None)


def stand(book: Sequence[CourseEntry], u_s: float, size: MovementSize) -> tuple[Criterion, ...]:
    """Return how the seven criteria stand after the days of the book that count.

    Raises
    ------
    InputError : a day is given twice, or a comparison does not come after the one before it
    """
    return criteria([run for run in runs_of(book, u_s) if run], size)
