"""From a season's value to a row of the records: fields of the same name are copied."""

from dataclasses import fields
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from typing import Any, TypeVar

from django.db.models import Model

Row = TypeVar("Row", bound=Model)
FROM_HOUR, HOURS = 8, 9
"""The workshop's hours, for moments of which only the day is told."""


def copied(table: type[Row], value: Any, **own: Any) -> Row:
    """Return a row with the value's fields of the same names, and with its own ones."""
    columns = {each.name for each in table._meta.concrete_fields}
    same = {
        each.name: getattr(value, each.name)
        for each in fields(value)
        if each.name in columns and each.name not in own
    }
    return table(**same, **own)


def moments(first: date, last: date, count: int, key: str) -> list[datetime]:
    """Return so many moments in their order, spread over the days from first to last."""
    days = (last - first).days
    return sorted(
        moment(first + timedelta(days=days * place // count), f"{key} {place}")
        for place in range(count)
    )


def moment(day: date, key: str) -> datetime:
    """Return a moment within the day's working hours, the same for the same key.

    >>> moment(date(2026, 3, 2), "a") == moment(date(2026, 3, 2), "a")
    True
    """
    seconds = Random(f"{day} {key}").randrange(HOURS * 3600)
    return datetime.combine(day, time(FROM_HOUR), UTC) + timedelta(seconds=seconds)
