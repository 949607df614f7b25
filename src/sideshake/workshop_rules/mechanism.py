"""Which mechanisms a watch has, as far as its calibre sheet tells; silence is not "no"."""

from enum import StrEnum

from sideshake.movement.sheet import CalibreSheet


class Mechanism(StrEnum):
    """A mechanism that not every watch has."""

    AUTOMATIC = "automatic winding"
    CALENDAR = "calendar"
    QUICK_SET = "quick-set of the date"
    POLYMER = "polymer wheel"
    CHRONOGRAPH = "chronograph"
    MINUTE_COUNTER = "minute counter"
    HOUR_COUNTER = "hour counter"


EVERY = frozenset(Mechanism)


def mechanisms(sheet: CalibreSheet | None) -> frozenset[Mechanism]:
    """Return what the watch has or may have; without a sheet, everything it might have."""
    return told(sheet) | unsure(sheet)


def told(sheet: CalibreSheet | None) -> frozenset[Mechanism]:
    """Return what the sheet says the watch has; nothing without a sheet."""
    if sheet is None:
        return frozenset()
    calendar, chronograph = sheet.calendar, sheet.chronograph
    said = {
        Mechanism.AUTOMATIC: sheet.automatic,
        Mechanism.CALENDAR: calendar,
        Mechanism.QUICK_SET: calendar and calendar.quick_set,
        Mechanism.POLYMER: calendar and calendar.polymer_wheel,
        Mechanism.CHRONOGRAPH: chronograph,
        Mechanism.MINUTE_COUNTER: chronograph and chronograph.minute_counter,
        Mechanism.HOUR_COUNTER: chronograph and chronograph.hour_counter,
    }
    return frozenset(each for each, line in said.items() if line)


def unsure(sheet: CalibreSheet | None) -> frozenset[Mechanism]:
    """Return what the watch may have or not: the sheet is silent, or there is none."""
    if sheet is None:
        return EVERY
    silent = set()
    if sheet.calendar and sheet.calendar.quick_set is None:
        silent.add(Mechanism.QUICK_SET)
    if sheet.chronograph and sheet.chronograph.minute_counter is None:
        silent.add(Mechanism.MINUTE_COUNTER)
    if sheet.chronograph and sheet.chronograph.hour_counter is None:
        silent.add(Mechanism.HOUR_COUNTER)
    return frozenset(silent)
