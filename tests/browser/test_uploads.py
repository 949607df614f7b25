"""Sending files: a bar that moves, a result without a reload, a way to stop, faults in words."""

from io import BytesIO

import numpy as np
import pytest
import soundfile
from PIL import Image

from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.web.models import Photograph, Reading

LARGE_S, LARGE_HZ, CHANNELS = 205, 16_000, 16  # 105 MB of 16-bit sound, and soon heard
SLOW_BYTES_S = 40_000_000
ADD = "/visits/2026-001/recordings/add/"
SAYS = """([part, wanted]) =>
  document.querySelector(`[data-part=${part}]`).textContent.includes(wanted)"""
WATCH_THE_BAR = """() => { window.stood = [];
  const bar = document.querySelector("[data-part=bar]");
  new MutationObserver(() => window.stood.push(bar.value)).observe(bar, {attributes: true}); }"""


def wav(samples, rate_hz=48000) -> bytes:
    made = BytesIO()
    soundfile.write(made, samples, rate_hz, format="WAV", subtype="PCM_16")
    return made.getvalue()


@pytest.fixture(scope="module")
def ticking() -> bytes:
    return wav(
        simulate(SimulatedWatch(beats_per_hour=18000, rate_s_per_day=12), duration_s=20).samples
    )


@pytest.fixture(scope="module")
def large(tmp_path_factory):
    """A hundred megabytes of a quiet room, in a file: too much for a message to the browser."""
    path = tmp_path_factory.mktemp("large") / "quiet room.wav"
    noise = np.random.default_rng(7).normal(0, 1e-3, (LARGE_HZ, CHANNELS)).astype(np.float32)
    with soundfile.SoundFile(path, "w", LARGE_HZ, CHANNELS, subtype="PCM_16") as file:
        for _second in range(LARGE_S):
            file.write(noise)
    return path


def choose(desk, *files) -> None:
    desk.page.set_input_files("input[type=file] >> nth=0", list(files))


def file(name: str, data: bytes) -> dict:
    return {"name": name, "mimeType": "application/octet-stream", "buffer": data}


def send(desk, until: str, *, name="Store and hear", within_s=15) -> str:
    desk.page.get_by_role("button", name=name).click()
    desk.page.wait_for_function(SAYS, arg=["said", until], timeout=within_s * 1000)
    return desk.page.inner_text("[data-part=upload]")


def slowed(desk) -> None:
    """Let sending take seconds, as it does over the workshop's network."""
    desk.page.context.new_cdp_session(desk.page).send(
        "Network.emulateNetworkConditions",
        {"offline": False, "latency": 0, "downloadThroughput": -1,
         "uploadThroughput": SLOW_BYTES_S},
    )  # fmt: skip


def test_a_large_recording_shows_how_far_it_is_and_what_it_says(open_desk, restorer, visit, large):
    desk = open_desk(restorer)
    desk.go(ADD)
    slowed(desk)
    desk.page.evaluate(WATCH_THE_BAR)
    desk.page.evaluate("window.here = true")
    choose(desk, large)
    send(desk, "Done.", within_s=120)
    stood = desk.page.evaluate("window.stood")
    assert len([each for each in stood if 0 < each < 1]) > 2
    assert stood == [0, *sorted(stood[1:])]
    desk.shows("quiet room.wav: stored, no reading")
    assert desk.page.evaluate("window.here")  # the page was never loaded anew
    assert Reading.objects.get().recording.bytes > 100e6
    desk.look()


def test_sending_can_be_stopped_and_nothing_is_kept(open_desk, restorer, visit, large):
    desk = open_desk(restorer)
    desk.go(ADD)
    slowed(desk)
    choose(desk, large)
    desk.page.get_by_role("button", name="Store and hear").click()
    desk.page.wait_for_function("() => document.querySelector('[data-part=bar]').value > 0")
    desk.look()
    desk.page.keyboard.press("x")
    desk.shows("Stopped; nothing of it was kept.")
    assert not Reading.objects.exists()
    assert desk.page.get_by_role("button", name="Store and hear").is_enabled()


