"""Measuring a wheel, a pivot and points in a photograph: press, see what is there, say yes."""

from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.urls import reverse
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.web.base.version_field import version_in, versions_in
from sideshake.web.measuring.photo_drawn_views import marks_drawn, pivot_drawn, wheel_drawn
from sideshake.web.measuring.photo_findings import OfferedFinding, note_finding, standing
from sideshake.web.measuring.photo_marks import MarksSeen, marks_seen
from sideshake.web.measuring.photo_page import (
    Measuring,
    measuring_page,
    photograph_of,
    size_kept,
    versions_of,
)
from sideshake.web.measuring.photo_part_forms import MarksForm, PivotForm, WheelForm
from sideshake.web.measuring.photo_pivots import PivotSeen, keep_pivot, pivot_seen
from sideshake.web.measuring.photo_wheels import WheelSeen, wheel_seen
from sideshake.web.models import Photograph, User


def look_wheel(request: HttpRequest, pk: int) -> HttpResponse:
    """Count the teeth of a wheel in a photograph; note those that are lost on yes."""
    return measuring_page(request, photograph_of(pk), WHEEL)


def look_pivot(request: HttpRequest, pk: int) -> HttpResponse:
    """Measure a pivot in silhouette; store its diameter on yes."""
    return measuring_page(request, photograph_of(pk), PIVOT)


def look_points(request: HttpRequest, pk: int) -> HttpResponse:
    """Tell where pressed points lie, seen from a pressed middle; note them on yes."""
    return measuring_page(request, photograph_of(pk), POINTS)


def of_wheel(form: WheelForm, found: WheelSeen | None) -> dict[str, Any]:
    """Return what is shown of a counted wheel."""
    if found is None:
        return {}
    return {"drawn": wheel_drawn(found.wheel), **of_offer(form.photograph, found.offered)}


def keep_wheel(form: WheelForm, found: WheelSeen, asked: QueryDict, by: User) -> tuple[str, str]:
    """Note the teeth that are lost at the finding."""
    if found.offered is None:
        raise InputError(_("no tooth is missing or broken off here: there is nothing to note"))
    return noted(form.photograph, found.offered, asked, by)


def of_pivot(form: PivotForm, found: PivotSeen | None) -> dict[str, Any]:
    """Return what is shown of a measured pivot."""
    if found is None:
        return {}
    versions = versions_of(form.photograph.visit, [form.key], after=form.is_after)
    return {"drawn": pivot_drawn(found.pivot), "versions": versions}


def keep_size(form: PivotForm, found: PivotSeen, asked: QueryDict, by: User) -> tuple[str, str]:
    """Store the pivot's diameter."""
    keep_pivot(form, found, by, versions=versions_in(asked, [form.key]))
    return size_kept(form.photograph.visit)


def of_marks(form: MarksForm, found: MarksSeen | None) -> dict[str, Any]:
    """Return what is shown of pressed points; they are drawn before they can be told."""
    row = form.photograph
    longest_px = max(row.width_px, row.height_px)
    shown = {"drawn": marks_drawn(form.cleaned_data["pressed"], longest_px)}
    return shown if found is None else {**shown, **of_offer(row, found.offered)}


def keep_marks(form: MarksForm, found: MarksSeen, asked: QueryDict, by: User) -> tuple[str, str]:
    """Note where the points lie at the finding."""
    return noted(form.photograph, found.offered, asked, by)


def of_offer(row: Photograph, offered: OfferedFinding | None) -> dict[str, Any]:
    """Return the finding that is offered, and the one it would be added to."""
    if offered is None:
        return {}
    stands = standing(row.visit.findings.all(), offered)
    return {"offered": offered, "stands": stands}


def noted(row: Photograph, offered: OfferedFinding, asked: QueryDict, by: User) -> tuple[str, str]:
    """Note what the photograph told at the finding; return what is said and where it leads."""
    note_finding(row, offered, by, seen=version_in(asked.get("seen.finding", "")))
    address = f"{reverse('visit', args=[row.visit.number])}#findings"
    return _("Noted at the finding, with the photograph."), address


WHEEL = Measuring(
    name="look-wheel",
    template="measuring/photo_wheel.html",
    form=WheelForm,
    see=wheel_seen,
    shown=of_wheel,
    keep=keep_wheel,
)
PIVOT = Measuring(
    name="look-pivot",
    template="measuring/photo_pivot.html",
    form=PivotForm,
    see=pivot_seen,
    shown=of_pivot,
    keep=keep_size,
)
POINTS = Measuring(
    name="look-points",
    template="measuring/photo_points.html",
    form=MarksForm,
    see=marks_seen,
    shown=of_marks,
    keep=keep_marks,
)
