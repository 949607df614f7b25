"""What else goes wrong round a workshop: the disk, its folder, its database, its clock.

Each trial works in a `Tortured` workshop under a strain and yields, in words, what it did not tell;
what was acknowledged is looked for afterwards as after a kill.
"""

import io
import os
import re
import shutil
import sys
import urllib.error
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

from tortured import CHUNK, NOT_TOLD, RATE_HZ, Tortured
from workshop_process import RUN, Open, free_port, run

SENTENCE = re.compile(r'class="(?:sentence|errors?|problems|errorlist|told)[^"]*"|"said": "')
FULL_AT_BLOCKS = 6000
"""Of 512 bytes: no file grows beyond 3 MB, as on a disk that is full."""
FULL_DISK = ["sh", "-c", f'ulimit -f {FULL_AT_BLOCKS}; exec "$@"', "sh", *RUN]
OBEYING = ["setpriv", "--bounding-set=-dac_override,-dac_read_search", *RUN]
"""Root may write everywhere; this takes that away."""
SHIFTED = """
import datetime, os, pathlib, time
real, by = time.time, pathlib.Path(os.environ["SHIFTED_BY"])
shift = lambda: float(by.read_text())
time.time = lambda: real() + shift()
from django.utils import timezone
timezone.now = lambda: datetime.datetime.fromtimestamp(real() + shift(), datetime.UTC)
from sideshake.command.main import main
main()
"""
DAY_S = 86_400
WRONG_ADDRESSES = (
    "mysql://somewhere/x", "nonsense", "postgresql://", "postgresql://nobody@127.0.0.1:1/none",
    "postgresql://a:b@127.0.0.1:99999/x", "postgresql://[::1/none", "postgresql:///x?host=/nowhere",
    "postgresql://u:p@name.invalid/x", "sqlite:///x.sqlite3", "postgres",
)  # fmt: skip


def wanting_words(what: str, answer: tuple[int, str]) -> list[str]:
    """Return what an answer did not tell: it is done, or it says why not."""
    status, page = answer
    if status < 400 or SENTENCE.search(page):
        return []
    return [f"{what}: {status} {page[:300]}"]


@contextmanager
def opened(tortured: Tortured, untold: list[str], way: list[str] = RUN, **more) -> Iterator[Open]:
    """Yield the workshop open under a strain; what it says in its window is read at the end."""
    found = Open(tortured.data, run=way, **tortured.more, **more)
    try:
        yield found.come_in()
    finally:
        code, rest, errors = found.close()
        if NOT_TOLD.search(rest + errors) or code:
            untold.append(f"in the window, ended with {code}: {(rest + errors)[-1500:]}")


def large_png() -> bytes:
    """Return a picture of more than 3 MB."""
    import numpy as np
    from PIL import Image

    pixels = np.random.default_rng(1).integers(0, 255, (1200, 1200, 3), dtype=np.uint8)
    written = io.BytesIO()
    Image.fromarray(pixels).save(written, "PNG")
    return written.getvalue()


def a_full_disk(tortured: Tortured) -> list[str]:
    """Upload, save and listen until nothing more fits."""
    untold: list[str] = []
    with opened(tortured, untold, FULL_DISK) as found:
        tortured.save(found)
        shot = found.upload(tortured.visit + "photographs/add/", "photographs", large_png())
        untold += wanting_words("a photograph on a full disk", shot)
        if shot[0] < 400:
            untold.append("a photograph was acknowledged that had no room")
        untold += listened_until_full(tortured, found)
        tortured.save(found)
    return untold


def listened_until_full(tortured: Tortured, found: Open) -> list[str]:
    """Return what was not told when the disk filled while listening."""
    begun = tortured.ask(found, tortured.visit + "listen/begin/", f"rate_hz={RATE_HZ}".encode())
    pk, have = int(begun["add"].split("/")[2]), 0
    for _each in range(60):
        try:
            have = tortured.ask(found, f"{begun['add']}?first={have}", CHUNK * 16)["have"]
            tortured.ledger.heard_samples[pk] = have
        except urllib.error.HTTPError as refused:
            return wanting_words(
                "listening on a full disk", (refused.code, refused.read().decode())
            )
    return ["the disk did not fill while listening"]


