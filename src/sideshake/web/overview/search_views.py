"""Search over everything that was ever written about a visit, its watch and its owner."""

import re
from functools import reduce
from operator import or_
from typing import Any

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from sideshake.web.base.access import signed_in
from sideshake.web.base.paging import kept_query, page_of
from sideshake.web.base.saving import folded, holding, text_for
from sideshake.web.models import Owner, Visit, Watch

AROUND = 60
SHOWN = 10


def search(request: HttpRequest) -> HttpResponse:
    """Show the visits that hold every word, and owners and watches that never came."""
    asked = request.GET.get("q", "").strip()
    words = folded(asked).split()
    if Visit.objects.filter(number=asked).exists():
        return redirect("visit", asked)
    rows = Visit.objects.select_related("watch__owner", "text") if words else Visit.objects.none()
    user = signed_in(request)
    kept = text_for(user)
    page = page_of(request, holding(rows, asked, user))
    shown = {
        "q": asked,
        "page": page,
        "found": [
            (visit, snippet_parts(snippet(getattr(visit.text, kept), words), words))
            for visit in page
        ],
        "kept": kept_query(request),
        "owners": owners_without_visits(asked.split()),
        "watches": watches_without_visits(asked.split()),
    }
    return render(request, "overview/search.html", shown)


def snippet(text: str, words: list[str]) -> str:
    """Return the words around the first place where one of them stands."""
    place = min((text.find(word) for word in words if word in text), default=0)
    start, end = max(0, place - AROUND), place + AROUND
    return f"{'… ' if start else ''}{text[start:end]}{' …' if end < len(text) else ''}"


def snippet_parts(text: str, words: list[str]) -> list[tuple[str, bool]]:
    """Return a text in parts, each with whether it is one of the words looked for."""
    if not words:
        return [(text, False)]
    either = "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))
    parts = re.split(f"({either})", text)
    return [(part, place % 2 == 1) for place, part in enumerate(parts) if part]


def owners_without_visits(words: list[str]) -> list[Owner]:
    """Return owners whose name holds every word and of whom no watch was ever here."""
    came = Visit.objects.filter(watch__owner=OuterRef("pk"))
    rows = Owner.objects.filter(~Exists(came))
    return first_with(rows, words, ("name", "email", "address", "note"))


def watches_without_visits(words: list[str]) -> list[Watch]:
    """Return watches that hold every word and were never here."""
    came = Visit.objects.filter(watch=OuterRef("pk"))
    rows = Watch.objects.filter(~Exists(came)).select_related("owner")
    return first_with(rows, words, ("title", "dial_name", "story", "owner__name"))


def first_with(rows: "QuerySet[Any]", words: list[str], names: tuple[str, ...]) -> list[Any]:
    """Return the first records that hold every word, each in any of the named fields."""
    for word in words:
        rows = rows.filter(reduce(or_, (Q(**{f"{name}__icontains": word}) for name in names)))
    return list(rows[:SHOWN]) if words else []
