"""How a programme of daily rates stands: what was compared, what follows, how the criteria stand.

Nothing here asks the database: a programme holds its comparisons itself.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.analysis.daily_rates import (
    CourseEntry,
    days_to_come,
    last_comparison,
    runs_of,
    stand,
)
from sideshake.core.quantities import Measured
from sideshake.timing.daily_rates.criteria import Criterion, Run
from sideshake.timing.daily_rates.rules import PLAN, Day, MovementSize
from sideshake.web.models import Position, Programme

BETWEEN = timedelta(days=1)
FAR_S_PER_DAY = 60.0
"""A daily rate beyond a minute: more often a hand misread than a watch (common practice)."""
SIZES = {Programme.Size.LARGE: MovementSize.LARGE, Programme.Size.SMALL: MovementSize.SMALL}


def stored(entry: CourseEntry) -> dict[str, Any]:
    """Return a line of the book as it is kept."""
    if entry.at is None:
        return {"day": entry.day, "left_out": True}
    kept = {"day": entry.day, "at": entry.at.isoformat(), "state_s": entry.state_s}
    return kept if entry.counts else {**kept, "counts": False}


def entries(programme: Programme) -> list[CourseEntry]:
    """Return the lines of the book; one without a day ends the day after the one before it."""
    read: list[CourseEntry] = []
    for kept in programme.states:
        day = kept.get("day", read[-1].day + 1 if read else 0)
        at = kept.get("at")
        read.append(
            CourseEntry(
                day=day,
                at=datetime.fromisoformat(at) if at else None,
                state_s=kept.get("state_s"),
                counts=kept.get("counts", True),
            )
        )
    return read


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseLine:
    """One row of the table: a day as it was run or is to come, or a comparison that begins one."""

    day: Day | None
    entry: CourseEntry | None = None
    place: int | None = None
    run: Run | None = None
    is_next: bool = False

    @property
    def position(self) -> str:
        """Return the position in words."""
        return str(Position(self.day.position).label) if self.day else ""

    @property
    def at(self) -> datetime | None:
        """Return when it was compared."""
        return self.entry.at if self.entry else None

    @property
    def state_s(self) -> float | None:
        """Return watch minus reference."""
        return self.entry.state_s if self.entry else None

    @property
    def rate(self) -> Measured | None:
        """Return the daily rate, if the day counts."""
        return self.run.rate_s_per_day if self.run else None

    @property
    def warnings(self) -> list[str]:
        """Return what is odd about a day."""
        if self.run is None:
            return []
        told = []
        if not self.run.is_usual:
            told.append(
                _("%(length)s after the one before, not about 24 h: the rate is for that time.")
                % {"length": length_words(self.run.hours)}
            )
        if abs(self.run.rate_s_per_day.value) > FAR_S_PER_DAY:
            told.append(_("More than a minute a day: was the hand read rightly?"))
        return told


def length_words(hours: float) -> str:
    """Return a length of time as hours and minutes."""
    whole, minutes = divmod(round(hours * 60), 60)
    return _("%(hours)d h %(minutes)02d min") % {"hours": whole, "minutes": minutes}


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """How a programme stands."""

    programme: Programme
    lines: tuple[CourseLine, ...]
    day: Day | None
    """The day that runs or follows; None when all fifteen are behind."""
    last: CourseEntry | None
    """The comparison from which that day runs; None before the first."""

    @property
    def runs(self) -> tuple[Run, ...]:
        """Return the days that count."""
        return tuple(line.run for line in self.lines if line.run)

    @property
    def due_at(self) -> datetime | None:
        """Return when the next comparison is due; None before the first and after the last."""
        if not self.is_open or self.last is None or self.last.at is None:
            return None
        return self.last.at + BETWEEN

    @property
    def is_open(self) -> bool:
        """Whether there is something left to compare."""
        return self.programme.ended_on is None and self.day is not None

    @property
    def is_first(self) -> bool:
        """Whether the next comparison begins a day and ends none."""
        return self.last is None

    @property
    def position(self) -> str:
        """Return in words how the watch lies now."""
        return str(Position(self.day.position).label) if self.day else ""

    def stood(self) -> tuple[Criterion, ...]:
        """Return how the seven criteria stand."""
        book, u_s = entries(self.programme), self.programme.state_u_s
        return stand(book, u_s, size_of(self.programme))

    def is_due_by(self, moment: datetime) -> bool:
        """Whether a comparison is due on that moment's day, or was before."""
        if not self.is_open:
            return False
        day = timezone.localdate(moment)
        due_at = self.due_at
        return (timezone.localdate(due_at) if due_at else self.programme.begun_on) <= day

    def due_words(self, moment: datetime) -> str:
        """Return when the next comparison is due, and how the watch lies until then."""
        if self.day is None or not self.is_open:
            return ""
        if self.due_at is None:
            return _("First comparison: wound, and at least 12 hours at 23 °C before it.")
        lies = _("%(position)s, %(warm)d °C") % {
            "position": self.position, "warm": self.day.temperature_c,
        }  # fmt: skip
        if self.day.mechanism_on:
            lies += ", " + _("additional mechanism running")
        told = {"when": when_words(self.due_at, moment), "n": self.day.number, "lies": lies}
        return _("Day %(n)d runs: %(lies)s. Next comparison %(when)s.") % told


def size_of(programme: Programme) -> MovementSize:
    """Return which limits hold."""
    return SIZES[Programme.Size(programme.size)]


def when_words(due_at: datetime, moment: datetime) -> str:
    """Return a moment as today, tomorrow or a date, with the time of day; overdue is said."""
    local = timezone.localtime(due_at)
    days = (local.date() - timezone.localdate(moment)).days
    names = {-1: _("yesterday"), 0: _("today"), 1: _("tomorrow")}
    told = {"day": names.get(days, local.date().isoformat()), "time": f"{local:%H:%M}"}
    if due_at < moment:
        return _("was due %(day)s at %(time)s") % told
    return _("due %(day)s at %(time)s") % told


def course(programme: Programme) -> Course:
    """Return how a programme stands."""
    book = entries(programme)
    coming = days_to_come(book)
    lines = [
        CourseLine(day=day_of(entry), entry=entry, place=place, run=run)
        for place, (entry, run) in enumerate(
            zip(book, runs_of(book, programme.state_u_s), strict=True)
        )
    ]
    lines += [CourseLine(day=day, is_next=day is coming[0]) for day in coming]
    return Course(
        programme=programme,
        lines=tuple(lines),
        day=coming[0] if coming else None,
        last=last_comparison(book),
    )


def day_of(entry: CourseEntry) -> Day | None:
    """Return the day that a line ends; None where it only begins one."""
    return PLAN[entry.day - 1] if entry.day else None


def due_courses(programmes: Iterable[Programme], moment: datetime) -> list[Course]:
    """Return those of some programmes whose comparison is due today or was before."""
    standing = (course(programme) for programme in programmes)
    due = [each for each in standing if each.is_due_by(moment)]
    return sorted(due, key=lambda each: each.due_at or moment)
