"""Photographs and the condition map."""

from typing import Any

from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.bench.access import signed_in, visit_by_number
from sideshake.bench.models import Photograph
from sideshake.bench.services.photographs import (
    all_refused,
    file_of,
    mark,
    point,
    shift,
    take_out,
)
from sideshake.bench.services.saving import save
from sideshake.bench.views.editing import version_seen, visit_at
from sideshake.errors import InputError

A_YEAR_S = 365 * 24 * 3600


def add_photographs(request: HttpRequest, number: str) -> HttpResponse:
    """Take in one or many photographs; each refused one is named with its reason."""
    visit = visit_by_number(number)
    if request.method != "POST":
        return render(request, "bench/photographs_add.html", {"visit": visit})
    uploads = request.FILES.getlist("photographs")
    refused = all_refused(uploads, visit, signed_in(request))
    count = len(uploads) - len(refused)
    if count:
        words = ngettext("%(n)s photograph stored", "%(n)s photographs stored", count)
        messages.success(request, words % {"n": count})
    if refused or not uploads:
        problems = refused or [_("choose one or more photographs first")]
        shown = {"visit": visit, "problems": problems}
        return render(request, "bench/photographs_add.html", shown, status=422)
    return redirect(f"{reverse('visit', args=[number])}#photographs")


def photograph(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a photograph with its points; take a tapped point, its text, or a new caption."""
    found = by_pk(pk)
    row = list(Photograph.objects.filter(visit=found.visit).values_list("pk", flat=True))
    at = row.index(found.pk)
    shown: dict[str, Any] = {
        "photograph": found,
        "before": row[at - 1] if at else None,
        "after": row[at + 1] if at + 1 < len(row) else None,
        "tapped": tapped(request, found),
    }
    return render(request, "bench/photograph.html", shown)


def tapped(request: HttpRequest, found: Photograph) -> dict[str, float] | None:
    """Return where the picture was tapped, in hundredths, as the browser tells it."""
    try:
        x, y = (int(request.GET[f"tap.{axis}"]) for axis in "xy")
        width, height = shown_size(found)
    except (KeyError, ValueError):
        return None
    return {"across": round(100 * x / width, 1), "down": round(100 * y / height, 1)}


def shown_size(found: Photograph) -> tuple[int, int]:
    """Return the size at which the page shows the photograph, in pixels of the page."""
    scale = min(1.0, 960 / max(found.width_px, 1), 720 / max(found.height_px, 1))
    return max(1, round(found.width_px * scale)), max(1, round(found.height_px * scale))


@require_POST
def edit_photograph(request: HttpRequest, pk: int) -> HttpResponse:
    """Write a photograph's caption."""
    found = by_pk(pk)
    found.caption = request.POST.get("caption", "").strip()[:200]
    save(found, signed_in(request), seen=version_seen(request))
    return redirect("photograph", pk)


@require_POST
def add_point(request: HttpRequest, pk: int) -> HttpResponse:
    """Add a point with its text."""
    found = by_pk(pk)
    across, down = (hundredths(request.POST.get(name, "")) for name in ("across", "down"))
    new = point(across, down, request.POST.get("text", ""), grave="grave" in request.POST)
    mark(found, [*found.marks, new], signed_in(request), version_seen(request))
    return redirect("photograph", pk)


@require_POST
def remove_point(request: HttpRequest, pk: int, place: int) -> HttpResponse:
    """Remove a point."""
    found = by_pk(pk)
    marks = [each for at, each in enumerate(found.marks) if at != place]
    mark(found, marks, signed_in(request), version_seen(request))
    return redirect("photograph", pk)


@require_POST
def shift_photograph(request: HttpRequest, pk: int) -> HttpResponse:
    """Move a photograph earlier or later."""
    shift(by_pk(pk), 1 if request.POST.get("way") == "later" else -1, signed_in(request))
    return redirect("photograph", pk)


@require_POST
def remove_photograph(request: HttpRequest, pk: int) -> HttpResponse:
    """Remove a photograph."""
    found = by_pk(pk)
    address = visit_at("photographs")(found)
    take_out(found, signed_in(request), seen=version_seen(request))
    return redirect(address)


def photograph_file(_request: HttpRequest, pk: int, size: str) -> FileResponse:
    """Give out a photograph in one size; its content never changes under its name."""
    found = by_pk(pk)
    path = file_of(found, size)
    download = size == "original" and found.format.upper() not in ("JPEG", "PNG", "WEBP")
    answer = FileResponse(path.open("rb"), as_attachment=download, filename=path.name)
    answer.headers["Cache-Control"] = f"private, max-age={A_YEAR_S}, immutable"
    return answer


def by_pk(pk: int) -> Photograph:
    """Return a photograph with its visit, or 404."""
    return get_object_or_404(Photograph.objects.select_related("visit__watch__owner"), pk=pk)


def hundredths(text: str) -> float:
    """Return a share of the picture from what was typed in hundredths."""
    try:
        return float(text.replace(",", ".")) / 100
    except ValueError:
        raise InputError(_("a point needs two numbers from 0 to 100")) from None
