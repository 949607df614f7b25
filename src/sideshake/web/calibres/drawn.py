"""What is drawn of a calibre's sheet alone, by the name of the address that shows it."""

from collections.abc import Callable

from django.utils.translation import gettext as _

from sideshake.core.errors import InputError, NotEnough
from sideshake.drawings.dial import dial_drawing
from sideshake.drawings.shapes import Drawing
from sideshake.drawings.spring import used_torque
from sideshake.drawings.svg import svg_text
from sideshake.drawings.train import train_diagram
from sideshake.movement.calendar import polymer_warning, rule_check
from sideshake.movement.day import DAY, day_hours_or_advice
from sideshake.movement.running import running_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.train import train_of
from sideshake.web.calibres.repair_statistics import setting_hours


def dial_of(sheet: CalibreSheet) -> Drawing:
    """Return the dial with the hours in which the date must not be set on its own.

    Raises
    ------
    NotEnough : the sheet tells of no date that is set on its own
    """
    hours = setting_hours(sheet)
    if hours is None:
        raise NotEnough(_("There is no date to be set on this calibre."))
    return dial_drawing(
        hours.forbidden,
        rule_check(hours.forbidden),
        title=sheet.name,
        warning=polymer_warning(sheet),
    )


def day_dial_of(sheet: CalibreSheet) -> Drawing:
    """Return the dial with the hours in which the day of the week must not be set on its own.

    Raises
    ------
    NotEnough : the sheet tells of no day of the week that is set on its own
    """
    day = day_hours_or_advice(sheet)
    if day is None:
        raise NotEnough(_("There is no day of the week to be set on this calibre."))
    return dial_drawing(day, rule_check(day), title=sheet.name, thing=DAY)


def train_drawn(sheet: CalibreSheet) -> Drawing:
    """Return the train as a staircase, each arbor with the time of its turn."""
    return train_diagram(train_of(sheet), title=sheet.name)


def spring_drawn(sheet: CalibreSheet) -> Drawing:
    """Return the torque of the spring from full wind to where the watch stops."""
    return used_torque(sheet, running_of(sheet))


DRAWINGS: dict[str, Callable[[CalibreSheet], Drawing]] = {
    "calibre-dial": dial_of,
    "calibre-day-dial": day_dial_of,
    "calibre-train": train_drawn,
    "calibre-spring": spring_drawn,
}


def drawn_inside(picture: str, sheet: CalibreSheet | None) -> str:
    """Return a drawing to stand in a page itself; empty when nothing can be drawn yet."""
    if sheet is None or picture not in DRAWINGS:
        return ""
    try:
        return svg_text(DRAWINGS[picture](sheet))
    except (InputError, NotEnough):
        return ""
