"""Warranties that end and services that fall due."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from sideshake.bench.models import Visit
from sideshake.bench.paging import kept_query, page_of


def due(request: HttpRequest) -> HttpResponse:
    """List services due or warranties running, the nearest first."""
    day = timezone.localdate()
    warranty = request.GET.get("list") == "warranty"
    rows = Visit.objects.select_related("watch__owner")
    if warranty:
        rows = rows.filter(warranty_until__gte=day).order_by("warranty_until", "pk")
    else:
        rows = rows.exclude(next_service_on=None).order_by("next_service_on", "pk")
    shown = {
        "page": page_of(request, rows),
        "kept": kept_query(request),
        "warranty": warranty,
        "day": day,
    }
    return render(request, "bench/due.html", shown)
