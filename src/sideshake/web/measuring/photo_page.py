"""What the pages that measure in a photograph share: what was pressed, seen, said yes to."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.core.errors import InputError, NotEnough
from sideshake.web.base.access import signed_in
from sideshake.web.base.saving import EditConflict
from sideshake.web.evidence.photograph_views import SHOWN_IN_PAGE
from sideshake.web.measuring.photo_forms import ScaledForm
from sideshake.web.models import Photograph, User, Visit, the_workshop

WHAT = (
    ("look", gettext_lazy("a hole")),
    ("look-wheel", gettext_lazy("a wheel")),
    ("look-pivot", gettext_lazy("a pivot")),
    ("look-points", gettext_lazy("points")),
)
"""What is measured, by the page that does it."""
OF_THE_SCALE = tuple(name for name in ScaledForm.base_fields if not name.startswith("at_"))
"""What stays when something else is measured in the same photograph."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measuring:
    """One page that measures: what it is called, what is seen, what is shown and stored of it.

    `see` raises InputError or NotEnough where nothing can be measured; `keep` returns what is said
    and where it leads once it is stored, and raises InputError or Overtaken where it cannot be.
    """

    name: str
    template: str
    form: type[ScaledForm]
    see: Callable[[Any], Any]
    shown: Callable[[Any, Any], dict[str, Any]]
    keep: Callable[[Any, Any, QueryDict, User], tuple[str, str]]


def measuring_page(
    request: HttpRequest, row: Photograph, measuring: Measuring, **also: Any
) -> HttpResponse:
    """Show a photograph to measure in, and what is found where it was pressed; store it on yes.

    `also` is shown whether anything was pressed or not.
    """
    asked = asked_in(request)
    form = form_for(measuring.form, row, asked)
    told = form.is_bound and form.is_valid()
    found, wrong = seen_or_why(measuring, form) if told else (None, "")
    status = 200
    if request.method == "POST":
        status = 422
        if found is not None:
            said, wrong, status = kept_or_why(measuring, form, found, asked, signed_in(request))
            if not wrong:
                messages.success(request, said[0])
                return redirect(said[1])
    shown = {**page_of(measuring.name, form, asked), **also, "wrong": wrong, "found": found}
    if told:
        shown |= measuring.shown(form, found)
    return render(request, measuring.template, shown, status=status)


def asked_in(request: HttpRequest) -> QueryDict:
    """Return what was asked, in the address or on yes."""
    return request.POST if request.method == "POST" else request.GET


def form_for(form: type[ScaledForm], row: Photograph, asked: QueryDict) -> Any:
    """Return the form as it was filled in; until something is pressed, with what is told."""
    return form(row, asked if asked.get("at_across") else None, initial=asked.dict())


def seen_or_why(measuring: Measuring, form: ScaledForm) -> tuple[Any, str]:
    """Return what is seen, or the sentence why nothing can be measured."""
    try:
        return measuring.see(form), ""
    except (InputError, NotEnough) as fault:
        return None, fault.sentence


def kept_or_why(
    measuring: Measuring, form: ScaledForm, found: Any, asked: QueryDict, by: User
) -> tuple[tuple[str, str], str, int]:
    """Store what was found; return what is said, the sentence why it could not be, the status."""
    try:
        return measuring.keep(form, found, asked, by), "", 200
    except InputError as error:
        return ("", ""), error.sentence, 422
    except EditConflict as error:
        wrong = _("%(who)s. Compare with what is stored now.") % {"who": error}
        return ("", ""), wrong, 409


def size_kept(visit: Visit) -> tuple[str, str]:
    """Return what is said once a size is stored, and where that leads."""
    address = f"{reverse('visit', args=[visit.number])}#measured"
    return _("Stored, with the photograph as its evidence."), address


def versions_of(visit: Visit, keys: Iterable[str], *, after: bool) -> list[tuple[str, int]]:
    """Return the version of each size that is stored already under one of the keys."""
    stored = {each.key: each.version for each in visit.measurements.all() if each.after is after}
    return [(key, stored[key]) for key in keys if key in stored]


def page_of(name: str, form: ScaledForm, asked: QueryDict) -> dict[str, Any]:
    """Return what every such page shows of a photograph and of what was asked."""
    row = form.photograph
    told = of_this(asked, form.fields)
    scale = urlencode(of_this(asked, OF_THE_SCALE))
    return {
        "photograph": row,
        "visit": row.visit,
        "form": form,
        "name": name,
        "what": [(each, words, each == name) for each, words in WHAT],
        "scale": f"?{scale}" if scale else "",
        "query": urlencode(told),
        "told": told,
        "original": row.format in SHOWN_IN_PAGE,
        "pressed": [(f"{x + 0.5:.1f}", f"{y + 0.5:.1f}") for x, y in form.places()],
        "cross": f"{max(row.width_px, row.height_px) / 150:.1f}",
        "printed": the_workshop().card_across_mm is not None,
    }


def of_this(asked: Mapping[str, Any], names: Iterable[str]) -> list[tuple[str, str]]:
    """Return what was asked of this photograph alone."""
    return [(name, str(asked[name])) for name in names if asked.get(name)]


def photograph_of(pk: int) -> Photograph:
    """Return a photograph with its visit's findings, sizes and photographs, or 404."""
    rows = Photograph.objects.select_related("visit__watch__owner")
    ready = rows.prefetch_related("visit__measurements", "visit__photographs", "visit__findings")
    return get_object_or_404(ready, pk=pk)
