"""Live listening, as the page's script talks to the workshop.

The figures are held against `sound` and `timing` on the same samples; those floors have their own
outside checks.
"""

import os
import re

import numpy as np
import pytest
from django.test import Client

from sideshake.drawings.strip import MOST_STEMS
from sideshake.sound.clock import unchecked_clock
from sideshake.sound.listener import Listener
from sideshake.sound.recording import open_recording
from sideshake.sound.simulate import DisturbingWheel, SimulatedWatch, simulate
from sideshake.timing import reading as timed
from sideshake.web.models import Reading, Round
from sideshake.web.readings import listening, listening_session
from sideshake.web.readings.hearing import file_of, lift_angle
from sideshake.web.readings.listening_sound import live_file

RATE_HZ = 48000
CHUNK = 24000
BEGIN = "/visits/2026-001/listen/begin/"


@pytest.fixture(autouse=True)
def _nothing_in_memory():
    listening_session.SESSIONS.clear()


def pcm_of(duration_s, **known):
    sound = simulate(SimulatedWatch(**known), duration_s=duration_s).samples
    return np.rint(np.clip(sound, -1, 1) * 32767).astype("<i2").tobytes()


@pytest.fixture(scope="module")
def ticking():
    return pcm_of(12, rate_s_per_day=6.2, beat_error_ms=0.5, amplitude_deg=255)


def begun(client, **facts):
    told = {"position": "CH", "wound": "full", "rate_hz": str(RATE_HZ), "recorder": "bench one"}
    answer = client.post(BEGIN, {**told, **facts})
    assert answer.status_code == 200, answer.content
    return answer.json()


