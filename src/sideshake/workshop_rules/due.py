"""What falls due and when: warranty, next service, the proposal's last day. Today is handed in.

A period of months ends on the day of the same number, or on the month's last day where that day
does not exist. It is counted whole: its last day still belongs to it.

References
----------
Regulation (EEC, Euratom) No 1182/71, Art. 3(2)(c)
"""

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from sideshake.core.errors import InputError

WARRANTY_MONTHS = 12
"""Usual on a complete overhaul (secondary trade pages); the workshop's own terms govern."""
SERVICE_MONTHS = 48
"""Within the trade bodies' three to five years (secondary trade page)."""
PROPOSAL_DAYS = 30
"""Common practice, no source."""
ANSWER_DAYS = 7
"""How long an owner thinks a proposal over before one asks again (common practice, no source)."""


class DueKind(StrEnum):
    """What falls due."""

    SERVICE = "next service"
    WARRANTY = "end of the warranty"
    PROPOSAL = "end of the proposal"
    PROMISE = "promised date"


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One thing that falls due: which visit, what, and its day."""

    visit: str
    kind: DueKind
    day: date

    def days_left(self, today: date) -> int:
        """Return the days until then; below 0 when it is past, 0 on the day itself."""
        return (self.day - today).days

    def words(self, today: date) -> str:
        """Return how far off it is, in words."""
        left = self.days_left(today)
        if left == 0:
            return f"{self.kind}: today"
        count = f"{abs(left)} day{'s' * (abs(left) != 1)}"
        return f"{self.kind}: {f'in {count}' if left > 0 else f'{count} ago'}"


def months_after(start: date, months: int) -> date:
    """Return the same day so many months later, or the last day of a shorter month.

    Examples
    --------
    >>> months_after(date(2027, 1, 31), 1), months_after(date(2024, 2, 29), 12)
    (datetime.date(2027, 2, 28), datetime.date(2025, 2, 28))
    """
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    if not date.min.year <= year <= date.max.year:
        raise InputError(f"{months} months after {start} is beyond the calendar")
    return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1]))


def warranty_end(gone_home: date, months: int = WARRANTY_MONTHS) -> date:
    """Return the last day of the warranty, which begins when the watch goes home."""
    require_period("a warranty", months)
    return months_after(gone_home, months)


def next_service(gone_home: date, months: int = SERVICE_MONTHS) -> date:
    """Return the day on which the next service is advised."""
    require_period("the time to the next service", months)
    return months_after(gone_home, months)


def proposal_expiry(sent: date, days: int = PROPOSAL_DAYS) -> date:
    """Return the last day on which the owner can agree to a proposal as it stands."""
    require_period("the life of a proposal", days)
    if days > (date.max - sent).days:
        raise InputError(f"{days} days after {sent} is beyond the calendar")
    return sent + timedelta(days=days)


def require_period(name: str, length: int) -> None:
    """Refuse a period below 1."""
    if length < 1:
        raise InputError(f"{name} is 1 or more, got {length}")


def is_past(last_day: date, today: date) -> bool:
    """Return whether a period is over: the day after its last day."""
    return today > last_day


def days_over(last_day: date | None, today: date) -> int:
    """Return for how many days something is overdue; 0 on its last day, before it, or without one.

    Examples
    --------
    >>> due = date(2026, 3, 12)
    >>> days_over(due, date(2026, 3, 26)), days_over(due, due), days_over(None, due)
    (14, 0, 0)
    """
    return max((today - last_day).days, 0) if last_day else 0


def due_within(dues: tuple[Due, ...], today: date, *, days: int = 30) -> tuple[Due, ...]:
    """Return what is past or falls due within so many days, the earliest first."""
    if days < 0:
        raise InputError(f"look 0 or more days ahead, got {days}")
    near = [each for each in dues if each.days_left(today) <= days]
    return tuple(sorted(near, key=lambda each: (each.day, each.visit, each.kind)))
