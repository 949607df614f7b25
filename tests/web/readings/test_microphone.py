"""Trying a microphone: what is said of its loudness, and the reading at the end or why none."""

import numpy as np
import pytest

from sideshake.core.quantities import Measured
from sideshake.sample_clock.kept import keep_clock
from sideshake.sound.clock import SampleClock
from sideshake.sound.simulate import Recorder, SimulatedWatch, simulate
from sideshake.web.base.underway import MOST
from sideshake.web.readings import microphone_check as check
from sideshake.web.readings.microphone_answer import answer

RATE_HZ = 16000
BLOCK = RATE_HZ // 2
SENT = 12 * RATE_HZ


@pytest.fixture(autouse=True)
def _no_trials():
    check.TRIALS.rows.clear()


@pytest.fixture(scope="module")
def ticking():
    watch = SimulatedWatch(beats_per_hour=18000, rate_s_per_day=9, amplitude_deg=250)
    return simulate(watch, duration_s=34, recorder=Recorder(rate_hz=RATE_HZ), seed=3).samples


def pcm(samples) -> bytes:
    return (np.clip(samples, -1, 1) * 32767).astype("<i2").tobytes()


def told_of(samples):
    """Return what the page is told at the end of a sound."""
    key = check.begin("desk", RATE_HZ)
    for at in range(0, len(samples), SENT):
        check.take_in(key, at, pcm(samples[at : at + SENT]))
    return answer(check.TRIALS.rows[key])


def test_a_watch_gives_a_first_reading_and_ends_the_trial(ticking):
    told = told_of(ticking)
    assert told["over"]
    assert told["loudness"] == "good"
    assert told["sentence"].startswith("Gains 9")
    assert "This is the first reading." in told["said"]


def test_it_goes_on_until_half_a_minute_was_heard(ticking):
    told = told_of(ticking[: 20 * RATE_HZ])
    assert not told["over"]
    assert told["sentence"]


@pytest.mark.parametrize(
    ("sound", "loudness", "level", "why"),
    [
        (np.zeros, "silent", "No sound at all", "no sound came"),
        (lambda n: np.random.default_rng(1).normal(0, 3e-4, n), "quiet", "Too quiet (−5", "."),
        (lambda n: np.random.default_rng(1).normal(0, 2.0, n), "loud", "Too loud", "."),
        (lambda n: np.random.default_rng(1).normal(0, 0.05, n), "good", "Loud enough", "."),
    ],
)
def test_what_is_no_watch_ends_with_the_reason(monkeypatch, sound, loudness, level, why):
    monkeypatch.setattr(check, "MOST_S", 12.0)
    told = told_of(sound(12 * RATE_HZ))
    assert told["over"]
    assert (told["loudness"], told["sentence"]) == (loudness, "")
    assert level in told["level"]
    assert told["said"].startswith("No reading")
    assert why in told["said"]


def test_loudness_is_the_median_of_the_half_seconds():
    # worked by hand: half seconds with peaks 0.5, 0.5, 1.0: median 0.5 = 20 lg 0.5 = -6.02 dB
    sound = np.zeros(3 * BLOCK)
    sound[[10, BLOCK + 10, 2 * BLOCK + 10]] = 0.5, 0.5, 1.0
    key = check.begin("desk", RATE_HZ)
    trial = check.take_in(key, 0, pcm(sound[:100]))
    assert trial.loudness is None
    trial = check.take_in(key, 100, pcm(sound[100:]))
    assert trial.level_db == pytest.approx(-6.02, abs=0.01)
    assert trial.loudness is check.MicrophoneLoudness.LOUD  # a third of them touch full scale


def send(client, address, samples):
    return client.post(address, pcm(np.zeros(samples)), content_type="application/octet-stream")


def test_sound_is_taken_once_and_a_gap_is_told(client):
    begun = client.post("/microphone/begin/", {"recorder": "desk", "rate_hz": "16000"}).json()
    first, again = (send(client, f"{begun['add']}?first=0", count) for count in (800, 900))
    assert [first.json()["have"], again.json()["have"]] == [800, 900]
    gap = send(client, f"{begun['add']}?first=2000", 0)
    assert (gap.status_code, gap.json()) == (409, {"have": 900})


def test_its_clock_is_told_as_far_as_it_was_checked(client):
    asked = {"recorder": "desk", "rate_hz": "48000"}
    begun = client.post("/microphone/begin/", asked).json()
    assert not begun["checked"]
    assert "is not checked" in begun["clock"]
    keep_clock(SampleClock(fast_ppm=Measured(12, 1), checked=True, name="desk", date="2026-03-01"))
    begun = client.post("/microphone/begin/", asked).json()
    assert begun["checked"]
    assert "was checked on 2026-03-01" in begun["clock"]


@pytest.mark.parametrize("rate", ["", "x", "-1", "5", "999999"])
def test_a_sample_rate_that_cannot_be_is_refused(client, rate):
    answer = client.post("/microphone/begin/", {"recorder": "desk", "rate_hz": rate})
    assert answer.status_code == 422
    assert answer.json()["said"]


def test_a_trial_that_is_over_says_so(client):
    answer = send(client, "/microphone/none/sound/?first=0", 0)
    assert "this trial is over" in answer.json()["said"]


def test_the_oldest_makes_room():
    keys = [check.begin(str(n), 48000) for n in range(MOST + 2)]
    assert list(check.TRIALS.rows) == keys[2:]
