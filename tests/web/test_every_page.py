"""Every address that can be looked at: who may, how many questions it asks, is it sound HTML.

A new page belongs into READERS below, or this fails: think who may see it.
"""

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.core.cache import cache
from django.test import Client, override_settings
from filled_workshop import ALL, Rows, fill, gaps_of

from sideshake.web.base.saving import save
from sideshake.web.models import Owner, Role, User, Visit, Watch, the_workshop
from sideshake.web.workshop.models import WORKSHOP

from .conftest import undone_after

QUERIES = 19
"""Three more than for most pages: a visit also fetches its rounds and programmes of daily rates,
and the list of its papers those that were issued."""
EVERYBODY, PRICING, RUNNING = "everybody", "those who price", "the owner of the workshop"
READERS: dict[str, str] = {
    EVERYBODY: """
        papers report-pdf report-page card-pdf bench-pdf labels-pdf logo parts-pdf
        parts-drawing jewel-order-pdf jewel-order-drawing issued-paper
        add-photographs add-point add-recordings add-usual-finding answer arrival due edit-finding
        edit-owner edit-photograph edit-point edit-reading edit-watch findings have-made history
        look-over-list put-right
        home jewel jewel-drawing look-over measure measure-after desk place note-place
        desk-after place-after
        new-finding new-owner new-visit new-watch owner
        owners password photograph photograph-file reading reading-picture recording-file
        remove-finding remove-photograph remove-point remove-reading search section-picture
        shift-photograph sign-out step stop-reading a-watch no-watch today visit visits watch
        plan make-plan new-step plan-step tick-step turn-clock skip-step shift-step remove-step
        home-tests date-change make-tests home-test test-result remove-test
        drawer find-jewel new-item item edit-item remove-item new-batch edit-batch remove-batch
        use use-item use-batch used bring-back
        jewels jewel-order jewel-order-table receive-order edit-order
        outwork new-outwork edit-outwork outwork-back remove-outwork
        look look-wheel look-pivot look-points look-picture card card-pdf
        balance calibres calibre calibre-dial calibre-day-dial calibre-train calibre-spring
        calibre-toml new-calibre calibre-file edit-calibre calibre-history remove-calibre
        microphone begin-trial trial-sound
        clock forget-clock begin-clock clock-sound store-clock
        listen listen-round begin-listening add-sound finish-listening
        new-round round edit-round remove-round round-picture leave-round
        new-programme programme edit-programme leave-out-day end-programme remove-programme
        programme-picture mend-comparison take-back-comparison
        compare compared-picture compared-rings slowly slow-picture slow-sound
        rehear-reading rehear-visit rehear-watch rehearing stop-rehearing put-run-back
        put-reading-back removed take-back
    """,
    PRICING: """
        proposal-pdf invoice-pdf issue-paper issue-order show write-page show-consent
        withdraw-consent
        answer-proposal begin-proposal cancel-invoice change-proposal edit-option edit-payment
        edit-proposal invoice money new-invoice new-option new-payment proposal remove-option
        remove-payment send-proposal shift-option
    """,
    RUNNING: """
        people person person-link person-new person-password settings put-logo remove-logo
        stray-files put-stray-aside
        give-out-owner erase-owner
        rehear-all throw-old-away begin begun no-hints
    """,
}
"""Who may see each page, or send to it where there is nothing to see."""
WHO = {name: who for who, names in READERS.items() for name in names.split()}
OPEN = {"sign-in", "sign-in-link"}
"""Pages for those who are still outside."""
FINE = (200, 302, 409, 410, 422)
"""Shown, led on, told that the version seen or something else is missing, or a reading over."""


PAGES = sorted(set(ALL) - OPEN)


@dataclass(frozen=True)
class House:
    """A filled workshop, who works in it, and where its files lie."""

    people: dict[Role, User]
    visit: Visit
    rows: Rows
    files: Path