def a_folder_only_to_read(tortured: Tortured) -> list[str]:
    """Start and work where nothing can be written."""
    untold: list[str] = []
    way = OBEYING if os.getuid() == 0 else RUN
    with opened(tortured, untold, way) as found:
        writable(tortured.data, yes=False)
        try:
            for path, name in (
                ("photographs/add/", "photographs"),
                ("recordings/add/", "recordings"),
            ):
                answer = found.upload(
                    tortured.visit + path, name, b"\x89PNG\r\n\x1a\n" + bytes(999_999)
                )
                untold += wanting_words(f"{path} in a folder only to read", answer)
            untold += wanting_words("a page", found.send("/visits/", b"", "text/plain"))
        finally:
            writable(tortured.data, yes=True)
        tortured.save(found)
    writable(tortured.data, yes=False)
    try:
        answer = run(tortured.data, "bench", "--no-browser", way=way, **tortured.more)
        untold += refused_in_a_sentence("a start in a folder only to read", answer)
    finally:
        writable(tortured.data, yes=True)
    return untold


def writable(folder: Path, *, yes: bool) -> None:
    """Let the folder and all in it be written to, or not."""
    for path in (folder, *folder.rglob("*")):
        mode = path.stat().st_mode & 0o777
        path.chmod(mode | 0o200 if yes else mode & ~0o222)


def refused_in_a_sentence(what: str, ended) -> list[str]:
    """Return what a command did not tell that had to be refused."""
    good = ended.returncode == 2 and ended.stderr.startswith("sideshake: ")
    if good and not NOT_TOLD.search(ended.stderr + ended.stdout):
        return []
    return [f"{what}: {ended.returncode} {ended.stdout[-300:]} {ended.stderr[-1200:]}"]


