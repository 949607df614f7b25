"""A workshop that is killed with -9 in the middle of its work, and a list of what it acknowledged.

Whatever was answered as done is written into a `Ledger`; after each kill the database and the files
are looked at, past the program, for every line of it.
"""

import contextlib
import hashlib
import http.client
import io
import json
import random
import re
import signal
import sqlite3
import subprocess
import threading
import time
import urllib.parse
import urllib.request
import zipfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import soundfile
from PIL import Image
from workshop_process import PATIENCE_S, RUN, Open, environment, free_port, program, run

RATE_HZ = 16000
CHUNK = np.zeros(RATE_HZ // 4, "<i2").tobytes()
OLDER = "0005_jewels"
"""Before a migration is killed, the records go back to what they were at this one."""
GO_BACK = f"""
import django; django.setup()
from django.core.management import call_command
call_command("migrate", "bench", {OLDER!r}, verbosity=0)
"""
BROKEN_OFF = (OSError, http.client.HTTPException, AssertionError, AttributeError, ValueError)
"""What a browser sees of a workshop that is killed: a broken connection, or half a page."""
NOT_TOLD = re.compile(r"Traceback|Exception in|Server Error|Fatal Python error")


@dataclass
class Ledger:
    """What was acknowledged."""

    counter: int = 0
    """The last number that was saved into the visit's complaint."""
    photographs: list[str] = field(default_factory=list)
    recordings: list[str] = field(default_factory=list)
    heard_samples: dict[int, int] = field(default_factory=dict)
    backups: list[Path] = field(default_factory=list)
    saves: int = 0

    @property
    def count(self) -> int:
        """Return how many things were acknowledged."""
        lists = (self.photographs, self.recordings, self.heard_samples, self.backups)
        return self.saves + sum(map(len, lists))


@dataclass
class Tally:
    """What came of the kills of one kind."""

    kills: int = 0
    under_way: int = 0
    """How many of them met the work before its end."""
    lost: list[str] = field(default_factory=list)
    not_told: list[str] = field(default_factory=list)


def drawn_png(seed: int) -> bytes:
    """Return a small picture that is like no other."""
    pixels = np.random.default_rng(seed).integers(0, 255, (60, 80, 3), dtype=np.uint8)
    stream = io.BytesIO()
    Image.fromarray(pixels).save(stream, "PNG")
    return stream.getvalue()


def noise_wav(seed: int, duration_s: float) -> bytes:
    """Return a recording in which no watch goes."""
    noise = np.random.default_rng(seed).normal(0, 0.05, round(duration_s * RATE_HZ))
    stream = io.BytesIO()
    soundfile.write(stream, noise, RATE_HZ, format="WAV", subtype="PCM_16")
    return stream.getvalue()


class Tortured:
    """A workshop, on one of the databases, that is worked in and killed."""

    def __init__(self, folder: Path, *, address: str = "", seed: int = 0, long_s: float = 305.0):
        """Open it once, with a visit and a long recording, and close it."""
        self.folder, self.data = folder, folder / "data"
        self.more = {"DATABASE_URL": address} if address else {}
        self.random = random.Random(seed)
        self.ledger, self.number, self.lasts_s = Ledger(), 0, {}
        self.opened: Open | None = None
        with self.open() as opened:
            self.visit = opened.new_visit()
            self.upload_recording(opened, noise_wav(seed, long_s))
            page = opened.get(self.visit)
            self.long = int(re.search(r"/readings/(\d+)/", page)[1])
            self.opened = opened
            for work in self.works.values():
                self.broken_off(work)
        self.opened = None

    @contextlib.contextmanager
    def open(self):
        """Yield the workshop open, somebody signed in; afterwards it is closed."""
        opened = Open(self.data, **self.more)
        try:
            yield opened.come_in()
        finally:
            if opened.process.poll() is None:
                opened.close()

    # what is done in it

    def save(self, opened: Open) -> None:
        """Save the visit several times."""
        for _each in range(4):
            self.number += 1
            wanted = self.number
            status, _page = opened.post(self.visit + "arrival/", complaint=f"Saved {wanted}")
            if status == 200:
                self.ledger.counter, self.ledger.saves = wanted, self.ledger.saves + 1

    def upload_photograph(self, opened: Open) -> None:
        """Add photographs."""
        for _each in range(2):
            self.number += 1
            picture = drawn_png(self.number)
            status, _page = opened.upload(self.visit + "photographs/add/", "photographs", picture)
            if status == 200:
                self.ledger.photographs.append(hashlib.sha256(picture).hexdigest())

    def upload_recording(self, opened: Open, sound: bytes = b"") -> None:
        """Add a recording."""
        self.number += 1
        sound = sound or noise_wav(self.number, 2.0)
        status, _page = opened.upload(self.visit + "recordings/add/", "recordings", sound)
        if status == 200:
            self.ledger.recordings.append(hashlib.sha256(sound).hexdigest())

    def listen(self, opened: Open) -> None:
        """Listen for two seconds, and finish."""
        begun = self.ask(opened, self.visit + "listen/begin/", f"rate_hz={RATE_HZ}".encode())
        if "add" not in begun:
            return
        pk, have = int(begun["add"].split("/")[2]), 0
        for _each in range(8):
            have = self.ask(opened, f"{begun['add']}?first={have}", CHUNK)["have"]
            self.ledger.heard_samples[pk] = have
        self.ask(opened, begun["finish"], b"")

    def hear(self, opened: Open) -> None:
        """Let the long recording be heard anew, in the background."""
        self.number += 1
        status, _page = opened.post(f"/readings/{self.long}/edit/", note=f"again {self.number}")
        self.ledger.saves += status == 200

    def ask(self, opened: Open, path: str, body: bytes) -> dict:
        """Return what the page's script would be answered."""
        token = next(each.value for each in opened.cookies if each.name == "sideshake_csrf")
        kind = "application/x-www-form-urlencoded" if b"=" in body else "application/octet-stream"
        headers = {"Content-Type": kind, "X-CSRFToken": token, "Origin": opened.base}
        request = urllib.request.Request(opened.base + path, body, headers)
        with opened.browser.open(request, timeout=PATIENCE_S) as answer:
            return json.load(answer)

    # how it is killed

    @property
    def works(self) -> dict[str, Callable[[Open], None]]:
        """Return what is done in the open workshop when it is killed."""
        return {
            "save": self.save,
            "upload": self.upload_photograph,
            "listen": self.listen,
            "hearing": self.hear,
        }

    def kill_at_work(self, kind: str, tally: Tally) -> None:
        """Begin some work in the open workshop and kill it somewhere in the middle."""
        if self.opened is None:
            self.opened = self.begun(tally)
        work = threading.Thread(target=self.broken_off, args=(self.works[kind],), daemon=True)
        work.start()
        time.sleep(self.moment(kind))
        tally.under_way += work.is_alive()
        self.opened.process.kill()
        work.join(PATIENCE_S)
        self.hear_out(self.opened, tally)
        self.opened = None

    def broken_off(self, work: Callable[[Open], None]) -> None:
        """Work until the workshop is killed."""
        with contextlib.suppress(*BROKEN_OFF):
            begun = time.monotonic()
            work(self.opened)
            self.lasts_s[work.__name__] = time.monotonic() - begun

    def moment(self, kind: str) -> float:
        """Return after how many seconds the kill comes: within what the work usually takes."""
        usual_s = self.lasts_s.get(self.works[kind].__name__ if kind in self.works else kind, 1.0)
        return self.random.uniform(0.0, 1.05 * usual_s)

    def begun(self, tally: Tally) -> Open | None:
        """Return the workshop opened after a kill; had it been open then, it says so."""
        was_open = (self.data / "running").exists()
        opened = Open(self.data, **self.more).come_in()
        if was_open and "not closed properly" not in opened.text:
            tally.not_told.append("the bad end was not told")
        return opened

    def hear_out(self, opened: Open, tally: Tally) -> None:
        """Look for what the workshop said without words."""
        rest, errors = opened.process.communicate(timeout=PATIENCE_S)
        if found := NOT_TOLD.search(rest + errors):
            tally.not_told.append((rest + errors)[found.start() :][:2000])

    def kill_command(self, kind: str, tally: Tally) -> None:
        """Begin a command and kill it somewhere in the middle."""
        self.close()
        tokens, after = getattr(self, f"before_{kind}")()
        begun = time.monotonic()
        process = subprocess.Popen(
            [*RUN, *tokens], env=environment(self.data, **self.more), text=True,
            stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )  # fmt: skip
        try:
            if kind not in self.lasts_s:  # the first is let alone, to see how long it takes
                self.ended(process, kind)
                self.lasts_s[kind] = time.monotonic() - begun
            else:
                time.sleep(self.moment(kind))
                tally.under_way += process.poll() is None
        finally:
            process.kill()
        code = process.wait()
        rest, errors = process.communicate()
        if found := NOT_TOLD.search(rest + errors):
            tally.not_told.append((rest + errors)[found.start() :][:2000])
        after(code)

    def ended(self, process: subprocess.Popen, kind: str) -> None:
        """Wait for the end of a command; the workshop has none, it is open when it says so."""
        if kind == "migration":
            for line in process.stdout:
                if line.startswith("Ctrl-C"):
                    break
            process.send_signal(signal.SIGINT)
        process.wait(PATIENCE_S)

    def before_backup(self):
        """Return the command that is killed, and what is noted after it."""
        self.number += 1
        path = self.folder / f"{self.number}.zip"
        return ("backup", str(path)), lambda code: self.ledger.backups.extend(
            [path] if code == 0 else []
        )

    def before_restore(self):
        """Return the command that is killed: the workshop is put back as it is just now."""
        path = self.folder / f"restore-{self.number}.zip"
        path.unlink(missing_ok=True)
        self.done("backup", str(path))

        def after(_code: int) -> None:
            path.unlink()
            for each in (self.data / "backups").glob("*-before-restore.zip"):
                each.unlink()

        return ("restore", str(path), "--replace"), after

    def before_migration(self):
        """Return the command that is killed: a start that brings the records up to date."""
        back = program(self.data, GO_BACK, address=self.more.get("DATABASE_URL", ""))
        assert back.returncode == 0, back.stderr
        return ("bench", "--no-browser", "--port", str(free_port())), lambda _code: None

    def done(self, *tokens: str) -> None:
        """Let a command end."""
        ended = run(self.data, *tokens, **self.more)
        assert ended.returncode == 0, ended.stderr

    def close(self) -> None:
        """Close the workshop if it is open; a backup may be made while it is, a restore not."""
        if self.opened is not None:
            self.opened.close()
            self.opened = None

    def kill(self, kind: str, tally: Tally) -> None:
        """Kill once at work of a kind, then look for everything that was acknowledged."""
        tally.kills += 1
        try:
            (self.kill_at_work if kind in self.works else self.kill_command)(kind, tally)
            if kind in ("restore", "migration"):
                self.opened = self.begun(tally)
        except (AssertionError, subprocess.SubprocessError) as fault:
            tally.not_told.append(f"{kind}: {fault}"[:2000])
        tally.lost += Kept(self).lost()


class Kept:
    """What lies in the database and the files, read past the program."""

    def __init__(self, of: Tortured):
        """Look at one workshop."""
        self.of, self.files = of, of.data / "files"

    def rows(self, question: str) -> list[tuple]:
        """Return what the database answers."""
        address = self.of.more.get("DATABASE_URL")
        if address:
            import psycopg

            with psycopg.connect(address) as database:
                return database.execute(question).fetchall()
        with contextlib.closing(sqlite3.connect(self.of.data / "workshop.sqlite3")) as database:
            return database.execute(question).fetchall()

    def lost(self) -> list[str]:
        """Return what was acknowledged and is not there."""
        return [*self.lost_saves(), *self.lost_files(), *self.lost_sound(), *self.lost_backups()]

    def lost_saves(self):
        """Yield that the database is damaged, or that a save is gone."""
        if not self.of.more and self.rows("PRAGMA integrity_check") != [("ok",)]:
            yield "the database is damaged"
        number = self.of.visit.split("/")[2]
        [(text,)] = self.rows(f"select complaint from bench_visit where number = '{number}'")
        stored = int(text.removeprefix("Saved ") or 0)
        if stored < self.of.ledger.counter:
            yield f"Saved {self.of.ledger.counter} was acknowledged, {stored} is there"

    def lost_files(self):
        """Yield each photograph and recording that is not there whole."""
        for table, folder, told in (
            ("photograph", "photographs", self.of.ledger.photographs),
            ("recording", "recordings", self.of.ledger.recordings),
        ):
            stored = dict(self.rows(f"select sha256, stored from bench_{table}"))
            for sha256 in told:
                path = self.files / folder / stored.get(sha256, "no row")
                if not path.is_file() or hashlib.sha256(path.read_bytes()).hexdigest() != sha256:
                    yield f"{table} {sha256[:8]}: {path.name}"

    def lost_sound(self):
        """Yield each live reading of which samples are missing."""
        recorded = dict(
            self.rows(
                "select r.id, s.stored from bench_reading r "
                "join bench_recording s on s.id = r.recording_id"
            )
        )
        for pk, samples in self.of.ledger.heard_samples.items():
            if pk in recorded:
                have = frames_in(self.files / "recordings" / recorded[pk])
            else:
                have = sum(
                    each.stat().st_size // 2 for each in (self.files / "live").glob(f"{pk}-*")
                )
            if have < samples:
                yield f"live reading {pk}: {have} of {samples} samples"

    def lost_backups(self):
        """Yield each backup that is not whole."""
        for path in self.of.ledger.backups:
            with zipfile.ZipFile(path) as archive:
                if archive.testzip() is not None:
                    yield f"backup {path.name}"


def frames_in(path: Path) -> int:
    """Return how many samples a recording holds; none when it cannot be read."""
    try:
        return soundfile.info(path).frames
    except soundfile.LibsndfileError:
        return 0


KINDS = ("save", "upload", "listen", "hearing", "backup", "restore", "migration")


def torture(
    tortured: Tortured, kills: int, kinds: Sequence[str] = KINDS, seen: Callable[..., None] = print
) -> dict[str, Tally]:
    """Return what came of so many kills, of each kind in turn."""
    tallies = {kind: Tally() for kind in kinds}
    for number in range(kills):
        kind = kinds[number % len(kinds)]
        tortured.kill(kind, tallies[kind])
        seen(number + 1, kind, tallies[kind])
    tortured.close()
    return tallies
