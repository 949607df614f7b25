"""A real browser before a real workshop: chromium, a server of the test's own, somebody signed in.

A page that writes an error to the console, breaks the content policy, cannot load something or
fails at the server fails its test. Without chromium the tests are skipped, unless
SIDESHAKE_NOTHING_SKIPPED is 1.
"""

import os
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import pytest
from axe_core_python.base import AXE_SCRIPT
from django.core.cache import cache
from django.core.handlers.wsgi import WSGIHandler
from django.core.servers.basehttp import ThreadedWSGIServer
from django.db import connections
from django.test.testcases import LiveServerThread
from playwright.sync_api import Browser, BrowserContext, Page, Response, sync_playwright

from sideshake.web.base.saving import save
from sideshake.web.models import Owner, Role, User, Visit, Watch, Workshop
from sideshake.web.people.sign_in import new_link
from tests.browser.looks import SMALL, TARGET_PX

CHROMIUM = Path("/usr/bin/chromium")
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
MICROPHONE = ("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream")
SIZES = {
    "desktop": {"viewport": {"width": 1280, "height": 800}},
    "tablet": {"viewport": {"width": 768, "height": 1024}, "has_touch": True},
    "telephone": {"viewport": {"width": 390, "height": 844}, "has_touch": True},
}
BOTH = ("desktop", "tablet")
"""At which sizes each test of `desk` runs; test_every_page_fits.py looks at a telephone's."""
PATIENCE_MS = 15_000
MOST_TABS = 250
FOCUSED = """() => { const here = document.activeElement;
  const told = here.ariaLabel || here.labels?.[0]?.innerText || here.innerText || here.value || "";
  return here === document.body ? "" : told.trim(); }"""
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
CHECK = """async (tags) => (await axe.run({runOnly: {type: "tag", values: tags}})).violations
  .flatMap((broken) => broken.nodes.map((node) => `${broken.id}: ${node.html.slice(0, 200)}
    ${node.failureSummary}`))"""

WIDE = """() => { const page = document.documentElement;
  if (page.scrollWidth <= page.clientWidth) return [];
  return [page.scrollWidth, ...[...document.querySelectorAll("body *")].map((each) =>
    each.closest(".scroll") || each.getBoundingClientRect().right <= page.clientWidth
      ? "" : each.outerHTML.slice(0, 100)).filter(Boolean).slice(-4)]; }"""


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """One chromium for all tests of this folder."""
    if not CHROMIUM.exists():
        missing = f"no browser at {CHROMIUM}: apt-get install chromium"
        if os.environ.get("SIDESHAKE_NOTHING_SKIPPED") == "1":
            pytest.fail(missing)
        pytest.skip(missing)
    # playwright runs a loop in this thread, though none of our own code is asynchronous
    with pytest.MonkeyPatch.context() as patch, sync_playwright() as playwright:
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield chromium
        chromium.close()


class OneAtATime:
    """Answers one request after the other: a database in memory has one connection for all."""

    def __init__(self, application: Callable) -> None:
        self.application = application
        self.turn = threading.Lock()

    def __call__(self, environ, start_response):
        with self.turn:
            return self.application(environ, start_response)


class SharingServer(ThreadedWSGIServer):
    """Leaves a shared connection alone when a browser hangs up: the test may be over by then."""

    def _close_connections(self) -> None:
        if not self.connections_override:
            super()._close_connections()


class ServerThread(LiveServerThread):
    server_class = SharingServer


