"""Crickets uploaded in a real browser: no figure, and a button that says it is a watch."""

import io

import soundfile
from heard_chirps import RATE_HZ, chirps

from sideshake.web.models import Reading
from sideshake.web.readings.hearing import take_in


def test_crickets_are_told_so_and_read_once_somebody_says_they_are_a_watch(desk, visit, restorer):
    written = io.BytesIO()
    soundfile.write(written, chirps(), RATE_HZ, format="FLAC", subtype="PCM_16")
    made = Reading(visit=visit, position="CH", wound="full")
    reading = take_in(visit, [written.getvalue()], made, restorer)
    desk.go(f"/readings/{reading.pk}/")
    desk.shows("something beats evenly", "does not sound like a watch")
    desk.look()
    desk.press("w")
    desk.shows("only because you say so", "It is no watch after all")
    desk.look()
