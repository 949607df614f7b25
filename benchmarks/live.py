"""How many watches one computer can listen to at once: eight listeners before a real workshop.

Each listener sends simulated ticking as a page does, 0.4 s at a time and in real time, over HTTP to
one `sideshake bench`. The share is of one processor core, the whole server's time included.
"""

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from socket import socket
from urllib.parse import urlencode
from urllib.request import Request, urlopen

import numpy as np
from show import mark, say, show

from sideshake.sound.simulate import SimulatedWatch, simulate

RATE_HZ = 48000
EVERY_S = 0.4
LISTENERS, QUICK_LISTENERS = (1, 4, 8), (8,)
LONG_S, QUICK_S = 75.0, 20.0
LATE_S = 1.0
"""Figures older than this are not live."""
SERVE = "from sideshake.command.main import main; main()"
TOKEN = "a" * 32
PATIENCE_S = 30.0


@dataclass(slots=True)
class Listened:
    """What one listener has seen."""

    answers_s: list[float] = field(default_factory=list)
    behind_s: float = 0.0
    first_s: float = float("inf")
    renewed: int = 0


@dataclass(frozen=True, slots=True)
class House:
    """A running workshop, and somebody signed in."""

    base: str
    cookies: str
    visit: str

    def post(self, path: str, body: bytes, kind: str = "application/octet-stream"):
        headers = {"Cookie": self.cookies, "X-CSRFToken": TOKEN, "Content-Type": kind}
        with urlopen(Request(self.base + path, body, headers), timeout=PATIENCE_S) as answer:
            return json.load(answer)


def listen(house: House, pcm: bytes, long_s: float, told: Listened) -> None:
    """Send the sound in real time; note how long each answer takes."""
    facts = urlencode({"position": "CH", "rate_hz": RATE_HZ, "recorder": "bench"}).encode()
    add = house.post(
        f"/visits/{house.visit}/listen/begin/", facts, "application/x-www-form-urlencoded"
    )["add"]
    size, begun = round(EVERY_S * RATE_HZ), time.monotonic()
    for step in range(int(long_s / EVERY_S)):
        wait = begun + (step + 1) * EVERY_S - time.monotonic()
        told.behind_s = max(told.behind_s, -wait)
        time.sleep(max(wait, 0))
        at = (step * size * 2) % (len(pcm) - 2 * size)
        asked = time.monotonic()
        answer = house.post(f"{add}?first={step * size}", pcm[at : at + 2 * size])
        told.answers_s.append(time.monotonic() - asked)
        if "strip" in answer:
            told.first_s = min(told.first_s, answer["all_s"])
            told.renewed += 1


def used_s(process: subprocess.Popen) -> float:
    """Return the processor's time of a process so far."""
    parts = Path(f"/proc/{process.pid}/stat").read_text().rsplit(") ", 1)[1].split()
    return (int(parts[11]) + int(parts[12])) / os.sysconf("SC_CLK_TCK")


def measured(house: House, server: subprocess.Popen, count: int, long_s: float) -> list[str]:
    """Return the row of so many listeners at once."""
    sounds = [
        np.rint(
            simulate(SimulatedWatch(beats_per_hour=per_hour), duration_s=60).samples * 32767
        ).astype("<i2").tobytes()
        for per_hour in (18000, 21600, 28800, 36000)
    ]  # fmt: skip
    told = [Listened() for _each in range(count)]
    threads = [
        threading.Thread(target=listen, args=(house, sounds[k % len(sounds)], long_s, each))
        for k, each in enumerate(told)
    ]
    before = used_s(server)
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    share = (used_s(server) - before) / long_s
    answers = sorted(each for one in told for each in one.answers_s)
    slow = answers[round(0.99 * (len(answers) - 1))]
    return [
        str(count),
        f"{100 * share / count:.1f}",
        f"{1e3 * statistics.median(answers):.0f}",
        f"{1e3 * slow:.0f}",
        f"{max(one.behind_s for one in told):.2f}",
        f"{max(one.first_s for one in told):.1f}",
        f"{min(one.renewed for one in told) / long_s:.1f}",
        mark(slow < LATE_S),
    ]


def open_house(folder: Path) -> tuple[House, subprocess.Popen]:
    """Return a workshop with one visit, and its process."""
    os.environ["SIDESHAKE_DATA"] = str(folder)
    os.environ.pop("DATABASE_URL", None)
    os.environ["DJANGO_SETTINGS_MODULE"] = "sideshake.web.settings"
    import django

    django.setup()
    cookies = f"sideshake_session={filled()}; sideshake_csrf={TOKEN}"
    with socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = subprocess.Popen(
        [sys.executable, "-c", SERVE, "bench", "--no-browser", "--port", str(port)],
        stdout=subprocess.PIPE,
    )
    assert server.stdout is not None
    server.stdout.readline()
    return House(f"http://127.0.0.1:{port}", cookies, "2026-001"), server


def filled() -> str:
    """Return the key of somebody's session, in a workshop that has one visit now."""
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.contrib.sessions.backends.db import SessionStore

    from sideshake.web import models
    from sideshake.web.start import open_workshop

    open_workshop()
    user = models.User.objects.get()
    owner = models.Owner.objects.create(name="Ottilie Marwood")
    watch = models.Watch.objects.create(owner=owner, title="expedition chronograph")
    day = date(2026, 3, 2)
    models.Visit.objects.create(number="2026-001", watch=watch, arrived_on=day, step_since=day)
    session = SessionStore()
    session[SESSION_KEY] = str(user.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = user.get_session_auth_hash()
    session.save()
    return str(session.session_key)


def main() -> None:
    """Print what one, four and eight listeners take."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="eight listeners only, shorter")
    quick = parser.parse_args().quick
    with tempfile.TemporaryDirectory(prefix="sideshake-live-") as folder:
        house, server = open_house(Path(folder))
        try:
            counts, long_s = (QUICK_LISTENERS, QUICK_S) if quick else (LISTENERS, LONG_S)
            rows = [measured(house, server, count, long_s) for count in counts]
        finally:
            server.terminate()
            server.wait()
    say(f"Listened for {long_s:.0f} s each time.")
    show(
        f"Listening live (target: 99 of 100 answers within {LATE_S:g} s)",
        ("listeners", "core each, %", "answer, ms", "99th, ms", "behind, s", "first after, s",
         "renewed a second", "target"),
        rows,
    )  # fmt: skip


if __name__ == "__main__":
    main()
