"""The wheels whose teeth can be counted in a photograph, and how many the sheet gives each."""

from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.movement.sheet import CalibreSheet
from sideshake.workshop_rules.mechanism import Mechanism, mechanisms

CALENDAR_TEETH, OTHER_TEETH = "calendar-teeth-lost", "wheel-teeth-lost"
"""The usual findings of a wheel that has lost teeth."""
TEETH_LOST = (CALENDAR_TEETH, OTHER_TEETH)
DATE_RING, OTHER = "date-ring", "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Countable:
    """A wheel: its key, what it is called, the finding if it sheds teeth, its teeth if known."""

    key: str
    name: str
    finding: str = OTHER_TEETH
    teeth: int | None = None


CALENDAR: tuple[Countable, ...] = (
    Countable(key=DATE_RING, name="Date ring", finding=CALENDAR_TEETH),
    Countable(key="date-wheel", name="Wheel that drives the date", finding=CALENDAR_TEETH),
    Countable(key="corrector", name="Corrector wheel", finding=CALENDAR_TEETH),
    Countable(key="day-wheel", name="Wheel of the day", finding=CALENDAR_TEETH),
)


def countable_wheels(sheet: CalibreSheet | None) -> tuple[Countable, ...]:
    """Return the wheels of a watch that can be counted, each key once.

    Calendar wheels come first where the watch has or may have a calendar; the last is any other.

    Examples
    --------
    >>> [each.key for each in countable_wheels(None)][:2]
    ['date-ring', 'date-wheel']
    """
    calendar = CALENDAR if Mechanism.CALENDAR in mechanisms(sheet) else ()
    found = (*calendar, *sheet_wheels(sheet), Countable(key=OTHER, name="Another wheel"))
    return tuple({each.key: each for each in found}.values())


def sheet_wheels(sheet: CalibreSheet | None) -> Iterator[Countable]:
    """Yield the wheels that a sheet knows of, then those that most watches have."""
    winding = sheet.winding if sheet else None
    motion = sheet.motion_work if sheet else None
    yield wheel("ratchet-wheel", "Ratchet wheel", winding.ratchet_wheel if winding else None)
    yield wheel("crown-wheel", "Crown wheel", winding.crown_wheel if winding else None)
    for arbor in sheet.train.arbors if sheet and sheet.train else ():
        alone = arbor.name == "barrel" or arbor.name.endswith("wheel")
        named = arbor.name if alone else f"{arbor.name} wheel"
        yield wheel(f"train-{arbor.name}", named.capitalize(), arbor.wheel)
    yield wheel("minute-wheel", "Minute wheel", motion.minute_wheel if motion else None)
    yield wheel("hour-wheel", "Hour wheel", motion.hour_wheel if motion else None)
    if sheet and sheet.chronograph:
        yield wheel(
            "chronograph-wheel", "Chronograph's seconds wheel", sheet.chronograph.wheel_teeth
        )


def wheel(key: str, name: str, teeth: int | None) -> Countable:
    """Return a wheel outside the calendar."""
    return Countable(key=key, name=name, teeth=teeth)
