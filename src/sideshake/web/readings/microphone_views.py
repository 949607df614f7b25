"""Trying a microphone: one page, and what its script sends and is told."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.sample_clock.kept import USUAL_RECORDER, known_clock
from sideshake.web.readings.listening_sound import Missing
from sideshake.web.readings.listening_views import whole
from sideshake.web.readings.microphone_answer import answer
from sideshake.web.readings.microphone_check import WANTED_S, begin, take_in
from sideshake.web.sample_clock.words import words_of


def microphone(request: HttpRequest) -> HttpResponse:
    """Show the page that tries a microphone."""
    return render(request, "readings/microphone.html", {"wanted_s": round(WANTED_S)})


@require_POST
def begin_trial(request: HttpRequest) -> JsonResponse:
    """Begin a trial; tell where its sound goes and what is known of the microphone's clock."""
    recorder = request.POST.get("recorder", "")[:120]
    try:
        key = begin(recorder, whole(request.POST, "rate_hz"))
        clock = known_clock(recorder)
    except InputError as error:
        return JsonResponse({"said": str(error)}, status=422)
    return JsonResponse(
        {
            "add": reverse("trial-sound", args=[key]),
            "clock": words_of(clock, recorder or USUAL_RECORDER),
            "checked": clock.checked,
        }
    )


@require_POST
def add_trial_sound(request: HttpRequest, key: str) -> JsonResponse:
    """Take in sound; tell how loud it is and what it says so far."""
    try:
        return JsonResponse(answer(take_in(key, whole(request.GET, "first"), request.body)))
    except Missing as missing:
        return JsonResponse({"have": missing.have}, status=409)
    except InputError as error:
        return JsonResponse({"said": str(error)}, status=422)