def test_what_a_recording_says_stands_on_the_page(open_desk, restorer, visit, ticking):
    desk = open_desk(restorer)
    desk.expected.add(422)
    desk.go(ADD)
    choose(desk, file("tick.wav", ticking), file("letter.wav", b"Dear workshop"))
    told = send(desk, "Not everything was stored.")
    assert "tick.wav: Gains 12" in told
    assert "letter.wav: " in told
    choose(desk, file("tick.wav", ticking))
    told = send(desk, "Done.")
    assert "letter.wav" not in told
    desk.page.get_by_role("link", name="See it at the visit").click()
    desk.shows("Gains 12")


def test_a_recording_heard_in_the_background_says_so_and_then_what_it_says(
    open_desk, restorer, visit
):
    desk = open_desk(restorer)
    reading = Reading.objects.create(visit=visit, state="waiting")
    desk.go(ADD)
    ask = f"/readings/{reading.pk}/"
    told = {"said": [{"name": "long.wav", "text": "stored: wait …", "ask": ask}],
            "problems": [], "address": "/visits/2026-001/#heard"}  # fmt: skip
    desk.page.route(f"**{ADD}", lambda route: route.fulfill(json=told))
    choose(desk, file("long.wav", b"x"))
    assert "long.wav: stored: wait …" in send(desk, "Done.")
    Reading.objects.update(state="heard", sentence="Gains 3 ± 5 s a day.")
    desk.page.wait_for_function(SAYS, arg=["told", "long.wav: Gains 3 ± 5 s a day."])


def test_a_workshop_that_does_not_answer_is_not_asked_for_ever(open_desk, restorer, visit):
    desk = open_desk(restorer)
    desk.expected.add(500)
    desk.forgiven += ("ERR_FAILED",)
    desk.page.clock.install()
    desk.go(ADD)
    told = {"said": [{"name": "long.wav", "text": "stored …", "ask": "/readings/1/"}],
            "problems": [], "address": "/visits/2026-001/#heard"}  # fmt: skip
    asked = []
    desk.page.route(f"**{ADD}", lambda route: route.fulfill(json=told))
    desk.page.route("**/readings/1/", lambda route: (asked.append(1), route.abort()))
    choose(desk, file("long.wav", b"x"))
    send(desk, "Done.")
    for _each in range(12):
        desk.page.clock.run_for(1500)
    desk.page.wait_for_function(SAYS, arg=["told", "long.wav: stored; the workshop does not"])
    assert len(asked) == 8


def test_nothing_chosen_is_said_before_anything_is_sent(open_desk, restorer, visit):
    desk = open_desk(restorer)
    desk.go(ADD)
    assert "Choose a file first." in send(desk, "Choose")
    assert not Reading.objects.exists()


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        ({"status": 400}, "100 files at most are taken in at once"),
        ({"status": 413}, "more than is taken in at once"),
        ({"status": 500}, "could not take it in (answer 500)"),
        (None, "The connection broke off after"),
    ],
)
def test_a_fault_on_the_way_is_told_in_words(open_desk, restorer, visit, answer, said):
    desk = open_desk(restorer)
    desk.expected |= {400, 413, 500}
    desk.forgiven += ("ERR_FAILED",)
    desk.go(ADD)
    desk.page.route(f"**{ADD}", lambda route: route.fulfill(**answer) if answer else route.abort())
    choose(desk, file("tick.wav", b"x"))
    assert said in send(desk, said[:20])
    assert desk.page.evaluate("document.querySelector('input[type=file]').files.length") == 1


def test_who_was_signed_out_meanwhile_is_told_so(open_desk, restorer, visit):
    desk = open_desk(restorer)
    desk.go(ADD)
    desk.page.context.clear_cookies(name="sideshake_session")
    choose(desk, file("tick.wav", b"x"))
    assert "not signed in any more" in send(desk, "not signed in")


def test_photographs_are_counted_and_a_refused_one_named(open_desk, restorer, visit):
    desk = open_desk(restorer)
    desk.expected.add(422)
    desk.go("/visits/2026-001/photographs/add/")
    made = BytesIO()
    Image.new("RGB", (60, 40), "#c9b48a").save(made, "JPEG")
    choose(desk, file("dial.jpg", made.getvalue()), file("notes.jpg", b"no picture"))
    told = send(desk, "Not everything", name="Store s")
    assert "1 photograph stored" in told
    assert "notes.jpg" in told
    assert Photograph.objects.count() == 1
