"""Measuring a hole in a photograph: press it, see what is there, say yes."""

import math
from typing import Any

import numpy as np
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.bench.access import signed_in
from sideshake.bench.forms.look import POINTS, CardForm, LookForm
from sideshake.bench.forms.seen import version_in
from sideshake.bench.models import Photograph, the_workshop
from sideshake.bench.services.photo_sizes import (
    BEARINGS,
    PICTURES,
    Kept,
    Look,
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
from sideshake.errors import InputError, NotEnough
from sideshake.paper.blocks import Paper
from sideshake.paper.photo_card import STEPS, photo_card_sheet
from sideshake.paper.typeset import pdf
from sideshake.photo.hole import HoleSeen
from sideshake.photo.told import CAUSES

RIM_RAD = np.linspace(0, 2 * np.pi, 181)
MOST_BEFORE = 5
"""Photographs that are measured together with the one that is shown."""


def look(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a photograph to measure in, and what is found where it was pressed; store it on yes."""
    row = photograph_of(pk)
    asked = request.POST if request.method == "POST" else request.GET
    form = LookForm(row, asked if asked.get("at_across") else None)
    found, wrong, status = None, "", 200
    if form.is_bound and form.is_valid():
        found, wrong = measured(row, form, earlier(row, asked))
    if request.method == "POST":
        status = 422
        if found is not None:
            wrong, status = kept_or_why(request, row, found)
            if not wrong:
                return redirect(f"{reverse('visit', args=[row.visit.number])}#measured")
    shown = page_of(row, form, asked, found, wrong)
    return render(request, "bench/look.html", shown, status=status)


def measured(row: Photograph, form: LookForm, before: list[Look]) -> tuple[Seen | None, str]:
    """Return what is seen, or the sentence why nothing can be measured."""
    try:
        return seen([*before, look_at(row, form.pressed)]), ""
    except (InputError, NotEnough) as fault:
        return None, str(fault)


def kept_or_why(request: HttpRequest, row: Photograph, found: Seen) -> tuple[str, int]:
    """Store the size; return the sentence why it could not be, empty if it was."""
    kept = kept_as(request.POST)
    told = {key: request.POST.get(f"seen.{key}", "") for key in keys_of(kept)}
    versions = {key: version_in(version) for key, version in told.items() if version}
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


def earlier(row: Photograph, asked: QueryDict) -> list[Look]:
    """Return the looks at other photographs of the same hole, told in the address.

    Each is the address of its own page, so that it can be opened again.
    """
    looks = []
    for told in asked.getlist("before")[:MOST_BEFORE]:
        pk, _sign, written = told.partition("?")
        other = row.visit.photographs.filter(pk=int(pk)).first() if pk.isdecimal() else None
        form = LookForm(other, QueryDict(written)) if other else None
        if other and other.pk != row.pk and form and form.is_valid():
            looks.append(look_at(other, form.pressed))
    return looks


def page_of(
    row: Photograph, form: LookForm, asked: QueryDict, found: Seen | None, wrong: str
) -> dict[str, Any]:
    """Return what the page shows."""
    kept = kept_as(asked)
    stored = {
        each.key: each.version for each in row.visit.measurements.all() if each.after is kept.after
    }
    return {
        "photograph": row,
        "visit": row.visit,
        "form": form,
        "found": found,
        "wrong": wrong,
        "kept": kept,
        "bearings": BEARINGS.items(),
        "versions": [(key, stored[key]) for key in keys_of(kept) if key in stored],
        "before": asked.getlist("before")[:MOST_BEFORE],
        "query": own_query(asked),
        "told": told_again(asked),
        "budget": budget_of(found.here) if found else [],
        "original": row.format in SHOWN_IN_PAGE,
        "pressed": pressed_places(form),
        "cross": f"{max(row.width_px, row.height_px) / 150:.1f}",
        "others": others(row, asked) if found and found.more_wanted else [],
        "drawn": drawn(found) if found else None,
        "printed": the_workshop().card_across_mm is not None,
    }


OWN = (
    "at_across", "at_down", "scale", "above_mm", "known_across", "known_down", "known_mm",
    "known_pin", "first_across", "first_down", "second_across", "second_down", "length_mm",
    "seen_from", "turned_deg", "rounded",
)  # fmt: skip


def told_again(asked: QueryDict) -> list[tuple[str, str]]:
    """Return what was asked, to be sent again with the yes."""
    before = [("before", each) for each in asked.getlist("before")[:MOST_BEFORE]]
    return [*before, *((name, str(asked[name])) for name in OWN if asked.get(name))]


def budget_of(hole: HoleSeen) -> list[tuple[str, str, str]]:
    """Return what each cause adds, as 95 % half-widths in micrometres."""
    return [
        (
            CAUSES[each.cause],
            f"{2000 * each.size_mm:.1f}",
            "" if hole.oval is None else f"{2000 * each.oval_mm:.1f}",
        )
        for each in hole.budget
    ]


def pressed_places(form: LookForm) -> list[tuple[str, str]]:
    """Return where the photograph was pressed, in its pixels."""
    if not form.is_bound or not form.is_valid():
        return []
    names = ["at", *POINTS[form.cleaned_data["scale"]]]
    return [(f"{x + 0.5:.1f}", f"{y + 0.5:.1f}") for x, y in (form.at_px(name) for name in names)]


def own_query(asked: QueryDict) -> str:
    """Return what was asked of this photograph alone, as it stands in an address."""
    own = QueryDict(mutable=True)
    for name in OWN:
        if asked.get(name):
            own[name] = str(asked[name])
    return own.urlencode()


def others(row: Photograph, asked: QueryDict) -> list[tuple[Photograph, str]]:
    """Return the visit's other photographs, each with the address to measure it together."""
    told = [*asked.getlist("before"), f"{row.pk}?{own_query(asked)}"]
    used = {each.partition("?")[0] for each in told}
    on = QueryDict(mutable=True)
    on.setlist("before", told)
    for name in ("scale", "known_mm", "known_pin", "length_mm", "above_mm", "seen_from", "rounded",
                 "table", "after"):  # fmt: skip
        if asked.get(name):
            on[name] = str(asked[name])
    return [
        (each, f"{reverse('look', args=[each.pk])}?{on.urlencode()}")
        for each in row.visit.photographs.all()
        if str(each.pk) not in used
    ]


def drawn(found: Seen) -> dict[str, Any]:
    """Return the edge as it is drawn over the photograph, in its pixels."""
    hole = found.here
    ellipse = hole.rim.fit.ellipse
    rim = ellipse.points(RIM_RAD) + 0.5
    points = hole.rim.points + 0.5
    believed = hole.rim.fit.weights > 0
    left_out = points[~believed & np.isfinite(points).all(axis=1)]
    return {
        "rim": "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in rim.tolist()) + "Z",
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
    row = photograph_of(pk)
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
    return edit(request, CardForm, the_workshop(), editing)


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