@pytest.fixture(scope="module")
def house(django_db_setup, django_db_blocker, tmp_path_factory) -> Iterator[House]:
    """The workshop that every test here looks at: filled once, since that takes longer than a look.

    What a test does to the records is taken back by `db`; the files it sees are a copy (`data`).
    """
    files = tmp_path_factory.mktemp("house") / "files"
    with django_db_blocker.unblock(), override_settings(FILES=files), undone_after():
        people = {role: User.objects.create_user(f"the {role}", role=role) for role in Role}
        by = people[Role.OWNER]
        owner = Owner(name="Ottilie Marwood", email="ottilie@example.org")
        save(owner, by)
        watch = Watch(owner=owner, title="expedition chronograph", calibre="tarnbrook-31")
        save(watch, by)
        day = date(2026, 3, 2)
        visit = Visit(number="2026-001", watch=watch, arrived_on=day, step_since=day)
        save(visit, by)
        yield House(people, visit, fill(visit, by, files), files)


@pytest.fixture(autouse=True)
def data(house, settings, tmp_path, monkeypatch) -> Path:
    shutil.copytree(house.files, tmp_path / "files")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    settings.DATA, settings.FILES = tmp_path, tmp_path / "files"
    settings.BACKUPS = tmp_path / "backups"
    settings.FILE_UPLOAD_TEMP_DIR = str(tmp_path)
    return tmp_path


@pytest.fixture
def client_of(house, db):
    """Sign a person of the house in: return their browser."""

    def signed_in(role: Role) -> Client:
        browser = Client()
        browser.force_login(house.people[role])
        return browser

    return signed_in


@pytest.fixture
def path_of(house, db):
    the_workshop()
    known = gaps_of(house.visit, house.rows, house.people[Role.APPRENTICE])
    return lambda name: ALL[name].filled(known)


def answer_to(client, path: str):
    """Return what comes when somebody looks; where nothing can be looked at, when they send.

    What was sent is taken back, so that the next one finds everything as it was.
    """
    with undone_after():
        answer = client.get(path)
        answer.close()
        if answer.status_code == 405:
            answer = client.post(path)
            answer.close()
    return answer


def test_each_page_says_who_may_read_it():
    assert sorted(set(ALL) - set(WHO) - OPEN) == []
    assert sorted((set(WHO) | OPEN) - set(ALL)) == []


@pytest.mark.parametrize("name", PAGES)
def test_each_may_what_is_theirs(client_of, path_of, name):
    who, path = WHO[name], path_of(name)
    for role, may in (
        (Role.APPRENTICE, who == EVERYBODY), (Role.COLLEAGUE, who != RUNNING), (Role.OWNER, True)
    ):  # fmt: skip
        assert answer_to(client_of(role), path).status_code in (FINE if may else (403,))


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_sound_and_asks_few_questions(
    client_of, path_of, name, django_assert_max_num_queries
):
    client, path = client_of(Role.OWNER), path_of(name)
    cache.delete(WORKSHOP)
    with django_assert_max_num_queries(QUERIES):
        answer = client.get(path)
    answer.close()
    if answer.status_code == 200 and answer.headers["Content-Type"].startswith("text/html"):
        assert faults(answer.content.decode()) == []


@pytest.mark.parametrize("name", sorted(OPEN))
def test_the_door_is_sound(stranger, db, name):
    assert faults(stranger.get(ALL[name].filled({"token": "x"})).content.decode()) == []


VOID = {"br", "hr", "img", "input", "link", "meta", "source", "col", "wbr", "area", "base", "track"}
MAY_STAY_OPEN = {"li", "p", "td", "th", "tr", "dt", "dd", "option", "thead", "tbody"}
NO_LABEL = {"hidden", "submit", "button", "reset", "image"}


