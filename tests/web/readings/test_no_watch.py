"""A recording that only beats evenly stores no figures, until somebody says that it is a watch."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from heard_chirps import RATE_HZ, chirps

from sideshake.web.models import Change, Reading
from sideshake.web.readings.hearing import FIGURES
from tests.web.readings.test_recordings import flac, sound

BUTTON = "It is a watch: read it"


def uploaded(client, visit, data):
    given = {"position": "CH", "wound": "full"}
    given["recordings"] = SimpleUploadedFile("a.flac", data, "audio/flac")
    assert client.post(f"/visits/{visit.number}/recordings/add/", given).status_code == 302
    return Reading.objects.get()


@pytest.fixture
def crickets(client, visit):
    return uploaded(client, visit, flac(chirps(), RATE_HZ))


def page(client, reading):
    return client.get(f"/readings/{reading.pk}/").content.decode()


def figures(reading):
    return [getattr(reading, name) for name in FIGURES]


def test_crickets_store_no_figures_and_the_page_says_why(client, crickets):
    assert crickets.state == "no-reading"
    assert figures(crickets) == [None] * len(FIGURES)
    shown = page(client, crickets)
    assert "something beats evenly" in shown
    assert "does not sound like a watch" in shown
    assert "more of a tone than a tick" in shown
    assert BUTTON in shown


def test_a_watch_has_neither_the_sentence_nor_the_button(client, visit):
    reading = uploaded(client, visit, sound())
    shown = page(client, reading)
    assert reading.state == "heard"
    assert "does not sound like a watch" not in shown
    assert BUTTON not in shown
    assert "no watch after all" not in shown


def test_another_reason_for_no_reading_has_no_button(client, visit):
    reading = uploaded(client, visit, flac([0.0] * 48000, 48000))
    assert reading.state == "no-reading"
    assert BUTTON not in page(client, reading)


def test_said_to_be_a_watch_it_is_read_with_a_doubt_and_the_history_tells_who(
    client, crickets, owner_of_workshop
):
    client.post(f"/readings/{crickets.pk}/a-watch/", {"seen": crickets.version})
    crickets.refresh_from_db()
    assert crickets.said_watch
    assert crickets.state == "heard"
    assert abs(crickets.rate_s_per_day) < 5
    assert "only because you say so" in page(client, crickets)
    assert BUTTON not in page(client, crickets)
    last = Change.objects.filter(visit=crickets.visit).latest("pk")
    assert last.by == owner_of_workshop
    assert "said to be a watch" in last.what or "said_watch" in str(last.fields)


def test_it_can_be_taken_back(client, crickets):
    client.post(f"/readings/{crickets.pk}/a-watch/")
    client.post(f"/readings/{crickets.pk}/no-watch/")
    crickets.refresh_from_db()
    assert not crickets.said_watch
    assert figures(crickets) == [None] * len(FIGURES)
    assert BUTTON in page(client, crickets)


def test_what_somebody_else_changed_meanwhile_is_not_overwritten(client, crickets):
    seen = crickets.version
    client.post(f"/readings/{crickets.pk}/a-watch/", {"seen": seen})
    assert client.post(f"/readings/{crickets.pk}/no-watch/", {"seen": seen}).status_code == 409
    crickets.refresh_from_db()
    assert crickets.said_watch


def test_it_is_asked_by_a_form_only(client, crickets):
    assert client.get(f"/readings/{crickets.pk}/a-watch/").status_code == 405


def test_before_and_after_does_not_use_it(client, crickets):
    shown = client.get(f"/watches/{crickets.visit.watch_id}/compare/").content.decode()
    assert "s a day" not in shown
