"""Listening live: sound on the disk first, then heard; a killed workshop goes on from the disk."""

import time
from threading import Event, Lock

from django.db import close_old_connections, transaction
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.sound.listener import RATES_HZ, require_within
from sideshake.web.base.saving import remove_for_good, save
from sideshake.web.models import Reading, User, Visit
from sideshake.web.readings.heard_rows import LIVE, WAITING
from sideshake.web.readings.hearing import hear_soon
from sideshake.web.readings.listening_session import SESSIONS, Session, session_of
from sideshake.web.readings.listening_sound import (
    fresh_file,
    fresh_part,
    live_file,
    put_on_disk,
    stored,
)

LEFT_S = 600.0
"""Live sound untouched for so long belongs to no page any more."""
LEFT_BESIDE_S = 15.0
"""The same, when a page begins anew at the same visit."""
LOOKED_EVERY_S = 60.0


def begin(visit: Visit, reading: Reading, rate_hz: int, by: User) -> Reading:
    """Return a reading that is listened to from now on.

    Raises
    ------
    InputError : a sample rate that cannot be heard with
    """
    require_within(_("a sample rate"), rate_hz, RATES_HZ, "Hz")
    finish_left(by, visit, untouched_s=LEFT_BESIDE_S)
    reading.visit, reading.state = visit, LIVE
    save(reading, by, what=_("began to listen"))
    fresh_file(reading, rate_hz)
    return reading


def append(reading: Reading, first: int, pcm: bytes) -> Session:
    """Return the session after taking in samples, the first of which is number `first`.

    What is here already is not taken twice; new samples are on the disk before they are heard.

    Raises
    ------
    Missing : there is a gap before `first`
    InputError : half a sample, or the reading is finished
    """
    session = session_of(reading)
    path, _rate_hz = live_file(reading)
    with session.lock:
        fresh = fresh_part(pcm, first, have=session.have)
        if fresh:
            put_on_disk(path, fresh, have=session.have)
            session.feed(fresh)
        session.renew()
    return session


def finish(reading: Reading, by: User | None) -> Reading:
    """Return the reading of what was listened to: its longest stretch without handling.

    Raises
    ------
    InputError : it is finished already, or no sound came
    """
    session = session_of(reading)
    path, rate_hz = live_file(reading)
    with session.lock:
        if not session.have:
            throw_away(reading, by)
            raise InputError(_("no sound came from the microphone; nothing was kept"))
        stretch = session.attention.longest()
        with transaction.atomic():
            reading.recording = stored(reading, path, rate_hz)
            reading.state = WAITING
            reading.heard_from_s = stretch.first / rate_hz
            reading.heard_until_s = stretch.end / rate_hz if stretch.length else None
            what = _("listened for %(time).0f s") % {"time": session.have / rate_hz}
            save(reading, by, what=what)
        SESSIONS.pop(reading.pk, None)
        path.unlink()
    hear_soon(reading)
    reading.refresh_from_db()
    return reading


def throw_away(reading: Reading, by: User | None) -> None:
    """Remove a live reading and its sound for good: there is nothing yet to take back."""
    path, _rate_hz = live_file(reading)
    SESSIONS.pop(reading.pk, None)
    remove_for_good(reading, by, what=_("threw away what was being listened to"))
    path.unlink()


FINISHING = Lock()


def finish_left(by: User | None, visit: Visit | None = None, *, untouched_s: float) -> None:
    """Finish live readings that no page sends sound to any more; the empty ones go."""
    left = Reading.objects.filter(state=LIVE).select_related("visit__watch", "round")
    with FINISHING:  # of two pages that begin at once only one finishes what is left
        for reading in left if visit is None else left.filter(visit=visit):
            try:
                path, _rate_hz = live_file(reading)
                if time.time() - path.stat().st_mtime > untouched_s:
                    finish(reading, by)
            except InputError:
                forget_without_sound(reading, by)


def forget_without_sound(reading: Reading, by: User | None) -> None:
    """Remove a reading whose sound is gone, unless its own page has just finished it."""
    if Reading.objects.filter(pk=reading.pk, state=LIVE).exists():
        remove_for_good(reading, by, what=_("no sound was left of a live reading"))


def finish_what_was_left(closing: Event) -> None:
    """Look every minute for live readings that were left; runs beside the pages."""
    while not closing.wait(LOOKED_EVERY_S):
        finish_left(None, untouched_s=LEFT_S)
        close_old_connections()
