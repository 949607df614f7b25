"""A reading's sound played slowly, through the pages."""

import io

import numpy as np
import pytest
import soundfile
from django.core.files.uploadedfile import SimpleUploadedFile

from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.web.models import Reading
from sideshake.web.readings import hearing
from sideshake.web.readings.slow_sound import AROUND_S, SlowStretch, round_about

RATE_HZ = 48000


def uploaded(client, visit, samples, rate_hz=RATE_HZ) -> Reading:
    written = io.BytesIO()
    soundfile.write(written, samples, rate_hz, format="FLAC", subtype="PCM_16")
    file = SimpleUploadedFile("a.flac", written.getvalue(), "audio/flac")
    client.post(
        f"/visits/{visit.number}/recordings/add/",
        {"position": "CH", "wound": "full", "recordings": file},
    )
    return Reading.objects.get()


@pytest.fixture(scope="module")
def ticking():
    watch = SimulatedWatch(beats_per_hour=18000, lift_angle_deg=50.0)
    return simulate(watch, duration_s=20, room=RoomNoise(snr_db=25), seed=5)


@pytest.fixture
def reading(client, visit, ticking, hears_once, monkeypatch):
    monkeypatch.setattr(hearing, "read", hears_once)
    return uploaded(client, visit, ticking.samples)


def body(answer) -> bytes:
    return b"".join(answer.streaming_content) if answer.streaming else answer.content


def test_the_page_plays_the_stretch_and_leads_on(client, reading):
    page = client.get(f"/readings/{reading.pk}/slowly/?from=12,0&for=2&slower=8").content.decode()
    assert "From 12 to 14 s, 8 times slower" in page
    assert f"/readings/{reading.pk}/slowly/sound.wav?from=12.00&amp;for=2&amp;slower=8" in page
    assert "?from=10.00&amp;for=2&amp;slower=8" in page
    assert "?from=14.00&amp;for=2&amp;slower=8" in page
    assert page.count('class="cursor"') == 11  # the stretch, and 10 beats enlarged
    assert 'class="caution"' not in page


def test_the_reading_leads_to_its_slow_sound(client, reading):
    page = client.get(f"/readings/{reading.pk}/").content.decode()
    assert f'href="/readings/{reading.pk}/slowly/"' in page


def test_the_wav_is_the_stretch_by_a_slower_clock(client, reading, ticking):
    answer = client.get(f"/readings/{reading.pk}/slowly/sound.wav?from=12&for=1&slower=4")
    samples, rate_hz = soundfile.read(io.BytesIO(body(answer)), dtype="float32")
    assert (answer["Content-Type"], rate_hz, samples.size) == ("audio/wav", RATE_HZ // 4, RATE_HZ)
    there = ticking.samples[12 * RATE_HZ : 13 * RATE_HZ]
    assert np.corrcoef(samples, there)[0, 1] > 0.999


def test_a_player_may_ask_for_a_part_of_it(client, reading):
    address = f"/readings/{reading.pk}/slowly/sound.wav?from=12&for=1&slower=4"
    whole = body(client.get(address))
    part = client.get(address, headers={"range": "bytes=100-199"})
    assert (part.status_code, part["Content-Range"]) == (206, f"bytes 100-199/{len(whole)}")
    assert body(part) == whole[100:200]
    last = client.get(address, headers={"range": "bytes=-10"})
    assert body(last) == whole[-10:]
    none = client.get(address, headers={"range": "bytes=99999999-"})
    assert (none.status_code, none["Content-Range"]) == (416, f"bytes */{len(whole)}")


def test_the_picture_names_the_noises(client, reading):
    answer = client.get(f"/readings/{reading.pk}/slowly/picture.svg?from=12&for=2")
    svg = answer.content.decode()
    assert answer["Content-Type"] == "image/svg+xml"
    assert svg.count(">unlocking<") == svg.count(">drop<") == 10


def test_a_recording_without_a_watch_is_played_without_marks(client, visit):
    noise = np.random.default_rng(0).normal(0, 0.01, 5 * RATE_HZ)
    reading = uploaded(client, visit, noise)
    assert reading.state == "no-reading"
    page = client.get(f"/readings/{reading.pk}/slowly/").content.decode()
    assert "No beat is marked:" in page
    assert page.count('class="cursor"') == 1
    assert client.get(f"/readings/{reading.pk}/slowly/sound.wav").status_code == 200


def test_a_recording_too_coarse_for_a_reading_is_still_played(client, visit):
    reading = uploaded(client, visit, np.random.default_rng(0).normal(0, 0.1, 16000), 8000)
    page = client.get(f"/readings/{reading.pk}/slowly/").content.decode()
    assert "a sample rate 8000 Hz cannot be used" in page


@pytest.mark.parametrize(
    "asked", ["from=99", "from=-1", "from=nan", "from=soon", "for=3", "for=inf", "slower=3"]
)
@pytest.mark.parametrize("what", ["", "sound.wav", "picture.svg"])
def test_what_cannot_be_played_is_refused(client, reading, asked, what):
    assert client.get(f"/readings/{reading.pk}/slowly/{what}?{asked}").status_code == 422


def test_a_reading_without_a_recording_is_refused(client, visit):
    reading = Reading.objects.create(visit=visit, state="live")
    assert client.get(f"/readings/{reading.pk}/slowly/").status_code == 422


def test_of_an_hour_only_some_seconds_are_heard(reading):
    reading.recording.duration_s = 3600.0
    start_s, end_s = round_about(
        SlowStretch(reading=reading, start_s=1800.0, length_s=2.0, times=4)
    )
    assert 1800.0 - AROUND_S < start_s < 1800.0 - 3.0
    assert 1802.0 + 3.0 < end_s <= start_s + AROUND_S + 1.0


def test_a_tick_stays_a_tick_from_stretch_to_stretch(client, reading):
    firsts = set()
    for start in (4, 6, 8, 10):
        address = f"/readings/{reading.pk}/slowly/picture.svg?from={start}&for=2"
        svg = client.get(address).content.decode()
        firsts.add(svg.index(">tick<") < svg.index(">tock<"))
    assert len(firsts) == 1  # ten beats of 0.2 s: each stretch begins on the same side


def test_a_stranger_is_sent_to_the_door(stranger, reading):
    for what in ("", "sound.wav", "picture.svg"):
        answer = stranger.get(f"/readings/{reading.pk}/slowly/{what}")
        assert answer.status_code == 302
        assert "sign-in" in answer["Location"]