def send(client, addresses, pcm, first=0, chunk=CHUNK):
    answer = None
    for start in range(first, len(pcm) // 2, chunk):
        for session in listening_session.SESSIONS.values():
            session.renew_at = 0.0  # a second of sound comes here in less than a second
        answer = add(client, addresses, start, pcm[2 * start : 2 * (start + chunk)])
        assert answer.status_code == 200, answer.content
    return answer.json()


def add(client, addresses, first, pcm):
    return client.post(
        f"{addresses['add']}?first={first}", data=pcm, content_type="application/octet-stream"
    )


def read_alone(reading):
    """Return what the ear says of the part of the recording that the reading is of."""
    with open_recording(file_of(reading.recording)) as sound:
        samples = np.concatenate(list(sound.blocks()))
    first, end = (round(s * RATE_HZ) for s in (reading.heard_from_s, reading.heard_until_s))
    listener = Listener(RATE_HZ, beats_per_hour=18000)
    listener.feed(samples[first:end])
    return timed.read(
        listener.hear(),
        lift_angle_deg=lift_angle(reading),
        beats_per_hour=18000,
        clock=unchecked_clock(),
    )


def test_what_is_sent_is_heard_kept_and_read_to_the_last_digit(client, visit, ticking):
    addresses = begun(client)
    told = send(client, addresses, ticking)
    assert told["stage"] == "listening"
    assert told["have"] == len(ticking) // 2
    assert "swings" in told["sentence"]
    finished = client.post(addresses["finish"]).json()
    reading = Reading.objects.get()
    assert finished["sentence"] == reading.sentence
    assert reading.position == "CH"
    assert reading.recorder == "bench one"
    alone = read_alone(reading)
    assert reading.rate_s_per_day == alone.rate_s_per_day.value
    assert reading.amplitude_deg == alone.amplitude_deg.value
    with open_recording(file_of(reading.recording)) as sound:
        kept = np.concatenate(list(sound.blocks()))[:, 0]
    assert np.rint(kept * 32768).astype("<i2").tobytes() == ticking
    assert not list((file_of(reading.recording).parent.parent / "live").iterdir())


def test_sound_sent_twice_is_taken_once_and_a_gap_is_asked_for(client, visit, ticking):
    addresses = begun(client)
    add(client, addresses, 0, ticking[: 2 * CHUNK])
    again = add(client, addresses, 0, ticking[: 4 * CHUNK]).json()
    assert again["have"] == 2 * CHUNK
    gap = add(client, addresses, 3 * CHUNK, ticking[6 * CHUNK : 8 * CHUNK])
    assert (gap.status_code, gap.json()) == (409, {"have": 2 * CHUNK})
    told = send(client, addresses, ticking, first=2 * CHUNK)
    assert told["have"] == len(ticking) // 2
    path, _rate = live_file(Reading.objects.get())
    assert path.read_bytes() == ticking


def test_a_killed_workshop_goes_on_from_the_disk(client, visit, ticking):
    whole = begun(client)
    send(client, whole, ticking)
    client.post(whole["finish"])
    broken = begun(client)
    send(client, broken, ticking[: 10 * CHUNK])
    listening_session.SESSIONS.clear()
    path, _rate = live_file(Reading.objects.get(state="live"))
    with path.open("ab") as file:
        file.write(b"\x01")  # half a sample: killed in the middle of writing
    told = send(client, broken, ticking, first=5 * CHUNK)
    assert told["have"] == len(ticking) // 2
    client.post(broken["finish"])
    first, second = Reading.objects.order_by("pk")
    assert second.rate_s_per_day == first.rate_s_per_day
    assert second.recording.sha256 == first.recording.sha256


def test_sound_is_on_the_disk_when_the_answer_comes(client, visit, ticking):
    addresses = begun(client)
    add(client, addresses, 0, ticking[:CHUNK])
    path, _rate = live_file(Reading.objects.get())
    assert path.read_bytes() == ticking[:CHUNK]


@pytest.mark.parametrize(
    ("level", "words"), [(0, "too quiet"), (3, "too quiet"), (3000, "No reading yet")]
)
def test_what_is_no_watch_gives_a_reason_and_no_figure(client, visit, level, words):
    rng = np.random.default_rng(5)
    pcm = (level * rng.standard_normal(8 * RATE_HZ)).astype("<i2").tobytes()
    addresses = begun(client)
    told = send(client, addresses, pcm)
    assert words in told["said"]
    assert "sentence" not in told
    finished = client.post(addresses["finish"]).json()
    assert not finished["heard"]
    assert finished["no_reading"]
    assert Reading.objects.get().rate_s_per_day is None


def test_another_watch_than_the_sheet_s_is_told_in_words_for_a_page(client, visit):
    addresses = begun(client)
    told = send(client, addresses, pcm_of(10, beats_per_hour=28800))
    assert re.search(r"28[78]\d\d beats an hour are heard", told["said"])
    assert "leave the number out" not in told["said"]


def test_sound_that_is_too_loud_is_told(client, visit, ticking):
    loud = np.clip(8 * np.frombuffer(ticking, "<i2").astype(float), -32767, 32767).astype("<i2")
    told = send(client, begun(client), loud.tobytes())
    assert told["clipped"]
    assert "too loud" in told["said"]


def test_nothing_is_kept_when_no_sound_came(client, visit):
    addresses = begun(client)
    answer = client.post(addresses["finish"])
    assert answer.status_code == 422
    assert not Reading.objects.exists()


def test_a_finished_reading_takes_no_more_sound(client, visit, ticking):
    addresses = begun(client)
    send(client, addresses, ticking)
    client.post(addresses["finish"])
    assert add(client, addresses, len(ticking) // 2, ticking[:CHUNK]).status_code == 422
    assert client.post(addresses["finish"]).status_code == 422


def test_what_a_closed_page_has_left_is_finished(client, visit, owner_of_workshop, ticking):
    send(client, begun(client), ticking)
    reading = Reading.objects.get()
    path, _rate = live_file(reading)
    listening.finish_left(None, untouched_s=listening.LEFT_S)
    reading.refresh_from_db()
    assert reading.state == "live"
    os.utime(path, (1e9, 1e9))
    listening.finish_left(None, untouched_s=listening.LEFT_S)
    reading.refresh_from_db()
    assert reading.state == "heard"


def test_a_place_of_a_round_stops_by_itself_when_it_is_sure_enough(client, visit):
    found = Round.objects.create(
        visit=visit, plan=[{"position": "9H", "chronograph_on": True}], rest_s=2, least_s=5,
        most_s=60, wanted_rate_s_per_day=2, wanted_amplitude_deg=20,
    )  # fmt: skip
    addresses = begun(client, round=str(found.pk), place="0")
    told = send(client, addresses, pcm_of(12))
    assert told["enough"].startswith("rate within 2 s a day")
    client.post(addresses["finish"])
    reading = Reading.objects.get()
    assert (reading.position, reading.chronograph_on, reading.round) == ("9H", True, found)
    assert reading.heard_from_s >= 2


@pytest.mark.parametrize(
    ("facts", "word"),
    [
        ({"rate_hz": "8000"}, "16000 to 192000"),
        ({"rate_hz": "fast"}, "whole number"),
        ({"lift_angle_deg": "5"}, "10 and 90"),
    ],
)
def test_what_cannot_be_is_refused_in_words(client, visit, facts, word):
    told = {"position": "CH", "rate_hz": "48000", **facts}
    answer = client.post(BEGIN, told)
    assert answer.status_code == 422
    assert word in answer.json()["said"]
    assert not Reading.objects.exists()


def test_half_a_sample_is_refused(client, visit):
    assert add(client, begun(client), 0, b"\x00").status_code == 422


def test_strangers_and_pages_from_elsewhere_send_nothing(
    client, visit, stranger, owner_of_workshop
):
    addresses = begun(client)
    assert add(stranger, addresses, 0, b"\x00\x00").status_code == 302
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(owner_of_workshop)
    assert add(strict, addresses, 0, b"\x00\x00").status_code == 403
    path, _rate = live_file(Reading.objects.get())
    assert path.stat().st_size == 0


def test_a_reading_still_listened_to_is_not_edited_but_may_be_thrown_away(client, visit, ticking):
    send(client, begun(client), ticking[: 4 * CHUNK])
    reading = Reading.objects.get()
    path, _rate = live_file(reading)
    assert client.get(f"/readings/{reading.pk}/edit/").status_code == 422
    client.post(f"/readings/{reading.pk}/remove/")
    assert not Reading.objects.exists()
    assert not path.exists()


def test_a_reading_that_its_own_page_has_just_finished_is_not_taken_away(client, visit, ticking):
    addresses = begun(client)
    send(client, addresses, ticking)
    stale = Reading.objects.get()
    client.post(addresses["finish"])
    listening.forget_without_sound(stale, None)
    assert Reading.objects.get().state == "heard"


def test_a_turn_is_sent_as_a_ring_and_before_it_is_whole_as_a_strip(client, visit):
    """Planted: an escape wheel of fifteen teeth, as the sheet says, out of round by 0.15 ms."""
    pcm = pcm_of(30, wheels=(DisturbingWheel(period_s=6.0, delay_ms=0.15),))
    addresses = begun(client)
    early = send(client, addresses, pcm[: 2 * 12 * RATE_HZ])
    assert early["ring"] is None
    assert len(early["strip"]["at"]) == len(early["strip"]["late_ms"]) > 50
    late = send(client, addresses, pcm, first=12 * RATE_HZ)
    assert late["strip"] is None
    ring = late["ring"]
    assert len(ring["late_ms"]) == len(ring["wide_ms"]) == 30
    assert np.ptp(ring["late_ms"]) == pytest.approx(0.3, abs=0.04)
    assert ring["reach_ms"] >= max(abs(each) for each in ring["late_ms"])
    assert any("With each turn of the escape wheel" in words for words in late["meaning"])


def test_as_much_is_sent_of_a_long_time_as_of_a_short_one(client, visit):
    visit.watch.calibre = ""
    visit.watch.save()
    addresses, sound = begun(client), pcm_of(90)
    for first_s, until_s in ((0, 50), (50, 90)):
        told = send(client, addresses, sound[: 2 * until_s * RATE_HZ], first=first_s * RATE_HZ)
        assert len(told["strip"]["at"]) <= MOST_STEMS + 2
