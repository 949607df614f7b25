"""Hearing again through the pages: figures of an earlier ear made anew, and the way back."""

from datetime import date

import numpy as np
import pytest
from django.test import Client

from sideshake.core.version import EAR, PROGRAM
from sideshake.web.base.saving import save
from sideshake.web.models import Change, Earlier, Reading, Recording, Rehearing, Visit
from sideshake.web.readings import hearing
from sideshake.web.readings.hearing import file_of

from ..conftest import question_of
from ..heard_again import OLD_RATE, flac, of_an_older_ear, page, rates, upload

NOW = f"ear {EAR} of Sideshake {PROGRAM}"
BEFORE = "ear 1, before versions were kept"


def test_a_reading_says_which_ear_of_which_program_heard_it(client, visit, ticking):
    reading = upload(client, visit, ticking)
    assert (reading.ear, reading.program) == (EAR, PROGRAM)
    said = page(client, f"/readings/{reading.pk}/")
    assert f"Heard by {NOW}." in said
    assert "hear it again before you compare it" not in said
    assert "What it said before" not in said


def test_no_reading_says_it_too(client, visit):
    reading = upload(client, visit, flac(np.zeros(48000 * 10)))
    assert (reading.state, reading.ear, reading.program) == ("no-reading", EAR, PROGRAM)
    assert f"Heard by {NOW}." in page(client, f"/readings/{reading.pk}/")


def test_of_an_older_ear_the_page_says_so(client, three):
    said = page(client, f"/readings/{three[0].pk}/")
    assert f"Heard by {BEFORE};" in said
    assert f"today's is ear {EAR}" in said
    assert "hear it again before you compare it" in said


# One reading.


def test_a_reading_is_heard_again_and_its_page_tells_what_it_said(client, three):
    pk = three[0].pk
    answer = client.post(f"/readings/{pk}/hear-again/", follow=True)
    said = " ".join(answer.content.decode().split())
    assert answer.redirect_chain == [(f"/readings/{pk}/", 302)]
    assert "Heard again." in said
    assert f'Loses 77 s a day. <span class="quiet">({BEFORE})</span>' in said
    reading = Reading.objects.get(pk=pk)
    # planted: 12 s a day
    assert abs(reading.rate_s_per_day - 12.0) < 2 * reading.rate_u_s_per_day
    assert (reading.ear, reading.program) == (EAR, PROGRAM)
    assert rates()[1:] == [OLD_RATE, OLD_RATE]


def test_the_earlier_figures_go_back_to_the_last_digit(client, three):
    pk = three[0].pk
    before = Reading.objects.filter(pk=pk).values(*hearing.HEARD_FIELDS).get()
    client.post(f"/readings/{pk}/hear-again/")
    assert Reading.objects.filter(pk=pk).values(*hearing.HEARD_FIELDS).get() != before
    row = Earlier.objects.get()
    assert client.post(f"/earlier/{row.pk}/put-back/").status_code == 302
    assert Reading.objects.filter(pk=pk).values(*hearing.HEARD_FIELDS).get() == before
    assert "Put these figures back" not in page(client, f"/readings/{pk}/")
    assert client.post(f"/earlier/{row.pk}/put-back/").status_code == 422


def test_what_cannot_go_back_is_refused_before_anything_is_asked(client, three, owner_of_workshop):
    client.post(f"/readings/{three[0].pk}/hear-again/")
    row, browser = Earlier.objects.get(), Client()
    browser.force_login(owner_of_workshop)
    assert question_of(browser.post(f"/earlier/{row.pk}/put-back/")) is not None
    client.post(f"/earlier/{row.pk}/put-back/")
    answer = browser.post(f"/earlier/{row.pk}/put-back/")
    assert (answer.status_code, question_of(answer)) == (422, None)
    assert "back already" in answer.text


def test_the_way_back_leads_over_each_run_in_turn(client, three):
    pk = three[0].pk
    for _turn in range(2):
        client.post(f"/readings/{pk}/hear-again/")
    first, second = Earlier.objects.order_by("pk")
    assert (first.ear, second.ear) == (1, EAR)
    refused = client.post(f"/earlier/{first.pk}/put-back/")
    assert refused.status_code == 422
    assert "heard again since" in refused.content.decode()
    for row in (second, first):
        assert client.post(f"/earlier/{row.pk}/put-back/").status_code == 302
    assert Reading.objects.get(pk=pk).ear == 1


def test_the_history_tells_it_and_the_way_back(client, three, visit):
    client.post(f"/readings/{three[0].pk}/hear-again/")
    client.post(f"/earlier/{Earlier.objects.get().pk}/put-back/")
    said = page(client, f"/visits/{visit.number}/history/")
    assert f"heard again by {NOW}, before by {BEFORE}" in said
    assert f"put back as heard by {BEFORE}" in said
    assert "papers printed" not in said
    told = Change.objects.filter(what__startswith="heard again").get()
    assert told.by.username == "the owner"
    assert told.fields["rate_s_per_day"][0] == OLD_RATE


