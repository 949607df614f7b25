"""Live listening before a real process: it is killed with -9 in the middle; it listens for long.

SIDESHAKE_FILES and the database lie in the test's folder, so what is on the disk can be looked at.
"""

import json
import re
import signal
import sqlite3
from itertools import pairwise
from pathlib import Path
from statistics import median

import numpy as np
import pytest
import soundfile
from workshop_process import Open, free_port

from sideshake.sound.simulate import SimulatedWatch, simulate

CHROMIUM = "/usr/bin/chromium"
RATE_HZ = 48000
STAGE = "(wanted) => document.getElementById('live').dataset.stage === wanted"
SAID = "() => document.querySelector('[data-part=sentence]').textContent"
CONTAINS = "(words) => document.querySelector('[data-part=said]').textContent.includes(words)"
FED_AT_ONCE_S = 5


@pytest.fixture
def watch(tmp_path) -> Path:
    """A minute of a watch, for the microphone."""
    path = tmp_path / "watch.wav"
    sound = simulate(SimulatedWatch(beats_per_hour=18000, jitter_us=1), duration_s=60).samples
    soundfile.write(path, sound, RATE_HZ, subtype="PCM_16")
    return path


@pytest.fixture
def workshop(tmp_path):
    """Open the workshop in one folder and at one port; what is still open afterwards is closed."""
    opened, port = [], str(free_port())

    def open_one(**environment):
        opened.append(Open(tmp_path / "data", "--port", port, **environment))
        return opened[-1]

    yield open_one
    for each in opened:
        if each.process.poll() is None:
            each.kill()


@pytest.fixture
def page_hearing(browser):
    """A page whose microphone hears a sound file."""
    own = []

    def page(sound):
        args = [
            "--no-sandbox", "--disable-gpu", "--use-fake-device-for-media-stream",
            "--use-fake-ui-for-media-stream", f"--use-file-for-fake-audio-capture={sound}",
        ]  # fmt: skip
        own.append(browser.browser_type.launch(executable_path=CHROMIUM, args=args))
        return own[-1].new_page()

    yield page
    for each in own:
        each.close()


def listening(page, workshop):
    """Return the address of the live page of a new visit; the page is signed in and shows it."""
    address = f"{workshop.base}{workshop.come_in().new_visit()}listen/"
    cookies = [{"name": c.name, "value": c.value, "url": workshop.base} for c in workshop.cookies]
    page.context.add_cookies(cookies)
    page.goto(address)
    return address


def readings(data):
    with sqlite3.connect(data / "workshop.sqlite3") as database:
        rows = database.execute(
            "select r.state, c.stored from bench_reading r "
            "left join bench_recording c on c.id = r.recording_id"
        ).fetchall()
    database.close()
    return rows


def test_a_workshop_killed_in_the_middle_goes_on_where_it_was(workshop, page_hearing, watch):
    first = workshop()
    page = page_hearing(watch)
    listening(page, first)
    page.keyboard.press("Space")
    page.wait_for_function(SAID, timeout=30_000)
    first.process.send_signal(signal.SIGKILL)
    first.end()
    page.wait_for_function(CONTAINS, arg="does not answer", timeout=30_000)
    second = workshop()
    page.wait_for_function(CONTAINS, arg="Listening.", timeout=30_000)
    page.wait_for_timeout(3000)
    page.keyboard.press("Space")
    page.wait_for_function(STAGE, arg="idle", timeout=30_000)
    ((state, stored),) = readings(second.data)
    assert state == "heard"
    second.close()
    kept, rate_hz = soundfile.read(second.data / "files" / "recordings" / stored, dtype="int16")
    taken, total = json.loads(page.get_attribute("#live", "data-sent"))
    assert (kept.size, int(kept.sum(dtype=np.int64))) == (taken, total)
    assert kept.size > 5 * rate_hz  # some 2 s to the first sentence, 3 s afterwards, and between


