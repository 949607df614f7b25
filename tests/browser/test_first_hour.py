"""The first hour of somebody new, in a browser: from the one-time link to the first proposal."""

from io import BytesIO

import pytest
import soundfile
from django.core.cache import cache
from PIL import Image

from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.web.models import Proposal, Reading, Workshop
from sideshake.web.people.sign_in import new_link
from sideshake.web.readings import microphone_check
from sideshake.web.readings.listening_session import SESSIONS

RATE_HZ = 48000
OVER = "() => document.getElementById('trial').dataset.over === 'yes'"
SAID = "() => document.querySelector('[data-part=sentence]').textContent"
IDLE = "() => document.getElementById('live').dataset.stage === 'idle'"


@pytest.fixture(autouse=True)
def _short_trial(monkeypatch):
    SESSIONS.clear()
    microphone_check.TRIALS.rows.clear()
    monkeypatch.setattr(microphone_check, "WANTED_S", 5.0)
    monkeypatch.setattr(microphone_check, "MOST_S", 8.0)


def sound_file(tmp_path_factory, samples):
    path = tmp_path_factory.mktemp("microphone") / "sound.wav"
    soundfile.write(path, samples, RATE_HZ, subtype="PCM_16")
    return path


@pytest.fixture(scope="module")
def ticking(tmp_path_factory):
    known = SimulatedWatch(beats_per_hour=18000, rate_s_per_day=6.2, amplitude_deg=255, jitter_us=1)
    return sound_file(tmp_path_factory, simulate(known, duration_s=60).samples)


def photograph() -> dict:
    made = BytesIO()
    Image.new("RGB", (600, 450), "#c9b48a").save(made, "JPEG")
    return {"name": "dial.jpg", "mimeType": "image/jpeg", "buffer": made.getvalue()}


def test_from_the_link_to_the_first_proposal(listening_desk, restorer, ticking):
    desk = listening_desk(ticking)
    four_questions(desk, restorer)
    a_first_reading(desk)
    a_first_visit(desk)
    a_first_proposal(desk)
    assert Reading.objects.get().state == "heard"
    assert Proposal.objects.get().visit.number.endswith("-001")


def four_questions(desk, restorer) -> None:
    Workshop.objects.all().delete()
    cache.clear()
    desk.page.context.clear_cookies()
    desk.go(f"/sign-in/{new_link(restorer)}/")
    desk.page.get_by_role("button", name="Come in").click()
    desk.shows("Four questions to begin with", "guessed", "(en-gb)", "English, German or French")
    desk.look()
    assert desk.page.input_value("#id_currency") == "GBP"
    desk.write("Name", "Thrale's bench")
    desk.write("Address", "1 Quay Lane")
    desk.write("Tax, percent", "0")
    desk.write("Rate for an hour of work", "75")
    desk.write("Hours of work in a week", "25")
    desk.enter("Save and go on")
    desk.shows("Where to begin", "With a watch", "With the microphone", "With a look round")
    desk.look()


def a_first_reading(desk) -> None:
    desk.press("m")
    desk.look()
    desk.page.keyboard.press("Space")
    desk.page.wait_for_function(OVER, timeout=40_000)
    desk.shows("This is the first reading.", "Gains", "Loud enough", "is not checked", "It listens")
    desk.look()


def a_first_visit(desk) -> None:
    desk.press("n")
    desk.write("Name", "Ottilie Marwood")
    desk.write("What we call it", "expedition chronograph")
    desk.enter("Take it in")
    desk.shows("First visit, 1 of 4:")
    desk.look()
    desk.enter("Add photographs")
    desk.page.set_input_files("#photographs", photograph())
    desk.page.get_by_role("button", name="Store s").click()
    desk.page.get_by_role("link", name="See it at the visit").click()
    desk.shows("First visit, 2 of 4:")
    desk.enter("Look it over")
    desk.page.locator(".answers button").first.click()
    desk.press("v")
    desk.shows("First visit, 3 of 4:")
    desk.enter("Listen")
    desk.page.keyboard.press("Space")
    desk.page.wait_for_function(SAID)
    desk.page.keyboard.press("Space")
    desk.page.wait_for_function(IDLE)
    desk.press("v")


def a_first_proposal(desk) -> None:
    desk.shows("First visit, 4 of 4:")
    desk.press("o")
    desk.press("v")
    assert "First visit" not in desk.page.inner_text("main")


def test_hints_go_away_with_one_press(open_desk, restorer, visit):
    desk = open_desk(restorer)
    desk.go("/visits/2026-001/")
    desk.shows("First visit, 1 of 4:")
    desk.enter("No more hints")
    desk.go("/visits/2026-001/")
    assert "First visit" not in desk.page.inner_text("main")
    assert not Workshop.objects.get().hints


@pytest.mark.parametrize(
    ("loud", "told", "why"),
    [
        (0.0, "No sound at all comes", "No reading: no sound came."),
        (3e-4, "Too quiet", "No reading"),
        (40.0, "Too loud", ""),
    ],
)
def test_what_keeps_a_microphone_from_hearing_is_said(
    listening_desk, tmp_path_factory, monkeypatch, loud, told, why
):
    monkeypatch.setattr(microphone_check, "MOST_S", 3.0)
    samples = simulate(SimulatedWatch(beats_per_hour=18000), duration_s=20).samples
    desk = listening_desk(sound_file(tmp_path_factory, (samples * loud).clip(-1, 1)))
    desk.go("/microphone/")
    desk.page.keyboard.press("Space")
    desk.page.wait_for_function(OVER, timeout=40_000)
    desk.shows(told, why)
    assert "nothing is cut off" not in desk.page.inner_text("main")
