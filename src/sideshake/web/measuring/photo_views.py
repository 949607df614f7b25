"""Measuring a hole in a photograph: press it, see what is there, say yes."""

from functools import partial
from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.documents.blocks import Paper
from sideshake.documents.photo_card import STEPS, photo_card_sheet
from sideshake.documents.typeset import pdf
from sideshake.photo.told import budget_rows
from sideshake.web.base.editing import Editing, edit
from sideshake.web.base.version_field import versions_in
from sideshake.web.measuring.photo_drawn_views import hole_drawn
from sideshake.web.measuring.photo_forms import WHEN, CardForm, LookForm
from sideshake.web.measuring.photo_page import (
    Measuring,
    asked_in,
    measuring_page,
    of_this,
    photograph_of,
    size_kept,
    versions_of,
)
from sideshake.web.measuring.photo_sizes import KeptSize, PhotoSeen, keep, keys_of, look_at, seen
from sideshake.web.measuring.place_tables import bearing_tables
from sideshake.web.models import Photograph, User, Visit, the_workshop
from sideshake.web.workshop.views import stored_workshop

MOST_BEFORE = 5
"""Photographs that are measured together with the one that is shown."""


def look(request: HttpRequest, pk: int) -> HttpResponse:
    """Measure a hole in a photograph, and in others that show it turned; store its size on yes."""
    row, asked = photograph_of(pk), asked_in(request)
    before = earlier(row, asked)
    hole = Measuring(
        name="look",
        template="measuring/photo.html",
        form=LookForm,
        see=partial(hole_seen, before=list(before.values())),
        shown=partial(of_hole, before=list(before)),
        keep=keep_hole,
    )
    return measuring_page(request, row, hole, **hole_asked(row, asked, list(before)))


def hole_seen(form: LookForm, *, before: list[LookForm]) -> PhotoSeen:
    """Return what the photographs show of a hole."""
    return seen([look_at(each.photograph, each.pressed) for each in [*before, form]])


def keep_hole(form: LookForm, found: PhotoSeen, asked: QueryDict, by: User) -> tuple[str, str]:
    """Store the hole's size."""
    row = form.photograph
    kept = kept_as(asked, row.visit)
    if not found.may_be_kept:
        raise InputError(_("photographs that contradict each other give no size"))
    keep(row, found, kept, by, versions=versions_in(asked, keys_of(kept)))
    return size_kept(row.visit)


def kept_as(asked: QueryDict, visit: Visit) -> KeptSize:
    """Return which size it is; a place that there is not is none."""
    table = asked.get("table", "above")
    if table not in bearing_tables(visit):
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


def hole_asked(row: Photograph, asked: QueryDict, before: list[str]) -> dict[str, Any]:
    """Return what the page shows of a hole, pressed or not: which size it is, what is stored."""
    kept = kept_as(asked, row.visit)
    told = [("before", each) for each in before]
    of_size = [("table", kept.table), ("after", "yes" if kept.after else "no")]
    return {
        "kept": kept,
        "bearings": bearing_tables(row.visit).items(),
        "when": WHEN,
        "versions": versions_of(row.visit, keys_of(kept), after=kept.after),
        "before": before,
        "told": [*told, *of_this(asked, OWN), *of_size],
    }


def of_hole(form: LookForm, found: PhotoSeen | None, *, before: list[str]) -> dict[str, Any]:
    """Return what the page shows of what was found."""
    if found is None:
        return {}
    shown: dict[str, Any] = {"budget": budget_rows(found.here), "drawn": hole_drawn(found)}
    if found.more_wanted:
        shown["others"] = others(form, before)
    return shown


OWN = tuple(LookForm.base_fields)
SHARED = tuple(name for name in OWN if not name.endswith(("_across", "_down", "_deg")))
"""What is the same in the next photograph of a hole: all but where it is pressed and its turn."""


def others(form: LookForm, before: list[str]) -> list[tuple[Photograph, str]]:
    """Return the visit's other photographs, each with the address to measure it together."""
    row, asked = form.photograph, form.data
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
