"""The first page: what is in the workshop, by step and by the day it was promised."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from sideshake.bench.models import ENDED, Visit


def today(request: HttpRequest) -> HttpResponse:
    """Show the visits that are here."""
    visits = Visit.objects.exclude(step__in=ENDED).select_related("watch__owner")
    return render(request, "bench/today.html", {"visits": visits.order_by("promised_on", "pk")})
