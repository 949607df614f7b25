"""Measured sizes, the verdict on them, its drawing, and the new part."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.analysis.jewel import MEMORY, fit_rows
from sideshake.core.errors import InputError, NotEnough
from sideshake.drawings.section import section_drawing, section_of
from sideshake.fit.jewel import as_made
from sideshake.fit.making import bore_words, sink_words
from sideshake.fit.workshop import WorkshopTools
from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.file_response import as_picture
from sideshake.web.base.saving import EditConflict
from sideshake.web.base.version_field import versions_in
from sideshake.web.documents.hole_fits import reamers_for, reamers_here
from sideshake.web.documents.jewel_orders import drawing_high_px
from sideshake.web.measuring.place_rows import written
from sideshake.web.measuring.services import (
    MEASURED_AFTER,
    TITLES,
    before_measuring,
    judged,
    place_of,
    repair_at,
    size_lines,
    store,
    wish_for,
)
from sideshake.web.measuring.taken import Taken
from sideshake.web.models import Visit
from sideshake.workshop_rules.repair import Repair, repair_sentence


def measure(request: HttpRequest, number: str, *, after: bool = False) -> HttpResponse:
    """Take the sizes that were measured; what was typed stays when one of them cannot be."""
    visit = visit_by_number(number)
    keys = [line.key for lines in size_lines().values() for line in lines]
    wrong, status = "", 200
    if request.method == "POST":
        typed = {key: request.POST[key] for key in keys if key in request.POST}
        seen = versions_in(request.POST, keys)
        try:
            store(visit, typed, signed_in(request), seen=seen, taken=Taken(after=after))
            page = reverse("measure-after" if after else "measure", args=[number])
            return redirect(f"{page}#verdict")
        except InputError as error:
            wrong, status = str(error), 422
        except EditConflict as error:
            wrong, status = _("%(who)s. Compare with what is stored now.") % {"who": error}, 409
    shown = {
        "visit": visit,
        "after": after,
        "tables": rows(request, visit, after=after),
        "wrong": wrong,
        "judged": judged(visit),
        "first": None if after else before_measuring(visit),
    }
    return render(request, "measuring/sizes.html", shown, status=status)


def rows(
    request: HttpRequest, visit: Visit, *, after: bool
) -> list[tuple[object, list[dict[str, object]]]]:
    """Return every line with what is stored or was just typed, table by table."""
    stored = {row.key: row for row in visit.measurements.all() if row.after is after}
    tables: list[tuple[object, list[dict[str, object]]]] = []
    for table, lines in size_lines().items():
        if after and table not in MEASURED_AFTER:
            continue
        shown: list[dict[str, object]] = []
        for line in lines:
            row = stored.get(line.key)
            text = request.POST.get(line.key, written(row) if row else "")
            shown.append({"line": line, "text": text, "seen": row.version if row else ""})
        tables.append((TITLES[table], shown))
    return tables


def section_picture(_request: HttpRequest, number: str) -> HttpResponse:
    """Draw the section through plate, barrel and bridge."""
    visit = visit_by_number(number)
    known = judged(visit)
    if known.verdict is None or known.lying is None:
        raise NotEnough(known.lacking)
    lying = known.lying
    view = section_of(lying.calibre, lying.found, lying.bench, known.verdict)
    return as_picture(section_drawing(view))


def jewel(request: HttpRequest, number: str, place: str) -> HttpResponse:
    """Show the part for one hole: sizes, fit, the way there, the maker's drawing."""
    visit = visit_by_number(number)
    made = new_part(visit, place)
    shown = {
        "visit": visit,
        "place": place,
        "repair": made,
        "part": as_made(made.fit),
        "bore": bore_words(as_made(made.fit)),
        "sink": sink_words(as_made(made.fit)),
        "sentence": repair_sentence(made),
        "likely": fit_rows(made.fit),
        "memory": MEMORY,
        "cautions": [str(each) for each in made.plan.cautions],
        "high_px": drawing_high_px(),
    }
    return render(request, "measuring/jewel.html", shown)


@require_POST
def have_made(request: HttpRequest, number: str, place: str) -> HttpResponse:
    """Put the part on the list for the next jewel order."""
    wish = wish_for(visit_by_number(number), place_of(place), signed_in(request))
    messages.success(request, _("On the list for the next jewel order: %(what)s") % {"what": wish})
    return redirect(f"{reverse('visit', args=[number])}#measured")


def new_part(visit: Visit, place: str) -> Repair:
    """Return the part for one hole, reamed with what is in the drawer where that serves."""
    known, where, at_hand = judged(visit), place_of(place), reamers_here()
    bare = repair_at(known, where, visit.number)
    if not at_hand or reamers_for(bare, at_hand) != at_hand:
        return bare
    return repair_at(known, where, visit.number, tools=WorkshopTools(reamers_mm=at_hand))
