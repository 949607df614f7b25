"""Measuring a hole in a photograph: press it, see what is there, say yes."""

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError, NotEnough
from sideshake.documents.blocks import Paper
from sideshake.documents.photo_card import STEPS, photo_card_sheet
from sideshake.documents.typeset import pdf
from sideshake.photo.told import budget_rows
from sideshake.web.base.access import signed_in
from sideshake.web.base.editing import Editing, edit
from sideshake.web.base.saving import EditConflict
from sideshake.web.base.version_field import versions_in
from sideshake.web.measuring.photo_drawn_views import hole_drawn
from sideshake.web.measuring.photo_forms import CardForm, LookForm
from sideshake.web.measuring.photo_page import (
    form_for,
    of_this,
    overtaken_words,
    page_of,
    photograph_of,
)
from sideshake.web.measuring.photo_sizes import (
    BEARINGS,
    KeptSize,
    PhotoSeen,
    keep,
    keys_of,
    look_at,
    seen,
)
from sideshake.web.models import Photograph, the_workshop
from sideshake.web.workshop.views import stored_workshop

MOST_BEFORE = 5
"""Photographs that are measured together with the one that is shown."""


def look(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a photograph to measure in, and what is found where it was pressed; store it on yes."""
    row = photograph_of(pk)
    asked = request.POST if request.method == "POST" else request.GET
    form = form_for(LookForm, row, asked)
    before = earlier(row, asked)
    found, wrong, status = None, "", 200
    if form.is_bound and form.is_valid():
        found, wrong = measured([*before.values(), form])
    if request.method == "POST":
        status = 422
        if found is not None:
            wrong, status = kept_or_why(request, row, found)
            if not wrong:
                return redirect(f"{reverse('visit', args=[row.visit.number])}#measured")
    shown = {**hole_page(form, asked, list(before)), **found_of(found), "wrong": wrong}
    if found and found.more_wanted:
        shown["others"] = others(row, asked, list(before))
    return render(request, "measuring/photo.html", shown, status=status)


def measured(forms: list[LookForm]) -> tuple[PhotoSeen | None, str]:
    """Return what is seen, or the sentence why nothing can be measured."""
    try:
        return seen([look_at(form.photograph, form.pressed) for form in forms]), ""
    except (InputError, NotEnough) as fault:
        return None, fault.sentence


def kept_or_why(request: HttpRequest, row: Photograph, found: PhotoSeen) -> tuple[str, int]:
    """Store the size; return the sentence why it could not be, empty if it was."""
    kept = kept_as(request.POST)
    versions = versions_in(request.POST, keys_of(kept))
    if not found.may_be_kept:
        return _("Photographs that contradict each other give no size."), 422
    try:
        keep(row, found, kept, signed_in(request), versions=versions)
    except InputError as error:
        return error.sentence, 422
    except EditConflict as error:
        return overtaken_words(error), 409
    messages.success(request, _("Stored, with the photograph as its evidence."))
    return "", 200


def kept_as(asked: QueryDict) -> KeptSize:
    """Return which size it is; a place that there is not is none."""
    table = asked.get("table", "above")
    if table not in BEARINGS:
        raise Http404(_("There is no such hole."))
    return KeptSize(table=table, after=asked.get("after") == "yes")


def earlier(row: Photograph, asked: QueryDict) -> dict[str, LookForm]:
    """Return what was pressed in other photographs of the visit, by how the address tells it.

    What is of no other photograph of the visit, or no longer whole, is left out.
    """
    rest = {str(each.pk): each for each in row.visit.photographs.all() if each.pk != row.pk}
    forms = {}
    for told in asked.getlist("before")[:MOST_BEFORE]:
        pk, _sign, written = told.partition("?")
        form = LookForm(rest[pk], QueryDict(written)) if pk in rest else None
        if form and form.is_valid():
            forms[told] = form
    return forms


def hole_page(form: LookForm, asked: QueryDict, before: list[str]) -> dict[str, Any]:
    """Return what the page shows of what was asked."""
    row, kept = form.photograph, kept_as(asked)
    stored = {
        each.key: each.version for each in row.visit.measurements.all() if each.after is kept.after
    }
    page = page_of("look", form, asked)
    return {
        **page,
        "kept": kept,
        "bearings": BEARINGS.items(),
        "versions": [(key, stored[key]) for key in keys_of(kept) if key in stored],
        "before": before,
        "told": [*(("before", each) for each in before), *page["told"]],
    }


def found_of(found: PhotoSeen | None) -> dict[str, Any]:
    """Return what the page shows of what was found."""
    if found is None:
        return {}
    return {"found": found, "budget": budget_rows(found.here), "drawn": hole_drawn(found)}


OWN = tuple(LookForm.base_fields)
SHARED = tuple(name for name in OWN if not name.endswith(("_across", "_down", "_deg")))
"""What is the same in the next photograph of a hole: all but where it is pressed and its turn."""


def others(row: Photograph, asked: QueryDict, before: list[str]) -> list[tuple[Photograph, str]]:
    """Return the visit's other photographs, each with the address to measure it together."""
    told = [*before, f"{row.pk}?{urlencode(of_this(asked, OWN))}"]
    used = {each.partition("?")[0] for each in told}
    on = urlencode(
        [*(("before", each) for each in told), *of_this(asked, (*SHARED, "table", "after"))]
    )
    return [
        (each, f"{reverse('look', args=[each.pk])}?{on}")
        for each in row.visit.photographs.all()
        if str(each.pk) not in used
    ]


def card(request: HttpRequest) -> HttpResponse:
    """Give the printed card, and take down how long its lines came out."""
    editing = Editing(
        title=_("The card for photographs"),
        done=lambda _shop: reverse("card"),
        template="measuring/card.html",
        shown={"steps": STEPS},
    )
    return edit(request, CardForm, stored_workshop(), editing)


def card_pdf(_request: HttpRequest) -> HttpResponse:
    """Give the card as a PDF."""
    paper = the_workshop().paper
    sheet = photo_card_sheet(day=timezone.localdate(), paper=Paper(paper))
    return HttpResponse(pdf(sheet), content_type="application/pdf")
