"""Which mechanisms a watch has, as far as its calibre sheet tells."""

from enum import StrEnum

from sideshake.movement.sheet import CalibreSheet


class Mechanism(StrEnum):
    """A mechanism that not every watch has."""

    HAND_WINDING = "hand winding only"
    AUTOMATIC = "automatic winding"
    CALENDAR = "calendar"
    QUICK_SET = "quick-set of the date"
    POLYMER = "polymer wheel"
    CHRONOGRAPH = "chronograph"
    COUPLING = "chronograph driven by meshing teeth"
    MINUTE_COUNTER = "minute counter"
    HOUR_COUNTER = "hour counter"


EVERY = frozenset(Mechanism)


def mechanisms(sheet: CalibreSheet | None) -> frozenset[Mechanism]:
    """Return what the sheet says the watch has; without a sheet, everything it might have."""
    if sheet is None:
        return EVERY
    winding = {Mechanism.AUTOMATIC if sheet.automatic else Mechanism.HAND_WINDING}
    return frozenset(winding | calendar_parts(sheet) | chronograph_parts(sheet))


def calendar_parts(sheet: CalibreSheet) -> set[Mechanism]:
    """Return the mechanisms of the calendar; a quick-set the sheet is silent on may be there."""
    if sheet.calendar is None:
        return set()
    parts = {Mechanism.CALENDAR}
    if sheet.calendar.quick_set is not False:
        parts.add(Mechanism.QUICK_SET)
    if sheet.calendar.polymer_wheel:
        parts.add(Mechanism.POLYMER)
    return parts


def chronograph_parts(sheet: CalibreSheet) -> set[Mechanism]:
    """Return the mechanisms of the chronograph."""
    if sheet.chronograph is None:
        return set()
    parts = {Mechanism.CHRONOGRAPH}
    if sheet.chronograph.coupling != "vertical clutch":
        parts.add(Mechanism.COUPLING)
    if sheet.chronograph.minute_counter:
        parts.add(Mechanism.MINUTE_COUNTER)
    if sheet.chronograph.hour_counter:
        parts.add(Mechanism.HOUR_COUNTER)
    return parts
