"""Sound clocks: those checked, and checking one."""

import datetime
import time
from pathlib import Path

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError, NotEnough
from sideshake.sample_clock.checked import How
from sideshake.sample_clock.computer import system_clock
from sideshake.sample_clock.kept import kept_clocks
from sideshake.sound.clock import SampleClock
from sideshake.web.base.access import signed_in
from sideshake.web.base.asking import Removal, ask_and_remove
from sideshake.web.models import Removed, User, Workshop, the_workshop
from sideshake.web.readings.listening_sound import Missing
from sideshake.web.readings.listening_views import whole
from sideshake.web.sample_clock.answer import answer
from sideshake.web.sample_clock.check import begin, from_recording, store, take_in
from sideshake.web.sample_clock.forgetting import forget_checked
from sideshake.web.sample_clock.forms import ReferenceForm, TickRecordingForm
from sideshake.web.sample_clock.words import kept_rows, stored_sentence
from sideshake.web.templatetags.bench import day as day_words


def clocks(request: HttpRequest) -> HttpResponse:
    """List the clocks checked; check one by a recording, or show where one is checked live."""
    form = TickRecordingForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        upload = form.cleaned_data["recording"]
        path = upload.temporary_file_path()
        try:
            stored = from_recording(Path(path), form.reference())
            messages.success(request, stored_sentence(stored))
            return redirect("clock")
        except (InputError, NotEnough) as fault:
            form.add_error("recording", str(fault).replace(path, upload.name))
    shown = {
        "form": form,
        "live": ReferenceForm(auto_id="live_%s"),
        "kept": kept_rows(),
        "system": system_clock(),
    }
    return render(request, "sample_clock/check.html", shown, status=422 if form.errors else 200)


@require_POST
def forget(request: HttpRequest) -> HttpResponse:
    """Ask once, then forget a clock; what was checked is put aside."""
    recorder = request.POST.get("recorder", "")
    kept = kept_clocks().get(recorder)
    if kept is None:
        raise InputError(_("no clock was checked for %(who)s") % {"who": recorder or "–"})

    def put_it_aside(shop: Workshop, by: User, *, seen: int) -> Removed:  # noqa: ARG001 - the file of clocks has no versions
        return forget_checked(recorder, kept, by)

    removal = Removal(
        done=reverse("clock"),
        stay=reverse("clock"),
        act=put_it_aside,
        also=forgetting(kept),
        title=_("Forget the sound clock of %(who)s?") % {"who": recorder},
        do=_("Forget it"),
        said=_("Forgotten: the sound clock of %(who)s.") % {"who": recorder},
    )
    return ask_and_remove(request, the_workshop(), signed_in(request), removal)


def forgetting(clock: SampleClock) -> tuple[str, ...]:
    """Return what is told of a clock before it is forgotten; no day where none is kept."""
    stays = _("New readings by it will not be corrected.")
    try:
        day = datetime.date.fromisoformat(clock.date)
    except ValueError:
        return (stays,)
    return (_("It was checked on %(day)s.") % {"day": day_words(day)}, stays)


@require_POST
def begin_check(request: HttpRequest) -> JsonResponse:
    """Begin a check; tell where its sound goes."""
    form = ReferenceForm(
        {**request.POST.dict(), "recorder": request.POST.get("recorder", "")[:120]}
    )
    try:
        if not form.is_valid():
            raise InputError("; ".join(str(each[0]) for each in form.errors.values()))
        key = begin(form.reference(), whole(request.POST, "rate_hz"))
    except InputError as error:
        return JsonResponse({"said": str(error)}, status=422)
    return JsonResponse(
        {"add": reverse("clock-sound", args=[key]), "store": reverse("store-clock", args=[key])}
    )


@require_POST
def add_clock_sound(request: HttpRequest, key: str) -> JsonResponse:
    """Take in sound; tell what both ways say so far."""
    at_s = time.monotonic()  # first of all: how many samples have come by now is what is judged
    first = whole(request.GET, "first")
    try:
        return JsonResponse(answer(take_in(key, first, request.body, at_s)))
    except Missing as missing:
        return JsonResponse({"have": missing.have}, status=409)
    except InputError as error:
        return JsonResponse({"said": str(error)}, status=422)


@require_POST
def store_clock(request: HttpRequest, key: str) -> JsonResponse:
    """Store what was found by one of the ways."""
    way_chosen = request.POST.get("way", "")
    try:
        if way_chosen not in list(How):
            raise InputError(_("choose one of the ways"))
        stored = store(key, How(way_chosen), also_usual="also" in request.POST)
    except InputError as error:
        return JsonResponse({"said": str(error)}, status=422)
    messages.success(request, stored_sentence(stored))
    return JsonResponse({"address": reverse("clock")})