def test_what_a_closed_browser_has_heard_is_on_the_disk(workshop, page_hearing, watch):
    opened = workshop()
    page = page_hearing(watch)
    listening(page, opened)
    page.keyboard.press("Space")
    page.wait_for_function(SAID, timeout=30_000)
    heard_s = float(page.inner_text("[data-part=time]").removesuffix(" s"))
    page.context.browser.close()
    (path,) = (opened.data / "files" / "live").iterdir()
    on_disk_s = path.stat().st_size / 2 / int(path.stem.rpartition("-")[2])
    assert on_disk_s >= heard_s - 0.5


# the page's own sender and drawing, fed as fast as the workshop takes it: no microphone does that
FEED = """async ([add, token, from, until, atOnce, rate]) => {
  const { Sender } = await import("/static/bench/live/sender.js");
  const { drawPortrait, drawRing, drawStrip } = await import("/static/bench/live/drawing.js");
  const canvas = document.createElement("canvas");
  document.body.append(canvas);
  const sound = new Int16Array(await (await fetch("/watch.pcm")).arrayBuffer());
  let told = null, fault = null;
  const sender = new Sender(add, token, rate, {
    answer: (answer) => { told = answer; if (told.ring) drawRing(canvas, told.ring, {});
      if (told.strip) drawStrip(canvas, told.strip, {});
      if (told.portrait) drawPortrait(canvas, told.portrait, {}); },
    waiting: () => { fault = "waited"; }, over: (said) => { fault = said; } });
  sender.first = from * rate;
  for (let at = from; at < until && !fault; at += atOnce) {
    for (let tenth = 0; tenth < 10 * atOnce; tenth++) {
      const start = ((at % 60) * 10 + tenth) * rate / 10;
      sender.add(sound.slice(start, start + rate / 10));
    }
    await sender.drain();
  }
  sender.end();
  canvas.remove();
  return { fault, have: told.have, sentence: told.sentence };
}"""


GIVES_BACK = {"MALLOC_ARENA_MAX": "1", "MALLOC_MMAP_THRESHOLD_": "65536"}
"""One heap, and sound given back to the system at once: what is resident is in use."""


def resident_mb(process):
    text = Path(f"/proc/{process.pid}/status").read_text()
    return int(re.search(r"VmRSS:\s+(\d+)", text).group(1)) / 1024


def heap_mb(page):
    session = page.context.new_cdp_session(page)
    session.send("HeapProfiler.collectGarbage")
    used = session.send("Runtime.getHeapUsage")["usedSize"]
    session.detach()
    return used / 2**20


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="reads memory from /proc")
def test_six_minutes_take_no_more_memory_than_two(workshop, page_hearing, watch):
    opened = workshop(**GIVES_BACK)
    page = page_hearing(watch)
    address = listening(page, opened)
    token = page.get_attribute("#live", "data-token")
    pcm = (soundfile.read(watch, dtype="int16")[0]).tobytes()
    page.route("**/watch.pcm", lambda route: route.fulfill(body=pcm))
    begun = page.request.post(
        f"{address}begin/",
        headers={"X-CSRFToken": token}, form={"rate_hz": str(RATE_HZ), "recorder": "test"},
    ).json()  # fmt: skip

    def feed(from_s, until_s):
        told = page.evaluate(FEED, [begun["add"], token, from_s, until_s, FED_AT_ONCE_S, RATE_HZ])
        assert told["fault"] is None
        assert told["have"] == until_s * RATE_HZ
        return resident_mb(opened.process), heap_mb(page)

    def usual(edges_s):
        """Return the median of five looks: each may fall into a page that is being heard."""
        looks = [feed(from_s, until_s) for from_s, until_s in pairwise(edges_s)]
        return [median(each) for each in zip(*looks, strict=True)]

    early = usual((0, 60, 75, 90, 105, 120))
    late = usual((120, 300, 315, 330, 345, 360))
    # Measured to grow by 3 to 5 MB; 4 minutes of sound are 23 MB.
    assert late[0] - early[0] < 12, "the workshop's memory has grown, MB"
    assert late[1] - early[1] < 4, "the page's memory has grown, MB"
