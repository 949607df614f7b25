"""Search over everything that was ever written about a visit, its watch and its owner."""

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from sideshake.bench.models import Owner, Visit, Watch
from sideshake.bench.paging import kept_query, page_of
from sideshake.bench.services.saving import folded

AROUND = 60
SHOWN = 10


def search(request: HttpRequest) -> HttpResponse:
    """Show the visits that hold every word, and owners and watches that never came."""
    asked = request.GET.get("q", "").strip()
    words = folded(asked).split()
    if Visit.objects.filter(number=asked).exists():
        return redirect("visit", asked)
    rows = Visit.objects.select_related("watch__owner", "text") if words else Visit.objects.none()
    for word in words:
        rows = rows.filter(text__folded__contains=word)
    page = page_of(request, rows)
    shown = {
        "q": asked,
        "page": page,
        "found": [(visit, snippet(visit.text.folded, words)) for visit in page],
        "kept": kept_query(request),
        "owners": owners_without_visits(asked),
        "watches": watches_without_visits(asked),
    }
    return render(request, "bench/search.html", shown)


def snippet(text: str, words: list[str]) -> str:
    """Return the words around the first place where one of them stands."""
    place = min((text.find(word) for word in words if word in text), default=0)
    start, end = max(0, place - AROUND), place + AROUND
    return f"{'… ' if start else ''}{text[start:end]}{' …' if end < len(text) else ''}"


def owners_without_visits(asked: str) -> list[Owner]:
    """Return owners who are called so and have no visit."""
    rows = Owner.objects.filter(name__icontains=asked, watches__visits=None)
    return list(rows.distinct()[:SHOWN]) if asked else []


def watches_without_visits(asked: str) -> list[Watch]:
    """Return watches that are called so and were never here."""
    named = Q(title__icontains=asked) | Q(dial_name__icontains=asked)
    rows = Watch.objects.filter(named, visits=None).select_related("owner")
    return list(rows[:SHOWN]) if asked else []
