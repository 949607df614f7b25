"""What is drawn of a calibre, and its sheet as a file."""

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.text import slugify
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError, NotEnough
from sideshake.drawings.dial import dial_drawing
from sideshake.movement.calendar import rule_check
from sideshake.movement.day import DAY, day_hours_or_advice
from sideshake.movement.sheet import CalibreSheet
from sideshake.web.base.file_response import as_picture
from sideshake.web.calibres.drawn import DRAWINGS
from sideshake.web.calibres.sheets import example_text, sheet_named
from sideshake.web.models import Calibre


def drawn(name: str, picture: str) -> HttpResponse:
    """Return a drawing of a calibre, or 404 with the reason why there is none."""
    try:
        return as_picture(DRAWINGS[picture](sheet_or_404(name)))
    except (InputError, NotEnough) as error:
        raise Http404(error.sentence) from None


def dial(_request: HttpRequest, name: str) -> HttpResponse:
    """Return the dial with the hours in which the date must not be set on its own."""
    return drawn(name, "calibre-dial")


def train(_request: HttpRequest, name: str) -> HttpResponse:
    """Draw the train as a staircase, each arbor with the time of its turn."""
    return drawn(name, "calibre-train")


def spring(_request: HttpRequest, name: str) -> HttpResponse:
    """Draw the torque of the spring from full wind to where the watch stops."""
    return drawn(name, "calibre-spring")


def day_dial(_request: HttpRequest, name: str) -> HttpResponse:
    """Return the dial with the hours in which the day of the week must not be set."""
    sheet = sheet_or_404(name)
    day = day_hours_or_advice(sheet)
    if day is None:
        raise Http404(_("There is no day of the week to be set on this calibre."))
    return as_picture(dial_drawing(day, rule_check(day), title=sheet.name, thing=DAY))


def sheet_file(_request: HttpRequest, name: str) -> HttpResponse:
    """Give the sheet out as a file that any editor and `sideshake calibre check` read."""
    own = Calibre.objects.filter(name=name).first()
    text = own.file if own else example_text(name)
    if not text:
        raise Http404(_("There is no calibre %(name)s.") % {"name": name})
    answer = HttpResponse(text, content_type="application/toml; charset=utf-8")
    plain = slugify(name) or "calibre"
    answer.headers["Content-Disposition"] = f'attachment; filename="{plain}.toml"'
    return answer


def sheet_or_404(name: str) -> CalibreSheet:
    """Return a sheet by its name, or 404."""
    sheet = sheet_named(name)
    if sheet is None:
        raise Http404(_("There is no calibre %(name)s.") % {"name": name})
    return sheet
