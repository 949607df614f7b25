"""The visit page: one page from arrived to gone home."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from sideshake.bench.access import signed_in
from sideshake.bench.queries import whole_visit
from sideshake.bench.views.sections import SECTIONS


def visit(request: HttpRequest, number: str) -> HttpResponse:
    """Show one visit from top to bottom."""
    found = whole_visit(number)
    user = signed_in(request)
    sections = [section.filled(found, user) for section in SECTIONS if section.is_for(user)]
    return render(request, "bench/visit.html", {"visit": found, "sections": sections})