@dataclass
class Reader(HTMLParser):
    """Notes what a page is made of."""

    ids: list[str] = field(default_factory=list)
    headings: list[int] = field(default_factory=list)
    labels: set[str] = field(default_factory=set)
    asked: list[dict[str, str | None]] = field(default_factory=list)
    pointed_at: list[str] = field(default_factory=list)
    keys: list[tuple[str, bool]] = field(default_factory=list)
    """Each key that presses something, and whether it is in the page itself or round it."""
    lang: str | None = None
    wrong: list[str] = field(default_factory=list)
    open: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        if tag not in VOID:
            self.open.append(tag)
        if "id" in given:
            self.ids.append(given["id"])
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if "data-key" in given:
            self.keys.append((given["data-key"] or "", "main" in self.open))
        if tag == "html":
            self.lang = given.get("lang")
        if tag == "label":
            self.labels.add(given.get("for", ""))
        if tag in ("input", "select", "textarea") and given.get("type") not in NO_LABEL:
            self.asked.append({**given, "inside": "label" if "label" in self.open else None})
        self.look_at(tag, given)

    def look_at(self, tag, given):
        """Note what is wrong with one element alone."""
        if tag == "img" and "alt" not in given:
            self.wrong.append(f"a picture without words: {given}")
        if tag == "a" and (given.get("href") or "").startswith("#"):
            self.pointed_at.append(given["href"][1:])
        for name in ("for", "aria-describedby", "aria-labelledby"):
            self.pointed_at += (given.get(name) or "").split()

    def handle_endtag(self, tag):
        while self.open and self.open[-1] != tag and self.open[-1] in MAY_STAY_OPEN:
            self.open.pop()
        if not self.open or self.open.pop() != tag:
            self.wrong.append(f"</{tag}> closes nothing")

    def nameless(self) -> list[str]:
        """Return the fields that nobody could name."""
        return [
            str(each)
            for each in self.asked
            if not (
                each.get("aria-label")
                or each.get("aria-labelledby")
                or each["inside"]
                or each.get("id") in self.labels
            )
        ]


def twice(keys: list[tuple[str, bool]]) -> list[str]:
    """Return the keys of two things among which a press could not choose."""
    return [key for key, inside in set(keys) if keys.count((key, inside)) > 1]


def faults(page: str) -> list[str]:
    reader = Reader()
    reader.feed(page)
    wrong = list(reader.wrong)
    wrong += [f"id twice: {each}" for each in set(reader.ids) if reader.ids.count(each) > 1]
    wrong += [f"key twice: {key}" for key in twice(reader.keys)]
    wrong += [f"no label: {each}" for each in reader.nameless()]
    wrong += [f"leads nowhere: #{each}" for each in set(reader.pointed_at) - set(reader.ids)]
    wrong += [f"never closed: {each}" for each in reader.open if each not in MAY_STAY_OPEN]
    if reader.headings.count(1) != 1 or reader.headings[0] != 1:
        wrong.append(f"one h1 and it comes first: {reader.headings}")
    if not reader.lang:
        wrong.append("no language told")
    steps = zip(reader.headings, reader.headings[1:], strict=False)
    wrong += [f"h{one} then h{two}" for one, two in steps if two > one + 1]
    return wrong


@pytest.mark.parametrize(
    ("page", "told"),
    [
        ("<h1>a</h1><p id=a><p id=a>", "id twice: a"),
        ("<h1>a</h1><b data-key=s></b><b data-key=s></b>", "key twice: s"),
        ("<h1>a</h1><p aria-describedby=c>", "leads nowhere: #c"),
        ("<html><h1>a</h1></html>", "no language told"),
        ("<h2>a</h2>", "one h1"),
        ("<h1>a</h1><h3>b</h3>", "h1 then h3"),
        ("<h1>a</h1><input name=a>", "no label"),
        ("<h1>a</h1><img src=a>", "without words"),
        ("<h1>a</h1><a href='#b'>b</a>", "leads nowhere: #b"),
        ("<h1>a</h1></div>", "closes nothing"),
        ("<h1>a</h1><div>", "never closed: div"),
    ],
)
def test_an_unsound_page_is_noticed(page, told):
    assert told in " ".join(faults(page))