@pytest.fixture
def house(transactional_db, settings, tmp_path, monkeypatch) -> Iterator[str]:
    """The address of a running workshop with an empty data folder; its static files included."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    cache.clear()
    Workshop.objects.create(name="The house on the quay")  # whose workshop it is, is said already
    settings.DATA = tmp_path
    settings.FILES = tmp_path / "files"
    settings.BACKUPS = tmp_path / "backups"
    settings.FILE_UPLOAD_TEMP_DIR = str(tmp_path)
    shared = {
        alias: connections[alias]
        for alias in connections
        if connections[alias].vendor == "sqlite" and connections[alias].is_in_memory_db()
    }
    server = ServerThread(
        "127.0.0.1", lambda _media: OneAtATime(WSGIHandler()), connections_override=shared
    )
    server.daemon = True
    for connection in shared.values():
        connection.inc_thread_sharing()
    server.start()
    server.is_ready.wait()
    if server.error:
        raise server.error
    yield f"http://127.0.0.1:{server.port}"
    server.terminate()
    for connection in shared.values():
        connection.dec_thread_sharing()


@dataclass
class Desk:
    """Somebody at a browser: its page, and everything that went wrong on it."""

    house: str
    page: Page
    wrong: list[str] = field(default_factory=list)
    expected: set[int] = field(default_factory=set)
    """Answers that are no fault here, such as 409 when somebody else was quicker."""
    forgiven: tuple[str, ...] = ()
    """What a connection that a test cuts by intention is blamed for."""

    def watch(self) -> None:
        """Note whatever goes wrong from now on."""
        self.page.set_default_timeout(PATIENCE_MS)
        self.page.on("console", self._console)
        self.page.on("pageerror", lambda error: self.wrong.append(f"page error: {error}"))
        self.page.on("requestfailed", self._failed)
        self.page.on("response", self._answered)

    def _console(self, message) -> None:
        told = any(f"status of {status}" in message.text for status in self.expected)
        told = told or any(each in message.text for each in self.forgiven)
        if message.type in ("error", "warning") and not told:
            self.wrong.append(f"console: {message.text} ({message.location.get('url')})")

    def _failed(self, request) -> None:
        # leaving a page ends what it was still loading
        ended = ("net::ERR_ABORTED", *(f"net::{each}" for each in self.forgiven))
        if request.failure not in ended:
            self.wrong.append(f"not loaded: {request.url}: {request.failure}")

    def _answered(self, response: Response) -> None:
        if response.status >= 400 and response.status not in self.expected:
            self.wrong.append(f"{response.status}: {response.url}")

    def go(self, path: str) -> None:
        """Open a page of the workshop."""
        self.page.goto(f"{self.house}{path}")

    def look(self) -> None:
        """Hold the page against axe-core's rules; script given by hand is outside the policy."""
        self.page.evaluate(AXE_SCRIPT)
        faults = self.page.evaluate(CHECK, WCAG)
        assert not faults, f"{self.page.url}\n" + "\n".join(faults)
        small = self.page.evaluate(SMALL, TARGET_PX)
        assert not small, f"{self.page.url}: hard to hit: {small}"
        assert not self.beyond(), f"{self.page.url} is wider than the screen: {self.beyond()}"

    def beyond(self) -> list[object]:
        """Return how wide a page is that is wider than the screen, and what reaches beyond it."""
        return self.page.evaluate(WIDE)

    def come_in(self, user: User) -> None:
        """Sign in by a one-time link, as at the first start."""
        self.go(f"/sign-in/{new_link(user)}/")
        with self.page.expect_navigation():
            self.page.get_by_role("button", name="Come in").press("Enter")
        assert self.page.url == f"{self.house}/"

    def press(self, key: str) -> None:
        """Press a key that leads to another page, and wait for that page."""
        before = self.page.evaluate("performance.timeOrigin")
        self.page.keyboard.press(key)
        self.page.wait_for_function("(before) => performance.timeOrigin !== before", arg=before)
        self.page.wait_for_load_state()

    def tab_to(self, name: str) -> None:
        """Tab on until what is called so has the focus; it must be reachable by keyboard."""
        passed = []
        for _each in range(MOST_TABS):
            now = self.page.evaluate(FOCUSED)
            if now.startswith(name):
                return
            passed.append(now)
            self.page.keyboard.press("Tab")
        pytest.fail(f"no way by Tab to {name!r} on {self.page.url}; passed {passed}")

    def write(self, field: str, text: str) -> None:
        """Tab to a field and type into it; what stood there goes."""
        self.tab_to(field)
        self.page.keyboard.press("ControlOrMeta+a")
        self.page.keyboard.type(text)

    def choose(self, field: str, text: str) -> None:
        """Tab to a list and type what to choose from it."""
        self.tab_to(field)
        self.page.keyboard.type(text)

    def tick(self, box: str) -> None:
        """Tab to a box and tick it by the space bar."""
        self.tab_to(box)
        self.page.keyboard.press("Space")

    def enter(self, name: str) -> None:
        """Tab to a button or link and press Enter; wait for the page it leads to."""
        self.tab_to(name)
        self.press("Enter")

    def shows(self, *words: str) -> None:
        """Fail unless the page shows each of these words."""
        text = self.page.inner_text("main")
        missing = [each for each in words if each not in text]
        assert not missing, f"{self.page.url} does not show {missing}:\n{text}"


Open = Callable[..., Desk]


@pytest.fixture
def open_desk(browser: Browser, house: str) -> Iterator[Open]:
    """Open a browser of a size for somebody; each one has its own cookies."""
    contexts: list[BrowserContext] = []
    desks: list[Desk] = []

    def opened(user: User | None = None, *, size: str = "desktop", **options) -> Desk:
        context = browser.new_context(**SIZES[size], locale="en-GB", **options)
        contexts.append(context)
        desk = Desk(house=house, page=context.new_page())
        desks.append(desk)
        desk.watch()
        if user is not None:
            desk.come_in(user)
        return desk

    yield opened
    for context in contexts:
        context.close()
    assert [told for desk in desks for told in desk.wrong] == []


@pytest.fixture
def listening_desk(browser: Browser, house: str, restorer: User) -> Iterator[Callable[..., Desk]]:
    """Open a browser of its own for the restorer; its microphone hears a sound file."""
    opened: list[tuple[Browser, Desk]] = []

    def listening(sound: Path, *, size: str = "desktop") -> Desk:
        own = browser.browser_type.launch(
            executable_path=CHROMIUM,
            args=[*FLAGS, *MICROPHONE, f"--use-file-for-fake-audio-capture={sound}"],
        )
        desk = Desk(house=house, page=own.new_context(**SIZES[size], locale="en-GB").new_page())
        opened.append((own, desk))
        desk.watch()
        desk.come_in(restorer)
        return desk

    yield listening
    for own, _desk in opened:
        own.close()
    assert [told for _own, desk in opened for told in desk.wrong] == []


@pytest.fixture
def restorer(transactional_db) -> User:
    return User.objects.create_user("Wenna Thrale", role=Role.OWNER)


@pytest.fixture
def colleague(transactional_db) -> User:
    return User.objects.create_user("Aldous Penhale", role=Role.COLLEAGUE)


@pytest.fixture(params=BOTH)
def desk(open_desk: Open, restorer: User, request) -> Desk:
    """The restorer's browser, at each size."""
    return open_desk(restorer, size=request.param)


@pytest.fixture
def visit(restorer: User) -> Visit:
    """A visit of an expedition chronograph of 18 000 beats an hour."""
    owner = Owner(name="Ottilie Marwood")
    save(owner, restorer)
    watch = Watch(owner=owner, title="expedition chronograph", calibre="tarnbrook-31")
    save(watch, restorer)
    day = date(2026, 3, 2)
    made = Visit(number="2026-001", watch=watch, arrived_on=day, step_since=day)
    save(made, restorer)
    return made