def test_of_a_visit_that_has_ended_it_tells_of_the_papers(client, three, visit):
    Visit.objects.update(step="gone-home")
    assert "Papers printed before keep" in page(client, f"/visits/{visit.number}/hear-again/")
    client.post(f"/readings/{three[0].pk}/hear-again/")
    client.post(f"/earlier/{Earlier.objects.get().pk}/put-back/")
    said = page(client, f"/visits/{visit.number}/history/")
    assert "papers printed before say the earlier figures" in said
    assert "papers printed meanwhile say other figures" in said


def test_a_reading_edited_since_keeps_what_the_edit_made(client, three):
    pk = three[0].pk
    client.post(f"/readings/{pk}/hear-again/")
    version = Reading.objects.get(pk=pk).version
    typed = {"position": "CH", "wound": "full", "lift_angle_deg": "52,5", "seen": version}
    assert client.post(f"/readings/{pk}/edit/", typed).status_code == 302
    edited = Reading.objects.get(pk=pk).amplitude_deg
    assert "Put these figures back" not in page(client, f"/readings/{pk}/")
    assert client.post(f"/earlier/{Earlier.objects.get().pk}/put-back/").status_code == 422
    assert Reading.objects.get(pk=pk).amplitude_deg == edited


def test_while_an_edit_waits_to_be_heard_nothing_goes_back(client, three):
    client.post(f"/readings/{three[0].pk}/hear-again/")
    Reading.objects.filter(pk=three[0].pk).update(state="waiting")
    assert client.post(f"/earlier/{Earlier.objects.get().pk}/put-back/").status_code == 422


# A visit, a watch, all.


def test_a_visit_is_heard_again_whole_and_goes_back_whole(client, three, visit):
    said = page(client, f"/visits/{visit.number}/hear-again/")
    assert f"3 of 3 readings were heard by an older ear than today's, which is ear {EAR}." in said
    assert "Papers printed before" not in said
    answer = client.post(f"/visits/{visit.number}/hear-again/", follow=True)
    said = " ".join(answer.content.decode().split())
    assert "3 heard again." in said
    assert 'id="how-far"' not in said
    assert "again.js" not in said
    assert "2026-001, FH, dial down, fully wound, as it came" in said
    assert OLD_RATE not in rates()
    run = Rehearing.objects.get()
    assert (run.scope, run.ear, run.program, run.stopped) == ("visit", EAR, PROGRAM, False)
    answer = client.post(f"/hear-again/{run.pk}/put-back/", follow=True)
    assert "3 readings say again what they said before." in answer.content.decode()
    assert rates() == [OLD_RATE] * 3
    assert client.post(f"/hear-again/{run.pk}/put-back/").status_code == 422


def test_what_this_ear_has_heard_is_heard_again_only_when_asked_for(client, three, visit):
    client.post(f"/readings/{three[0].pk}/hear-again/")
    client.post(f"/visits/{visit.number}/hear-again/")
    assert Rehearing.objects.first().readings.count() == 2
    refused = client.post(f"/visits/{visit.number}/hear-again/")
    assert refused.status_code == 422
    assert f"this ear ({EAR}) has heard all of them already" in refused.content.decode()
    said = page(client, f"/visits/{visit.number}/hear-again/")
    assert f"Today's ear, ear {EAR}, has heard all of them." in said
    client.post(f"/visits/{visit.number}/hear-again/", {"everything": "on"})
    assert Rehearing.objects.first().readings.count() == 3


def test_a_watch_is_heard_again_over_all_its_visits(client, three, watch, owner_of_workshop):
    stay = Visit(
        number="2027-001", watch=watch, arrived_on=date(2027, 3, 2), step_since=date(2027, 3, 2)
    )
    save(stay, owner_of_workshop)
    Reading.objects.filter(pk=three[2].pk).update(visit=stay)
    client.post("/visits/2027-001/hear-again/")
    assert [rate == OLD_RATE for rate in rates()] == [True, True, False]
    client.post(f"/watches/{watch.pk}/hear-again/")
    assert OLD_RATE not in rates()


def test_all_is_for_the_owner_of_the_workshop(client, apprentice_client, three):
    assert apprentice_client.get("/hear-again/").status_code == 403
    assert apprentice_client.post("/hear-again/").status_code == 403
    assert rates() == [OLD_RATE] * 3
    client.post("/hear-again/")
    assert OLD_RATE not in rates()
    run = Rehearing.objects.get()
    assert "Put the earlier figures" not in page(apprentice_client, f"/hear-again/{run.pk}/")
    assert apprentice_client.post(f"/hear-again/{run.pk}/put-back/").status_code == 403
    assert apprentice_client.post(f"/hear-again/{run.pk}/stop/").status_code == 403
    assert OLD_RATE not in rates()
    assert "all watches" in page(client, "/hear-again/")
    assert 'href="/hear-again/"' in page(client, "/settings/")