def a_damaged_database(tortured: Tortured) -> list[str]:
    """Start with a database that is cut short, overwritten or no database; bring it back."""
    database, untold = tortured.data / "workshop.sqlite3", []
    whole = database.read_bytes()
    try:
        for what, spoilt in (
            ("cut short", whole[: len(whole) // 2]),
            ("no database", b"no database " * 500),
            ("header overwritten", bytes(512) + whole[512:]),
            ("middle overwritten", whole[:8192] + os.urandom(len(whole) - 8192)),
            ("empty", b""),
        ):
            database.write_bytes(spoilt)
            answer = run(tortured.data, "bench", "--no-browser", **tortured.more)
            untold += refused_in_a_sentence(f"a start with a database {what}", answer)
            if answer.returncode == 2 and "sideshake restore" not in answer.stderr:
                untold.append(f"{what}: no way back is named: {answer.stderr}")
    finally:
        for path in tortured.data.glob("workshop.sqlite3*"):
            path.unlink()
        database.write_bytes(whole)
    return untold


def a_database_that_is_gone(tortured: Tortured) -> list[str]:
    """Look at pages while the database is away; afterwards all is there again."""
    untold: list[str] = []
    with opened(tortured, untold) as found:
        with taken_away(tortured):
            for path in ("/", tortured.visit, "/settings/", "/visits/"):
                answer = found.send(path, None)
                untold += wanting_words(f"{path} without a database", answer)
                if answer[0] < 400:
                    untold.append(f"{path} was shown without a database")
        tortured.save(found)
    return untold


@contextmanager
def taken_away(tortured: Tortured) -> Iterator[None]:
    """Take the database away for a while."""
    if tortured.more:
        with renamed(tortured.more["DATABASE_URL"]):
            yield
        return
    aside = tortured.folder / "aside"
    aside.mkdir(exist_ok=True)
    names = [path.name for path in tortured.data.glob("workshop.sqlite3*")]
    for name in names:
        shutil.move(tortured.data / name, aside / name)
    try:
        yield
    finally:
        for path in tortured.data.glob("workshop.sqlite3*"):
            path.unlink()
        for name in names:
            shutil.move(aside / name, tortured.data / name)


@contextmanager
def renamed(address: str) -> Iterator[None]:
    """Give a PostgreSQL database another name for a while, and end who is connected."""
    import psycopg

    beside = address.replace("/workshop?", "/postgres?")
    with psycopg.connect(beside, autocommit=True) as database:
        database.execute(
            "select pg_terminate_backend(pid) from pg_stat_activity where datname = 'workshop'"
        )
        database.execute("alter database workshop rename to away")
        try:
            yield
        finally:
            database.execute("alter database away rename to workshop")


def a_clock_that_jumps(tortured: Tortured) -> list[str]:
    """Work while the clock jumps by days and years, forwards and back."""
    untold: list[str] = []
    by = tortured.folder / "shift"
    way = [sys.executable, "-c", SHIFTED]
    for shift_s in (0, 400 * DAY_S, -3650 * DAY_S, -DAY_S / 24, 0):
        shifted(by, shift_s)
        with opened(tortured, untold, way, SHIFTED_BY=str(by)) as found:
            tortured.save(found)
            shifted(by, shift_s - 2 * DAY_S)
            untold += wanting_words("a page after two days back", found.send("/", None))
            shifted(by, shift_s + 30 * DAY_S)
            untold += wanting_words("a page after thirty days", found.send("/", None))
    return untold


def shifted(by: Path, shift_s: float) -> None:
    """Set the clock of the workshop; in one step, since it is read all the time."""
    fresh = by.with_suffix(".new")
    fresh.write_text(str(shift_s))
    fresh.replace(by)


def wrong_addresses(tortured: Tortured) -> list[str]:
    """Start with addresses at which there is no database."""
    untold = []
    for address in WRONG_ADDRESSES:
        answer = run(tortured.folder / "none", "bench", "--no-browser", DATABASE_URL=address)
        untold += refused_in_a_sentence(f"DATABASE_URL={address}", answer)
    return untold


def several_benches(tortured: Tortured) -> list[str]:
    """Let two benches work on one database at once; one is killed, the other goes on."""
    untold: list[str] = []
    shared = {**tortured.more, "SIDESHAKE_FILES": str(tortured.data / "files")}
    benches: list[Open] = []
    try:
        for folder in (tortured.data, tortured.folder / "second"):
            benches.append(Open(folder, "--port", str(free_port()), **shared))
            benches[-1].come_in()
        with ThreadPoolExecutor(4) as pool:
            for work in (tortured.upload_photograph, tortured.save):
                list(pool.map(work, benches))
        benches[0].kill()
        tortured.upload_photograph(benches[1])
        code, rest, errors = benches[1].close()
    finally:
        for each in benches:
            if each.process.poll() is None:
                each.kill()
    if NOT_TOLD.search(rest + errors) or code:
        untold.append((rest + errors)[-1500:])
    return untold


TRIALS: dict[str, Callable[[Tortured], list[str]]] = {
    "a full disk": a_full_disk,
    "a folder only to read": a_folder_only_to_read,
    "a damaged database": a_damaged_database,
    "a database that is gone": a_database_that_is_gone,
    "a clock that jumps": a_clock_that_jumps,
    "wrong DATABASE_URLs": wrong_addresses,
    "several benches on one database": several_benches,
}
ONLY_ON_A_FILE = {"a damaged database"}
ONLY_ON_A_SERVER = {"several benches on one database"}


def trials_on(address: str) -> dict[str, Callable[[Tortured], list[str]]]:
    """Return the strains that can be tried on a database: on a file, where no address is given."""
    out = ONLY_ON_A_FILE if address else ONLY_ON_A_SERVER
    return {name: strain for name, strain in TRIALS.items() if name not in out}
