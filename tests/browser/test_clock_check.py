"""Checking a sound clock in a real browser; its microphone hears a planted quartz tick."""

import json

import pytest
import soundfile

from sideshake.sample_clock.kept import kept_clocks
from sideshake.web.sample_clock import check as clock_check
from tests.sound.stepping import stepping

RATE_HZ = 48000
PLANTED_PPM = 30.0
TOLD = """() => { const told = document.querySelector("[data-way=tick]").dataset.fastPpm;
  return told && told !== "null" && JSON.parse(told)[1] < 5; }"""


@pytest.fixture(autouse=True)
def _no_check_before():
    clock_check.CHECKS.rows.clear()


@pytest.fixture(scope="module")
def tick(tmp_path_factory):
    """A tick each second as a recorder 30 ppm fast has it; the sound begins anew after a minute."""
    path = tmp_path_factory.mktemp("microphone") / "tick.wav"
    samples = stepping(seconds=60, clock_ppm=PLANTED_PPM)
    soundfile.write(path, samples, RATE_HZ, subtype="PCM_16")
    return path


def test_the_page_finds_a_planted_clock(listening_desk, tick):
    desk = listening_desk(tick)
    desk.go("/clock/")
    desk.page.fill("#live_within_ppm", "0")
    desk.page.locator("#live_within_ppm").blur()
    desk.page.keyboard.press("Space")
    desk.page.wait_for_function(TOLD, timeout=40_000)
    fast, u = json.loads(desk.page.get_attribute("[data-way=tick]", "data-fast-ppm"))
    assert fast == pytest.approx(PLANTED_PPM, abs=3 * u)
    desk.shows("ppm fast: uncorrected, a watch seems to lose", "60 s without a loss are needed")
    assert desk.page.is_disabled("[data-way=tick] [data-store]")
    desk.look()
    desk.page.keyboard.press("Space")
    desk.page.wait_for_selector("#check[data-stage=idle]")
    desk.shows("Stopped.")
    assert kept_clocks() == {}


def test_after_a_restart_the_check_begins_anew(listening_desk, tick):
    desk = listening_desk(tick)
    desk.expected.add(422)
    desk.go("/clock/")
    desk.page.keyboard.press("Space")
    desk.page.wait_for_selector("#check [data-part=time]:not([hidden])")
    clock_check.CHECKS.rows.clear()
    desk.page.wait_for_selector("#check [data-part=told]:not([hidden])")
    desk.shows("opened anew in between; the check has begun anew")
    assert len(clock_check.CHECKS.rows) == 1


def test_sound_that_is_never_taken_does_not_begin_anew_without_end(listening_desk, tick):
    desk = listening_desk(tick)
    desk.expected.add(422)
    desk.go("/clock/")
    refused = {"said": "This sound cannot be used.", "have": 0}
    desk.page.route(
        "**/sound/?first=*", lambda route: route.fulfill(status=422, json=refused)
    )  # fmt: skip
    desk.page.keyboard.press("Space")
    desk.page.wait_for_selector("#check[data-stage=idle] [data-part=said]:not([hidden])")
    desk.shows("This sound cannot be used.")
    assert len(clock_check.CHECKS.rows) == 1
