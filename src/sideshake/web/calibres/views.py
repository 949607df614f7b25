"""The calibres: their sheets, and what the workshop has learnt about them."""

from dataclasses import dataclass

from django.db.models import Count
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from sideshake.movement.calendar import hand_time, polymer_warning
from sideshake.movement.day import day_hours_or_advice
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_text import tree_of
from sideshake.movement.written_lines import line_at
from sideshake.web.base.paging import page_of
from sideshake.web.calibres.answers import answers_of
from sideshake.web.calibres.repair_statistics import memory_of, setting_hours, step_times, visits_of
from sideshake.web.calibres.sheet_lines import PARTS, SheetPart
from sideshake.web.calibres.sheet_typed import groups_shown
from sideshake.web.calibres.sheets import read_sheet, sheet_names, sheet_of_example
from sideshake.web.models import Calibre, Visit


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A calibre in the list: its name in addresses, its sheet if there is one, its visits."""

    name: str
    sheet: CalibreSheet | None
    visits: int
    own: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A section of a calibre, and how many of its lines are known."""

    part: SheetPart
    lines: int
    of: int


def calibres(request: HttpRequest) -> HttpResponse:
    """List the calibres: those with a sheet, and those that were here without one."""
    counts = dict(
        Visit.objects.exclude(watch__calibre="")
        .order_by()
        .values_list("watch__calibre")
        .annotate(n=Count("pk"))
    )
    own = dict(Calibre.objects.values_list("name", "sheet"))
    at_hand = sheet_names()
    rows = [
        Listed(
            name=each,
            sheet=read_sheet(own[each]) if each in own else sheet_of_example(each),
            visits=counts.get(each, 0),
            own=each in own,
        )
        for each in [*at_hand, *sorted(set(counts) - set(at_hand))]
    ]
    return render(request, "calibres/list.html", {"rows": rows})


def calibre(request: HttpRequest, name: str) -> HttpResponse:
    """Show a calibre: weak points first, then what was found, how long it took, who was here."""
    visits = visits_of(name)
    own = Calibre.objects.filter(name=name).first()
    sheet = read_sheet(own.sheet) if own else sheet_of_example(name)
    page = page_of(request, visits, per_page=20)
    if own is None and sheet is None and not page.paginator.count:
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
        "own": own,
        "answers": answers_of(sheet) if sheet else None,
        "parts": known_parts(own) if own else [],
        "page": page,
        "kept": "",
    }
    return render(request, "calibres/one.html", shown)


def span(start_h: float, end_h: float) -> str:
    """Return the hours from and to as hand times."""
    return _("%(start)s to %(end)s") % {"start": hand_time(start_h), "end": hand_time(end_h)}


def known_parts(own: Calibre) -> list[Known]:
    """Return the sections of an own calibre, each with how many of its lines are known."""
    tree = tree_of(own.sheet)
    found = []
    for part in PARTS:
        lines = [line for group in groups_shown(part, tree, spare=False) for line in group.lines]
        known = sum(line_at(tree, line.key) is not None for line in lines)
        found.append(Known(part=part, lines=known, of=len(lines)))
    return found
