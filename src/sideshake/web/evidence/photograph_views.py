"""Photographs and the condition map."""

from functools import partial
from typing import Any

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.asking import Removal, ask_and_remove
from sideshake.web.base.editing import Editing, edit, visit_at
from sideshake.web.evidence.photograph_forms import CaptionForm, PointForm
from sideshake.web.evidence.photographs import (
    file_of,
    shift,
    take_in,
    take_point_off,
    write_caption,
    write_points,
)
from sideshake.web.models import Photograph
from sideshake.web.readings.uploading import UploadSaid, answer, by_script

A_YEAR_S = 365 * 24 * 3600
SHOWN_IN_PAGE = ("JPEG", "PNG", "WEBP")
"""What every browser shows; any other original is downloaded."""
WIDE_PX, TALL_PX = 640, 420
"""How wide the picture is on the page without JavaScript; bench.css holds it to that."""


def add_photographs(request: HttpRequest, number: str) -> HttpResponse:
    """Take in one or many photographs; each refused one is named with its reason."""
    visit = visit_by_number(number)
    if request.method != "POST":
        return render(request, "evidence/photographs_add.html", {"visit": visit})
    uploads = request.FILES.getlist("photographs")
    taken = take_in(visit, uploads, signed_in(request))
    problems = taken.refused or ([] if uploads else [_("Choose one or more photographs first.")])
    address = f"{reverse('visit', args=[number])}#photographs"
    words = ngettext("%(n)s photograph stored", "%(n)s photographs stored", taken.kept)
    stored = [words % {"n": taken.kept}] if taken.kept else []
    if by_script(request):
        return answer(
            [UploadSaid(text=each) for each in [*stored, *taken.remarks]], problems, address
        )
    for told in stored:
        messages.success(request, told)
    for remark in taken.remarks:
        messages.info(request, remark)
    if problems:
        shown = {"visit": visit, "problems": problems}
        return render(request, "evidence/photographs_add.html", shown, status=422)
    return redirect(address)


def photograph(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a photograph with its points, and a form for one that was just pressed."""
    found = by_pk(pk)
    form = PointForm(instance=found, initial=pressed(request, found))
    return render(request, "evidence/photograph.html", {"form": form, **page_of(found)})


def points(request: HttpRequest, pk: int, place: int | None = None) -> HttpResponse:
    """Add a point, or change the one at a place of the list."""
    shown = by_pk(pk)
    if place is not None and place >= len(shown.marks):
        return redirect("photograph", pk)
    editing = Editing(
        title=str(shown),
        done=address_of,
        template="evidence/photograph.html",
        shown={**page_of(shown), "place": place},
        write=write_points,
    )
    return edit(request, partial(PointForm, at=place), by_pk(pk), editing)


def page_of(found: Photograph) -> dict[str, Any]:
    """Return what the page of a photograph shows besides its form."""
    row = list(Photograph.objects.filter(visit=found.visit).values_list("pk", flat=True))
    at = row.index(found.pk)
    return {
        "photograph": found,
        "before": row[at - 1] if at else None,
        "after": row[at + 1] if at + 1 < len(row) else None,
        "count": len(row),
        "nth": at + 1,
        "longest_px": max(found.width_px, found.height_px),
    }


def pressed(request: HttpRequest, found: Photograph) -> dict[str, float]:
    """Return where the picture was pressed, in hundredths, as the browser tells it."""
    wide = WIDE_PX if found.width_px >= found.height_px else TALL_PX
    try:
        x, y = (int(request.GET[f"tap.{axis}"]) for axis in "xy")
        high = wide * found.height_px / found.width_px
        place = {"across": 100 * x / wide, "down": 100 * y / high}
    except (KeyError, ValueError, ZeroDivisionError):
        return {}
    return {name: round(min(max(share, 0.0), 100.0), 1) for name, share in place.items()}


def edit_photograph(request: HttpRequest, pk: int) -> HttpResponse:
    """Write what a photograph shows."""
    found = by_pk(pk)
    back = address_of(found)
    editing = Editing(title=str(found), done=address_of, shown={"back": back}, write=write_caption)
    return edit(request, CaptionForm, found, editing)


@require_POST
def remove_point(request: HttpRequest, pk: int, place: int) -> HttpResponse:
    """Ask once, then put a point aside."""
    found = by_pk(pk)
    if place >= len(found.marks):
        return redirect("photograph", pk)
    removal = Removal(
        done=address_of(found),
        stay=address_of(found),
        act=partial(take_point_off, place=place),
        called=_("point “%(what)s”") % {"what": found.marks[place]["text"]},
    )
    return ask_and_remove(request, found, signed_in(request), removal)


@require_POST
def shift_photograph(request: HttpRequest, pk: int) -> HttpResponse:
    """Move a photograph earlier or later."""
    shift(by_pk(pk), 1 if request.POST.get("way") == "later" else -1, signed_in(request))
    return redirect("photograph", pk)


@require_POST
def remove_photograph(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put a photograph aside."""
    found = by_pk(pk)
    points = len(found.marks)
    told = ngettext("Its point goes with it.", "Its %(n)d points go with it.", points)
    removal = Removal(
        done=visit_at("photographs")(found),
        stay=address_of(found),
        also=(told % {"n": points},) if points else (),
        called=_("photograph “%(what)s”") % {"what": found},
    )
    return ask_and_remove(request, found, signed_in(request), removal)


def photograph_file(request: HttpRequest, pk: int, size: str) -> FileResponse:
    """Give out a photograph in one size; a browser keeps it by an address that holds its hash.

    After a restore another picture may have the same number: it never has the same address.
    """
    found = by_pk(pk)
    asked = request.META.get("QUERY_STRING", "")
    if asked not in ("", found.fingerprint):
        raise Http404(_("There is no such picture any more; load the page again."))
    path = file_of(found, size)
    download = size == "original" and found.format not in SHOWN_IN_PAGE
    answer = FileResponse(path.open("rb"), as_attachment=download, filename=path.name)
    if asked:
        answer.headers["Cache-Control"] = f"private, max-age={A_YEAR_S}, immutable"
    return answer


def by_pk(pk: int) -> Photograph:
    """Return a photograph with its visit, or 404."""
    return get_object_or_404(Photograph.objects.select_related("visit__watch__owner"), pk=pk)


def address_of(found: Photograph) -> str:
    """Return the address of a photograph's page."""
    return reverse("photograph", args=[found.pk])
