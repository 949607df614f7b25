"""The page of the sound clocks without script, and what its script is told."""

import io

import numpy as np
import pytest
import soundfile
from django.core.files.uploadedfile import SimpleUploadedFile

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.sample_clock.kept import forget_clock, keep_clock, kept_clocks
from sideshake.sound.clock import SampleClock
from sideshake.web.models import Removed
from sideshake.web.sample_clock import check as clock_check
from sideshake.web.sample_clock.forgetting import forget_checked
from tests.sound.stepping import stepping

RATE_HZ = 16000


def wav(samples):
    kept = io.BytesIO()
    soundfile.write(kept, samples, RATE_HZ, format="WAV", subtype="PCM_16")
    return SimpleUploadedFile("tick.wav", kept.getvalue())


def upload(client, samples, **told):
    sent = {"recording": wav(samples), "recorder": "telephone", "within_ppm": "0", **told}
    return client.post("/clock/", sent, follow=True)


def page_text(answer):
    return " ".join(answer.content.decode().split())


def kept(date="2026-11-01"):
    keep_clock(
        SampleClock(fast_ppm=Measured(12.0, 2.0), checked=True, name="desk", date=date, how="tick")
    )


def test_a_recording_of_the_tick_is_heard_and_stored(client):
    answer = upload(client, stepping(seconds=20, rate_hz=RATE_HZ, clock_ppm=30.0))
    found = kept_clocks()["telephone"]
    assert abs(found.fast_ppm.value - 30.0) < found.fast_ppm.expanded + 0.3
    assert found.how == "tick"
    assert "Stored: the sound clock of telephone is" in page_text(answer)


def test_a_decimal_comma_will_do(client):
    upload(client, stepping(seconds=20, rate_hz=RATE_HZ), within_ppm="0,5", beats_per_hour="3600,0")
    assert "telephone" not in kept_clocks()  # within 0.5 ppm: a watch that corrects itself


@pytest.mark.parametrize(
    ("samples", "told", "said"),
    [
        (np.zeros(5 * RATE_HZ), {}, "silent"),
        (stepping(seconds=20, rate_hz=RATE_HZ), {"within_ppm": "10"}, "no better than the ± 50"),
        (stepping(seconds=20, rate_hz=RATE_HZ), {"within_ppm": "60"}, "0 to 50 is allowed"),
        (stepping(seconds=20, rate_hz=RATE_HZ), {"within_ppm": "x"}, "is no number"),
        (stepping(seconds=20, rate_hz=RATE_HZ), {"beats_per_hour": "3"}, "600 to 72000 is allowed"),
        (stepping(seconds=20, rate_hz=RATE_HZ), {"recording": ""}, "choose a recording first"),
    ],
)
def test_what_checks_nothing_is_said_and_keeps_nothing(client, samples, told, said):
    answer = upload(client, samples, **told)
    assert answer.status_code == 422
    assert said in page_text(answer)
    assert kept_clocks() == {}


def test_a_letter_is_refused_by_its_own_name(client, data):
    letter = SimpleUploadedFile("letter.wav", b"Dear Sir, the watch stops at night.")
    answer = client.post("/clock/", {"recording": letter, "recorder": "telephone"})
    assert answer.status_code == 422
    assert "letter.wav: is not a sound file" in page_text(answer)
    assert str(data) not in page_text(answer)


def test_clocks_are_listed_with_date_and_age(client):
    kept("2019-05-02")
    told = page_text(client.get("/clock/"))
    assert "+12 ± 4" in told
    assert "2019-05-02" in told
    assert "check it again" in told


def test_a_clock_is_forgotten(client):
    kept()
    answer = client.post("/clock/forget/", {"recorder": "desk"}, follow=True)
    assert "Forgotten: the sound clock of desk." in page_text(answer)
    assert kept_clocks() == {}


def test_a_clock_that_is_not_there_cannot_be_forgotten(client):
    assert client.post("/clock/forget/", {"recorder": "nobody"}).status_code == 422


def test_a_clock_that_somebody_else_has_just_forgotten_is_not_put_aside(owner_of_workshop):
    kept()
    clock = kept_clocks()["desk"]
    forget_clock("desk")
    with pytest.raises(InputError, match="nothing to forget"):
        forget_checked("desk", clock, owner_of_workshop)
    assert not Removed.objects.exists()


@pytest.fixture
def begun(client):
    told = {"rate_hz": RATE_HZ, "recorder": "desk", "within_ppm": "0", "beats_per_hour": ""}
    return client.post("/clock/begin/", told).json()


def send(client, address, samples, first=0):
    body = np.round(samples * 32767).astype("<i2").tobytes()
    return client.post(f"{address}?first={first}", body, content_type="application/octet-stream")


def test_sound_is_judged_and_stored(client, begun):
    sound = stepping(seconds=70, rate_hz=RATE_HZ, clock_ppm=30.0)
    for first in range(0, sound.size, 40 * RATE_HZ):
        clock_check.CHECKS.rows[begun["add"].split("/")[2]].renew_at = 0.0
        told = send(client, begun["add"], sound[first : first + 40 * RATE_HZ], first).json()
    assert told["heard_s"] == 70
    assert told["ways"]["tick"]["ready"]
    assert "ppm fast: uncorrected, a watch seems to lose" in told["ways"]["tick"]["sentence"]
    stored = client.post(begun["store"], {"way": "tick"}).json()
    assert stored == {"address": "/clock/"}
    assert set(kept_clocks()) == {"desk"}
    assert "Stored: the sound clock of desk" in page_text(client.get("/clock/"))


def test_a_gap_is_asked_for_again(client, begun):
    answer = send(client, begun["add"], np.zeros(10), first=5)
    assert (answer.status_code, answer.json()) == (409, {"have": 0})


def test_after_a_restart_the_page_is_told(client, begun):
    clock_check.CHECKS.rows.clear()
    answer = send(client, begun["add"], np.zeros(10))
    assert answer.status_code == 422
    assert "opened anew" in answer.json()["said"]


@pytest.mark.parametrize("told", [{"way": "tick"}, {"way": "guess"}, {}])
def test_nothing_is_stored_before_anything_was_heard(client, begun, told):
    answer = client.post(begun["store"], told)
    assert answer.status_code == 422
    assert answer.json()["said"]
    assert kept_clocks() == {}


@pytest.mark.parametrize("told", [{"rate_hz": "x"}, {"rate_hz": 8000}, {"within_ppm": "70"}])
def test_what_cannot_be_heard_is_not_begun(client, told):
    answer = client.post("/clock/begin/", {"rate_hz": RATE_HZ, "recorder": "desk", **told})
    assert answer.status_code == 422
    assert answer.json()["said"]


def test_a_microphone_without_a_name_is_this_computer_s(client):
    told = {"rate_hz": RATE_HZ, "recorder": ""}
    address = client.post("/clock/begin/", told).json()["add"]
    assert clock_check.CHECKS.rows[address.split("/")[2]].reference.recorder == "this computer"


def test_a_stranger_sees_nothing(stranger, db):
    assert stranger.get("/clock/").status_code == 302
    assert stranger.post("/clock/begin/").status_code == 302
