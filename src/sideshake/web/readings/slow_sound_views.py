"""A reading's sound played slowly, a stretch at a time, with its noises marked."""

import math
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.drawings.slow_sound import WIDTH, Scene, slow_drawing
from sideshake.sound.slow import SLOWER
from sideshake.web.base.file_response import as_picture, part_given_out
from sideshake.web.models import Reading
from sideshake.web.readings.slow_sound import LENGTHS_S, SlowStretch, scene, slow_wav
from sideshake.web.readings.views import by_pk

USUAL_LENGTH_S, USUAL_TIMES = 2.0, "4"
TIMES = {str(times): times for times in SLOWER}


def slowly(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a stretch of the sound, its noises marked, and play it slowly."""
    found = by_pk(pk)
    stretch = asked_stretch(request, found)
    drawn, reason = scene(stretch)
    shown = {
        "reading": found,
        "stretch": stretch,
        "reason": reason,
        "asked": asked(stretch, stretch.start_s),
        "before": "" if stretch.before_s is None else asked(stretch, stretch.before_s),
        "next": "" if stretch.next_s is None else asked(stretch, stretch.next_s),
        "lengths": LENGTHS_S,
        "slower": SLOWER,
        "named": any(beat.noises for beat in drawn.beats),
        "beats": len(drawn.beats),
        "cursors": cursors(drawn),
    }
    return render(request, "readings/slow_sound.html", shown)


def slow_picture(request: HttpRequest, pk: int) -> HttpResponse:
    """Draw the stretch."""
    drawn, _reason = scene(asked_stretch(request, by_pk(pk)))
    return as_picture(slow_drawing(drawn))


def slow_sound(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Give out the stretch slowed down, or the part of it that the browser plays."""
    stretch = asked_stretch(request, by_pk(pk))
    return part_given_out(request, slow_wav(stretch), kind="audio/wav")


def asked_stretch(request: HttpRequest, reading: Reading) -> SlowStretch:
    """Return the stretch that an address names; what it leaves out is the usual."""
    return SlowStretch(
        reading=reading,
        start_s=number_in(request, "from", reading.heard_from_s),
        length_s=number_in(request, "for", USUAL_LENGTH_S),
        times=TIMES.get(request.GET.get("slower", USUAL_TIMES), 0),
    )


def number_in(request: HttpRequest, name: str, usual: float) -> float:
    """Return a number in an address, with a comma or a point."""
    text = request.GET.get(name, "").strip().replace(",", ".")
    try:
        value = float(text) if text else usual
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise InputError(_("%(text)s is no number of seconds") % {"text": text})
    return value


def asked(stretch: SlowStretch, start_s: float) -> str:
    """Return how an address names a stretch like this one that begins elsewhere."""
    named = {"from": f"{start_s:.2f}", "for": f"{stretch.length_s:g}", "slower": stretch.times}
    return urlencode(named)


def cursors(drawn: Scene) -> list[dict[str, str]]:
    """Return where in the picture the cursor runs, and from when to when, for the script."""
    return [
        {
            "from": f"{pane.start_s:.6f}",
            "to": f"{pane.end_s:.6f}",
            "left": f"{100 * pane.left / WIDTH:.3f}",
            "right": f"{100 * pane.right / WIDTH:.3f}",
            "top": f"{100 * pane.top / drawn.height:.3f}",
            "height": f"{100 * (pane.bottom - pane.top) / drawn.height:.3f}",
        }
        for pane in drawn.panes
    ]
