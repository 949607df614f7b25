"""Checking a microphone's sound clock, live or by a recording. The sound is not kept."""

import time
from collections.abc import Callable
from pathlib import Path

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.core.errors import InputError
from sideshake.sample_clock.checked import How, require_worth_keeping
from sideshake.sample_clock.computer import SystemClock, system_clock
from sideshake.sample_clock.kept import USUAL_RECORDER, keep_clock
from sideshake.sound.clock import SampleClock
from sideshake.sound.listener import Listener
from sideshake.sound.recording import open_recording
from sideshake.web.base.underway import Underway
from sideshake.web.sample_clock.session import ClockCheck, Reference

MOST_RECORDING_S = 3600.0
CHECKS: Underway[ClockCheck] = Underway(
    gone=gettext_lazy("the workshop was opened anew in between; the check begins anew")
)


def begin(
    reference: Reference, rate_hz: int, *, system: Callable[[], SystemClock] = system_clock
) -> str:
    """Return the key of a check that has begun.

    Raises
    ------
    InputError : a sample rate that cannot be heard with
    """
    listener = Listener(rate_hz, beats_per_hour=reference.beats_per_hour)
    return CHECKS.begin(
        ClockCheck(reference, rate_hz, listener, system, touched_at=time.monotonic())
    )


def take_in(key: str, first: int, pcm: bytes, at_s: float) -> ClockCheck:
    """Return a check after hearing further samples, which had come by `at_s` (monotonic).

    Raises
    ------
    InputError : there is none of that key any more
    Missing : there is a gap before `first`
    """
    check = CHECKS.at(key)
    with check.lock:
        check.take(first, pcm, at_s)
        check.renew()
    return check


def store(key: str, how: How, *, also_usual: bool) -> SampleClock:
    """Return the clock that was found and is now kept; the check is over.

    Raises
    ------
    InputError : there is no such check any more, or nothing was found that way surely enough
    """
    check = CHECKS.at(key)
    with check.lock:
        found = check.found.get(how)
    if found is None:
        raise InputError(check.why_not.get(how, _("nothing was heard yet")))
    if why := check.refusal(found):
        raise InputError(why)
    keep_clock(found.clock, *([USUAL_RECORDER] if also_usual else []))
    CHECKS.end(key)
    return found.clock


def from_recording(path: Path, reference: Reference) -> SampleClock:
    """Return the clock found from the recording of a reference, which is now kept.

    Raises
    ------
    InputError : it cannot be read, is too long, or the beats heard are not the reference's
    NotEnough : nothing ticks there, or not surely enough
    """
    with open_recording(path) as sound:
        if sound.duration_s > MOST_RECORDING_S:
            raise InputError(
                _("a recording of %(long).0f min is too long; an hour at most is needed")
                % {"long": sound.duration_s / 60}
            )
        listener = Listener(sound.rate_hz, beats_per_hour=reference.beats_per_hour)
        for block in sound.blocks():
            listener.feed(block)
    found = reference.by_tick(listener.hear())
    require_worth_keeping(found.clock)
    keep_clock(found.clock)
    return found.clock
