"""The calibres: their sheets, and what the workshop has learnt about them."""

from dataclasses import dataclass
from pathlib import PurePath

from django.db.models import Count
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from sideshake.bench.giving import as_picture
from sideshake.bench.models import Visit
from sideshake.bench.paging import page_of
from sideshake.bench.services.memory import memory_of, setting_hours, step_times, visits_of
from sideshake.bench.sheets import sheet_named, sheet_names
from sideshake.movement.calendar import hand_time, polymer_warning, rule_check
from sideshake.movement.day import DAY, day_hours_or_advice
from sideshake.movement.faults import faults
from sideshake.movement.sheet import CalibreSheet
from sideshake.pictures.dial import dial_drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibre:
    """A calibre in the list: its name in addresses, its sheet if there is one, its visits."""

    name: str
    sheet: CalibreSheet | None
    visits: int


def calibres(request: HttpRequest) -> HttpResponse:
    """List the calibres: those with a sheet, and those that were here without one."""
    counts = dict(
        Visit.objects.exclude(watch__calibre="")
        .order_by()
        .values_list("watch__calibre")
        .annotate(n=Count("pk"))
    )
    names = [*sheet_names(), *sorted(set(counts) - set(sheet_names()))]
    rows = [
        Calibre(name=each, sheet=sheet_named(each), visits=counts.get(each, 0)) for each in names
    ]
    return render(request, "bench/calibre_list.html", {"rows": rows})


def calibre(request: HttpRequest, name: str) -> HttpResponse:
    """Show a calibre: weak points first, then what was found, how long it took, who was here."""
    visits = visits_of(name)
    sheet = sheet_named(name)
    page = page_of(request, visits, per_page=20)
    if sheet is None and not page.paginator.count:
        raise Http404(_("There is no calibre %(name)s.") % {"name": name})
    hours = setting_hours(sheet) if sheet else None
    day = day_hours_or_advice(sheet)
    shown = {
        "name": name,
        "sheet": sheet,
        "memory": memory_of(name),
        "times": step_times(name),
        "hours": hours,
        "span": span(hours.forbidden.start_h, hours.forbidden.end_h) if hours else "",
        "day": span(day.start_h, day.end_h) if day else "",
        "polymer": polymer_warning(sheet) if sheet else "",
        "wrong": [each for each in faults(sheet) if each.cannot_be] if sheet else [],
        "page": page,
        "kept": "",
    }
    return render(request, "bench/calibre.html", shown)


def span(start_h: float, end_h: float) -> str:
    """Return the hours from and to as hand times."""
    return _("%(start)s to %(end)s") % {"start": hand_time(start_h), "end": hand_time(end_h)}


def dial(_request: HttpRequest, name: str) -> HttpResponse:
    """Return the dial with the hours in which the date must not be set on its own."""
    sheet = sheet_named(PurePath(name).name)
    hours = setting_hours(sheet) if sheet else None
    if sheet is None or hours is None:
        raise Http404(_("There is no date to be set on this calibre."))
    drawing = dial_drawing(
        hours.forbidden,
        rule_check(hours.forbidden),
        title=sheet.name,
        warning=polymer_warning(sheet),
    )
    return as_picture(drawing)


def day_dial(_request: HttpRequest, name: str) -> HttpResponse:
    """Return the dial with the hours in which the day of the week must not be set."""
    sheet = sheet_named(PurePath(name).name)
    day = day_hours_or_advice(sheet)
    if sheet is None or day is None:
        raise Http404(_("There is no day of the week to be set on this calibre."))
    return as_picture(dial_drawing(day, rule_check(day), title=sheet.name, thing=DAY))
