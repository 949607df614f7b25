"""Warranties that end and services that fall due."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from sideshake.web.base.paging import kept_query, page_of
from sideshake.web.models import Visit
from sideshake.web.overview.queries import comparisons_due, last_stays


def due(request: HttpRequest) -> HttpResponse:
    """List services due or warranties running, the nearest first."""
    day = timezone.localdate()
    warranty = request.GET.get("list") == "warranty"
    if warranty:
        rows = Visit.objects.filter(warranty_until__gte=day).order_by("warranty_until", "pk")
    else:
        rows = last_stays().exclude(next_service_on=None).order_by("next_service_on", "pk")
    shown = {
        "page": page_of(request, rows.select_related("watch__owner")),
        "kept": kept_query(request),
        "warranty": warranty,
        "day": day,
        "comparisons": comparisons_due(timezone.now()),
    }
    return render(request, "overview/due.html", shown)
