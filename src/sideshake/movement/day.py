"""The hours in which the day of the week must not be set, where it has a finger of its own."""

from sideshake.core.errors import InputError
from sideshake.movement.calendar import (
    LEAST_MARGIN_H,
    QuickSet,
    common_advice,
    engagement_of,
    quick_set,
)
from sideshake.movement.sections import Calendar
from sideshake.movement.sheet import CalibreSheet

DATE, DAY = "date", "day"
"""What is set: the date, or the day of the week."""


def day_hours(sheet: CalibreSheet, *, margin_h: float = LEAST_MARGIN_H) -> QuickSet | None:
    """Return the forbidden hours of the day of the week; None where it cannot be set on its own.

    Raises
    ------
    InputError : the sheet has a section [day] from which they cannot be reckoned

    Examples
    --------
    >>> from sideshake.movement.sheet_file import shipped_sheet
    >>> day_hours(shipped_sheet("tarnbrook-31")) is None
    True
    """
    day: Calendar | None = sheet.day
    if day is None or day.quick_set is False:
        return None
    shown = [each.dial_shows_half_day for each in (day, sheet.calendar) if each is not None]
    return quick_set(engagement_of(day, DAY), margin_h=margin_h, shows_half_day=True in shown)


def day_hours_or_advice(sheet: CalibreSheet | None) -> QuickSet | None:
    """Return them as `day_hours` does; the widest advice where they cannot be reckoned."""
    if sheet is None:
        return None
    try:
        return day_hours(sheet)
    except InputError:
        return common_advice()
