"""Listening at the bench: the pages, and what their script sends and is told."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.models import Reading, Round, Visit
from sideshake.web.readings.forms import LiveForm
from sideshake.web.readings.listening import append, begin, finish
from sideshake.web.readings.listening_answer import answer, finished
from sideshake.web.readings.listening_sound import Missing
from sideshake.web.rounds.services import places_of, reading_for
from sideshake.web.sample_clock.words import clock_sentence


def listen(request: HttpRequest, number: str) -> HttpResponse:
    """Show the page that listens to one watch as long as wanted."""
    visit = visit_by_number(number)
    form = LiveForm(instance=Reading(visit=visit))
    return render(request, "readings/listen.html", {"visit": visit, "form": form})


def listen_round(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the page that leads through the positions of a round."""
    found = get_object_or_404(Round.objects.select_related("visit__watch__owner"), pk=pk)
    shown = {"visit": found.visit, "round": found, "places": places_of(found)}
    return render(request, "readings/listen.html", shown)


@require_POST
def begin_listening(request: HttpRequest, number: str) -> JsonResponse:
    """Begin a live reading; tell where its sound goes."""
    visit = visit_by_number(number)
    try:
        reading = begin(
            visit, asked_for(request, visit), whole(request.POST, "rate_hz"), signed_in(request)
        )
    except InputError as error:
        return JsonResponse({"said": str(error)}, status=422)
    return JsonResponse(
        {
            "add": reverse("add-sound", args=[reading.pk]),
            "finish": reverse("finish-listening", args=[reading.pk]),
            "clock": clock_sentence(reading),
        }
    )


def asked_for(request: HttpRequest, visit: Visit) -> Reading:
    """Return the reading that is to begin, not stored yet.

    Raises
    ------
    InputError : something of it cannot be
    """
    recorder = request.POST.get("recorder", "")[:120]
    if "round" in request.POST:
        found = get_object_or_404(visit.rounds, pk=whole(request.POST, "round"))
        reading = reading_for(found, whole(request.POST, "place"))
    else:
        form = LiveForm(request.POST, instance=Reading(visit=visit))
        if not form.is_valid():
            raise InputError("; ".join(str(each[0]) for each in form.errors.values()))
        reading = form.save(commit=False)
    reading.recorder = recorder
    return reading


def whole(sent: "dict[str, str]", name: str) -> int:
    """Return a whole number that was sent.

    Raises
    ------
    InputError : it is none
    """
    text = sent.get(name, "")
    if not text.isdecimal():
        raise InputError(f"{name} must be a whole number, not {text!r}")
    return int(text)


@require_POST
def add_sound(request: HttpRequest, pk: int) -> JsonResponse:
    """Take in sound; tell what has been heard so far, or from which sample on to send again."""
    try:
        session = append(live_reading(pk), whole(request.GET, "first"), request.body)
    except Missing as missing:
        return JsonResponse({"have": missing.have}, status=409)
    except InputError as error:
        return JsonResponse({"said": str(error)}, status=422)
    return JsonResponse(answer(session))


@require_POST
def finish_listening(request: HttpRequest, pk: int) -> JsonResponse:
    """Finish a live reading; tell what it says."""
    try:
        return JsonResponse(finished(finish(live_reading(pk), signed_in(request))))
    except InputError as error:
        return JsonResponse({"said": str(error)}, status=422)


def live_reading(pk: int) -> Reading:
    """Return a reading with what hearing it needs, or 404."""
    return get_object_or_404(Reading.objects.select_related("visit__watch__owner", "round"), pk=pk)
