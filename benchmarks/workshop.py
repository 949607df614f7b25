"""How long the workshop's pages take with 10,000 visits and 50,000 photographs; and its start.

Measured at the server: from the request to the finished page, templates and database included,
through Django's test client. The data are invented (`many_visits`) and lie in a folder that goes
away again.
"""

import argparse
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from socket import socket
from typing import Any
from urllib.error import URLError
from urllib.request import urlopen

from show import mark, say, show

RUNS, QUICK_RUNS = 50, 10
MEDIAN_MS, P95_MS, QUERIES, START_S = 100.0, 250.0, 15, 2.0
EVERY = 197
"""Visits are asked for this far apart, so that each run meets another one."""
QUIET = {"sign-in", "sign-in-link"}
PATIENCE_S = 30
STARTS = 3
SERVE = "from sideshake.command.main import main; main()"


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed:
    """One page, asked for many times."""

    name: str
    times_ms: tuple[float, ...]
    computing_ms: float
    """Of one request, by the processor's clock: what a busy machine does not lengthen."""
    queries: int
    bytes: int

    @property
    def median_ms(self) -> float:
        return statistics.median(self.times_ms)

    @property
    def p95_ms(self) -> float:
        return sorted(self.times_ms)[round(0.95 * (len(self.times_ms) - 1))]

    @property
    def good(self) -> bool:
        return self.median_ms < MEDIAN_MS and self.p95_ms < P95_MS and self.queries <= QUERIES


def patterns(found, before: str = "") -> Iterator[tuple[str, str]]:
    """Yield the name and the address, with its gaps, of every page."""
    for entry in found:
        here = before + str(entry.pattern)
        if hasattr(entry, "url_patterns"):
            yield from patterns(entry.url_patterns, here)
        elif entry.name:
            yield entry.name, "/" + here


def timed(client, name: str, paths: list[str]) -> Timed | None:
    """Return how long a page takes; None when the address is not one to look at."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    if client.get(paths[0]).status_code != 200:
        return None
    with CaptureQueriesContext(connection) as asked:
        size = len(client.get(paths[0]).getvalue())
    queries = len(asked.captured_queries)
    times_ms = []
    computing = time.process_time()
    for path in paths:
        start = time.perf_counter()
        answer = client.get(path)
        answer.getvalue()
        times_ms.append((time.perf_counter() - start) * 1e3)
    computing_ms = (time.process_time() - computing) * 1e3 / len(paths)
    return Timed(
        name=name, times_ms=tuple(times_ms), computing_ms=computing_ms, queries=queries, bytes=size
    )


GAP = re.compile(r"([\w-]*)/<(?:\w+:)?(\w+)>")
SEARCHES = (
    ("search: one word", "/search/?q=grandfather"),
    ("search: a name", "/search/?q=marwood+77"),
    ("search: nothing", "/search/?q=zzzz"),
    ("visits: words", "/visits/?words=crown"),
    ("visits: gone home", "/visits/?step=gone-home"),
    ("visits: last page", "/visits/?page=100"),
)
"""Pages that are asked for something."""


def known_about(visit: Any) -> dict[str, Any]:
    """Return what fills the gap after each room's name, for one visit."""
    used = visit.used.select_related("batch").get()
    invoice = visit.invoices.first()
    payment = visit.payments.first()
    proposal = visit.proposals.get()
    return {
        "visits": visit.number,
        "owners": visit.watch.owner_id,
        "watches": visit.watch_id,
        "findings": visit.findings.first().pk,
        "photographs": visit.photographs.first().pk,
        "readings": visit.readings.first().pk,
        "proposal": proposal.edition,
        "options": proposal.options.first().pk,
        "invoices": invoice.number if invoice else "",
        "payments": payment.pk if payment else "",
        "plan": visit.plan.filter(kind="work").first().pk,
        "tests": visit.plan.filter(kind="test").first().pk,
        "drawer": used.batch.item_id,
        "used": used.pk,
        "calibres": "tarnbrook-31",
        "people": visit.received_by_id,
    }


