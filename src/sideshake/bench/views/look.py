"""Measuring a hole in a photograph: press it, see what is there, say yes."""

import math
from typing import Any
from urllib.parse import urlencode

import numpy as np
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.bench.access import signed_in
from sideshake.bench.forms.look import POINTS, CardForm, LookForm
from sideshake.bench.forms.seen import versions_in
from sideshake.bench.models import Photograph, the_workshop
from sideshake.bench.services.photo_sizes import (
    BEARINGS,
    PICTURES,
    Kept,
    Seen,
    keep,
    keys_of,
    look_at,
    picture_of,
    seen,
)
from sideshake.bench.services.saving import Overtaken
from sideshake.bench.views.editing import Editing, edit
from sideshake.bench.views.photographs import SHOWN_IN_PAGE
from sideshake.bench.views.settings_page import stored_workshop
from sideshake.errors import InputError, NotEnough
from sideshake.paper.blocks import Paper
from sideshake.paper.photo_card import STEPS, photo_card_sheet
from sideshake.paper.typeset import pdf
from sideshake.photo.hole import HoleSeen
from sideshake.photo.told import budget_rows
from sideshake.pictures.hole_seen import outline, path

MOST_BEFORE = 5
"""Photographs that are measured together with the one that is shown."""


def look(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a photograph to measure in, and what is found where it was pressed; store it on yes."""
    row = photograph_of(pk)
    asked = request.POST if request.method == "POST" else request.GET
    form = LookForm(row, asked if asked.get("at_across") else None)
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
    shown = {**page_of(form, asked, list(before)), **found_of(found), "wrong": wrong}
    if found and found.more_wanted:
        shown["others"] = others(row, asked, list(before))
    return render(request, "bench/look.html", shown, status=status)


def measured(forms: list[LookForm]) -> tuple[Seen | None, str]:
    """Return what is seen, or the sentence why nothing can be measured."""
    try:
        return seen([look_at(form.photograph, form.pressed) for form in forms]), ""
    except (InputError, NotEnough) as fault:
        return None, str(fault)


def kept_or_why(request: HttpRequest, row: Photograph, found: Seen) -> tuple[str, int]:
    """Store the size; return the sentence why it could not be, empty if it was."""
    kept = kept_as(request.POST)
    versions = versions_in(request.POST, keys_of(kept))
    if not found.may_be_kept:
        return _("Photographs that contradict each other give no size."), 422
    try:
        keep(row, found, kept, signed_in(request), versions=versions)
    except InputError as error:
        return error.sentence, 422
    except Overtaken as error:
        return _("%(who)s. Compare with what is stored now.") % {"who": error}, 409
    messages.success(request, _("Stored, with the photograph as its evidence."))
    return "", 200


def kept_as(asked: QueryDict) -> Kept:
    """Return which size it is; a place that there is not is none."""
    table = asked.get("table", "above")
    if table not in BEARINGS:
        raise Http404(_("There is no such hole."))
    return Kept(table=table, after=asked.get("after") == "yes")


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


def page_of(form: LookForm, asked: QueryDict, before: list[str]) -> dict[str, Any]:
    """Return what the page shows of what was asked."""
    row, kept = form.photograph, kept_as(asked)
    stored = {
        each.key: each.version for each in row.visit.measurements.all() if each.after is kept.after
    }
    return {
        "photograph": row,
        "visit": row.visit,
        "form": form,
        "kept": kept,
        "bearings": BEARINGS.items(),
        "versions": [(key, stored[key]) for key in keys_of(kept) if key in stored],
        "before": before,
        "query": urlencode(of_this(asked)),
        "told": [*(("before", each) for each in before), *of_this(asked)],
        "original": row.format in SHOWN_IN_PAGE,
        "pressed": pressed_places(form),
        "cross": f"{max(row.width_px, row.height_px) / 150:.1f}",
        "printed": the_workshop().card_across_mm is not None,
    }


def found_of(found: Seen | None) -> dict[str, Any]:
    """Return what the page shows of what was found."""
    if found is None:
        return {}
    return {"found": found, "budget": budget_rows(found.here), "drawn": drawn(found)}


OWN = tuple(LookForm.base_fields)
SHARED = tuple(name for name in OWN if not name.endswith(("_across", "_down", "_deg")))
"""What is the same in the next photograph of a hole: all but where it is pressed and its turn."""


def of_this(asked: QueryDict, names: tuple[str, ...] = OWN) -> list[tuple[str, str]]:
    """Return what was asked of this photograph alone."""
    return [(name, str(asked[name])) for name in names if asked.get(name)]


def pressed_places(form: LookForm) -> list[tuple[str, str]]:
    """Return where the photograph was pressed, in its pixels."""
    if not form.is_bound or not form.is_valid():
        return []
    names = ["at", *POINTS[form.cleaned_data["scale"]]]
    return [(f"{x + 0.5:.1f}", f"{y + 0.5:.1f}") for x, y in (form.at_px(name) for name in names)]


def others(row: Photograph, asked: QueryDict, before: list[str]) -> list[tuple[Photograph, str]]:
    """Return the visit's other photographs, each with the address to measure it together."""
    told = [*before, f"{row.pk}?{urlencode(of_this(asked))}"]
    used = {each.partition("?")[0] for each in told}
    on = urlencode(
        [*(("before", each) for each in told), *of_this(asked, (*SHARED, "table", "after"))]
    )
    return [
        (each, f"{reverse('look', args=[each.pk])}?{on}")
        for each in row.visit.photographs.all()
        if str(each.pk) not in used
    ]


def drawn(found: Seen) -> dict[str, Any]:
    """Return the edge as it is drawn over the photograph, in its pixels."""
    hole = found.here
    ellipse = hole.rim.fit.ellipse
    points = hole.rim.points + 0.5
    believed = hole.rim.fit.weights > 0
    left_out = points[~believed & np.isfinite(points).all(axis=1)]
    return {
        "rim": path(outline(ellipse) + 0.5),
        "points": [(f"{x:.2f}", f"{y:.2f}") for x, y in points[believed].tolist()],
        "left_out": [(f"{x:.2f}", f"{y:.2f}") for x, y in left_out.tolist()],
        "axis": axis_of(hole),
        "dot": f"{max(0.6, ellipse.r / 120):.2f}",
    }


def axis_of(hole: HoleSeen) -> str:
    """Return the long axis as a line through the hole; empty where it is not told."""
    if hole.oval is None or not hole.oval.real:
        return ""
    ellipse, way = hole.rim.fit.ellipse, math.radians(hole.oval.picture_deg.value)
    x, y = ellipse.x + 0.5, ellipse.y + 0.5
    right, down = 1.25 * ellipse.r * math.cos(way), -1.25 * ellipse.r * math.sin(way)
    return f"M{x - right:.1f} {y - down:.1f}L{x + right:.1f} {y + down:.1f}"


def look_picture(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    """Draw the edge over the photograph at 1:1, or how far the rim lies off its ellipse."""
    row = get_object_or_404(Photograph, pk=pk)
    form = LookForm(row, request.GET)
    if kind not in PICTURES or not form.is_valid():
        raise InputError(_("press inside the hole first: without that there is no such picture"))
    picture = picture_of(look_at(row, form.pressed), kind)
    return HttpResponse(picture, content_type="image/svg+xml")


def card(request: HttpRequest) -> HttpResponse:
    """Give the printed card, and take down how long its lines came out."""
    editing = Editing(
        title=_("The card for photographs"),
        done=lambda _shop: reverse("card"),
        template="bench/card.html",
        shown={"steps": STEPS},
    )
    return edit(request, CardForm, stored_workshop(), editing)


def card_pdf(_request: HttpRequest) -> HttpResponse:
    """Give the card as a PDF."""
    paper = the_workshop().paper
    sheet = photo_card_sheet(day=timezone.localdate(), paper=Paper(paper))
    return HttpResponse(pdf(sheet), content_type="application/pdf")


def photograph_of(pk: int) -> Photograph:
    """Return a photograph with its visit's sizes and photographs, or 404."""
    rows = Photograph.objects.select_related("visit__watch__owner")
    ready = rows.prefetch_related("visit__measurements", "visit__photographs")
    return get_object_or_404(ready, pk=pk)