@pytest.mark.parametrize(
    "address",
    ["/hear-again/", "/visits/2026-001/hear-again/", "/readings/{}/hear-again/"],
)
def test_a_stranger_is_sent_to_the_door(stranger, three, address):
    answer = stranger.post(address.format(three[0].pk))
    assert answer.status_code == 302
    assert "sign-in" in answer["Location"]
    assert rates() == [OLD_RATE] * 3


@pytest.mark.parametrize(
    "address",
    [
        "/hear-again/999/", "/hear-again/999/stop/", "/hear-again/999/put-back/",
        "/earlier/999/put-back/", "/readings/999/hear-again/", "/visits/1999-1/hear-again/",
        "/watches/999/hear-again/",
    ],
)  # fmt: skip
def test_what_is_not_there_is_not_found(client, db, address):
    assert client.post(address).status_code in (404, 405)


def test_nothing_heard_is_nothing_to_hear_again(client, visit):
    assert "Nothing has been heard yet." in page(client, f"/visits/{visit.number}/hear-again/")
    refused = client.post(f"/visits/{visit.number}/hear-again/")
    assert refused.status_code == 422
    assert not Rehearing.objects.exists()


# What cannot be heard.


def test_a_bad_recording_stops_nothing_and_is_told_by_name(client, three, visit):
    file_of(three[0].recording).write_bytes(b"no sound any more")
    Recording.objects.filter(pk=three[1].recording_id).update(stored="gone.flac")
    answer = client.post(f"/visits/{visit.number}/hear-again/", follow=True)
    said = " ".join(answer.content.decode().split())
    # all three hold the same bytes, so the damaged file is the first's and the last's
    assert rates() == [OLD_RATE] * 3
    assert "3 could not be heard and stayed as they were." in said
    assert "2026-001, FH, dial down, fully wound, as it came</a> <span>its recording is not" in said
    assert "is not a sound file that can be read" in said
    assert str(file_of(three[0].recording)) not in said
    assert not Change.objects.filter(what__startswith="heard again").exists()


def test_the_others_are_heard_all_the_same(client, three, visit):
    Recording.objects.filter(pk=three[1].recording_id).update(stored="gone.flac")
    answer = client.post(f"/visits/{visit.number}/hear-again/", follow=True)
    assert [rate == OLD_RATE for rate in rates()] == [False, True, False]
    assert "2 heard again. 1 could not be heard" in " ".join(answer.content.decode().split())


def test_a_reading_without_a_recording_is_left_and_said(client, three, visit):
    Reading.objects.filter(pk=three[1].pk).update(recording=None)
    said = page(client, f"/visits/{visit.number}/hear-again/")
    assert "Of one reading no recording is kept, or it was typed in: it stays as it is." in said
    answer = client.post(f"/visits/{visit.number}/hear-again/", follow=True)
    said = " ".join(answer.content.decode().split())
    assert "left as it was: no recording of it is kept, or it was typed in" in said
    assert [rate == OLD_RATE for rate in rates()] == [False, True, False]
    alone = client.post(f"/readings/{three[1].pk}/hear-again/")
    assert alone.status_code == 422
    assert "no recording of it is kept" in alone.content.decode()
    assert "Hear again" not in page(client, f"/readings/{three[1].pk}/")


def test_what_gives_no_reading_now_says_so_and_can_be_put_back(client, visit):
    reading = upload(client, visit, flac(np.zeros(48000 * 10)))
    of_an_older_ear(reading)
    Reading.objects.update(state="heard", no_reading="")
    answer = client.post(f"/visits/{visit.number}/hear-again/", follow=True)
    said = " ".join(answer.content.decode().split())
    assert "1 without a reading now." in said
    assert "no reading now:" in said
    now = Reading.objects.get()
    assert (now.state, now.rate_s_per_day, now.sentence, now.ear) == ("no-reading", None, "", EAR)
    client.post(f"/earlier/{Earlier.objects.get().pk}/put-back/")
    assert rates() == [OLD_RATE]
    assert Reading.objects.get().state == "heard"


def test_what_is_listened_to_or_waits_is_left(client, three, visit):
    Reading.objects.filter(pk=three[0].pk).update(state="live")
    Reading.objects.filter(pk=three[1].pk).update(state="waiting")
    said = page(client, f"/visits/{visit.number}/hear-again/")
    assert "2 are being listened to, or wait to be heard anyway." in said
    client.post(f"/visits/{visit.number}/hear-again/")
    fates = dict(Earlier.objects.values_list("reading", "fate"))
    assert fates == {three[0].pk: "left", three[1].pk: "left", three[2].pk: "heard"}


# In the background.