def path_of(address: str, known: dict[str, Any]) -> str:
    """Return the address with its gaps filled; empty when one is not known."""
    rooms = {room for room, _name in GAP.findall(address)}
    if not all(known.get(room) for room in rooms):
        return ""
    return GAP.sub(lambda gap: f"{gap[1]}/{known[gap[1]]}", address)


def show_pages(pages: list[Timed]) -> None:
    """Print the pages, the slowest first."""
    rows = [
        [page.name, f"{page.median_ms:.0f}", f"{page.p95_ms:.0f}", f"{page.computing_ms:.0f}",
         str(page.queries),
         f"{page.bytes / 1e3:.0f}", mark(page.good)]
        for page in sorted(pages, key=lambda page: -page.median_ms)
    ]  # fmt: skip
    title = f"Pages of the workshop (targets: {MEDIAN_MS:.0f} ms, {P95_MS:.0f} ms, {QUERIES})"
    show(
        title,
        ("page", "median, ms", "95th percentile, ms", "computing, ms", "queries", "kB", "target"),
        rows,
    )


def start_s(folder: Path) -> float:
    """Return how long the workshop takes from the command to its first page."""
    with socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-c", SERVE, "bench", "--no-browser", "--port", str(port)]
    begun = time.perf_counter()
    with subprocess.Popen(
        command, env=os.environ | {"SIDESHAKE_DATA": str(folder)}, stdout=subprocess.DEVNULL
    ) as server:
        try:
            while not answers(port) and time.perf_counter() - begun < PATIENCE_S:
                time.sleep(0.01)
            return time.perf_counter() - begun
        finally:
            server.terminate()


def answers(port: int) -> bool:
    """Return whether the workshop shows its door."""
    try:
        with urlopen(f"http://127.0.0.1:{port}/sign-in/", timeout=PATIENCE_S) as page:
            return page.status == 200
    except (URLError, ConnectionError):
        return False


def report(*, quick: bool = False) -> None:
    """Fill a workshop, ask for every page, print how long it took."""
    with tempfile.TemporaryDirectory(prefix="sideshake-bench-") as folder:
        os.environ["SIDESHAKE_DATA"] = folder
        os.environ.pop("DATABASE_URL", None)
        os.environ["DJANGO_SETTINGS_MODULE"] = "sideshake.web.settings"
        measure(Path(folder), quick=quick)


def measure(folder: Path, *, quick: bool) -> None:
    """Print how long each page takes in a workshop filled for it."""
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    begun = time.perf_counter()
    from many_visits import VISITS, Filler

    filler = Filler(visits=VISITS // 10 if quick else VISITS)
    filler.fill()
    size_mb = (folder / "workshop.sqlite3").stat().st_size / 1e6
    say(f"Filled in {time.perf_counter() - begun:.0f} s; the database holds {size_mb:.0f} MB.")
    pages, left_out = timed_pages(filler, QUICK_RUNS if quick else RUNS)
    show_pages(pages)
    started = [start_s(folder) for _each in range(STARTS)]
    told = ", ".join(f"{each:.2f}" for each in started)
    say(f"Started in {told} s (target: {START_S:g} s): {mark(max(started) < START_S)}")
    say(f"Not asked for, or nothing to see there: {', '.join(left_out) or 'none'}")


def timed_pages(filler, runs: int) -> tuple[list[Timed], list[str]]:
    """Return every page timed, and the names of those that cannot be asked for."""
    from django.conf import settings
    from django.test import Client

    from sideshake.web.models import Visit
    from sideshake.web.urls import urlpatterns

    settings.ALLOWED_HOSTS.append("testserver")
    client = Client()
    client.force_login(filler.people[0])
    pages, left_out = [], []
    visits = Visit.objects.filter(pk__in=[run * EVERY % filler.visits + 1 for run in range(runs)])
    known = [known_about(visit) for visit in visits.select_related("watch")]
    for name, address in [*patterns(urlpatterns), *SEARCHES]:
        paths = [path for each in known if (path := path_of(address, each))]
        found = timed(client, name, paths) if paths and name not in QUIET else None
        if found is None:
            left_out.append(name)
        else:
            pages.append(found)
    return pages, left_out


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    report(quick=parser.parse_args().quick)
