"""Every address that can be looked at: who may, how many questions it asks, is it sound HTML.

A new page belongs into READERS below, or this fails: think who may see it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest
import soundfile
from django.core.cache import cache
from django.db import transaction
from django.db.models import Model
from django.urls import URLPattern, URLResolver, get_resolver
from PIL import Image

from sideshake.bench.models import (
    Batch,
    Earlier,
    Finding,
    Invoice,
    Item,
    JewelOrder,
    LookOver,
    Measurement,
    Option,
    Outwork,
    Payment,
    Photograph,
    PlanStep,
    Programme,
    Proposal,
    Reading,
    Recording,
    Rehearing,
    Round,
    Used,
    the_workshop,
)
from sideshake.bench.models.people import WORKSHOP
from sideshake.bench.services.clock_check import begin
from sideshake.bench.services.clock_session import Reference

QUERIES = 17
"""Two more than for most pages: a visit also fetches its rounds and programmes of daily rates."""
EVERYBODY, PRICING, RUNNING = "everybody", "those who price", "the owner of the workshop"
READERS: dict[str, str] = {
    EVERYBODY: """
        papers report-pdf report-page card-pdf bench-pdf labels-pdf logo parts-pdf
        parts-drawing jewel-order-pdf jewel-order-drawing
        add-photographs add-point add-recordings add-usual-finding answer arrival due edit-finding
        edit-owner edit-photograph edit-point edit-reading edit-watch findings have-made history
        look-over-list put-right
        home jewel jewel-drawing look-over measure measure-after
        new-finding new-owner new-visit new-watch owner
        owners password photograph photograph-file reading reading-picture recording-file
        remove-finding remove-photograph remove-point remove-reading search section-picture
        shift-photograph sign-out step stop-reading a-watch no-watch today visit visits watch
        plan make-plan new-step plan-step tick-step turn-clock skip-step shift-step remove-step
        home-tests date-change make-tests home-test test-result remove-test
        drawer find-jewel new-item item edit-item remove-item new-batch edit-batch remove-batch
        use use-item use-batch used bring-back
        jewels jewel-order jewel-order-table receive-order
        outwork new-outwork edit-outwork outwork-back remove-outwork
        balance calibres calibre calibre-dial
        clock forget-clock begin-clock clock-sound store-clock
        listen listen-round begin-listening add-sound finish-listening
        new-round round edit-round remove-round round-picture leave-round
        new-programme programme edit-programme leave-out-day end-programme remove-programme
        programme-picture mend-comparison take-back-comparison
        compare compared-picture compared-rings slowly slow-picture slow-sound
        rehear-reading rehear-visit rehear-watch rehearing stop-rehearing put-run-back
        put-reading-back
    """,
    PRICING: """
        proposal-pdf invoice-pdf show write-page show-consent withdraw-consent
        answer-proposal begin-proposal cancel-invoice change-proposal edit-option edit-payment
        edit-proposal invoice money new-invoice new-option new-payment proposal remove-option
        remove-payment send-proposal shift-option
    """,
    RUNNING: """
        people person person-link person-new person-password settings put-logo remove-logo
        rehear-all
    """,
}
"""Who may see each page, or send to it where there is nothing to see."""
WHO = {name: who for who, names in READERS.items() for name in names.split()}
OPEN = {"sign-in", "sign-in-link"}
"""Pages for those who are still outside."""
FINE = (200, 302, 410, 422)
"""Shown, led on, told that a live reading is over, or what is missing in what was sent."""


@dataclass(frozen=True)
class Address:
    name: str
    pattern: str

    def filled(self, known: dict[str, object]) -> str:
        """Return the address with each gap filled: by what stands before it, or by its own name."""

        def fitting(gap: re.Match) -> str:
            room, between, name = gap.groups()
            return f"{room}{between}{known[room] if room in known else known[name]}"

        return re.sub(r"([\w-]*)([/.])<(?:\w+:)?(\w+)>", fitting, self.pattern)


def addresses(found=None, before: str = "/") -> Iterator[Address]:
    for entry in get_resolver().url_patterns if found is None else found:
        here = before + str(entry.pattern)
        if isinstance(entry, URLResolver):
            yield from addresses(entry.url_patterns, here)
        elif isinstance(entry, URLPattern):
            yield Address(str(entry.name), here)


ALL = {each.name: each for each in addresses()}
PAGES = sorted(set(ALL) - OPEN)


DAY = date(2026, 3, 5)
SIZES = {
    "above.hole_long_mm": 1.012, "above.hole_short_mm": 0.936, "above.long_axis_deg": 95,
    "above.pivot_mm": 0.896, "above.room_mm": 2.8, "above.edge_mm": 1.6,
    "above.thickness_mm": 0.6, "below.hole_mm": 0.928, "below.pivot_mm": 0.897,
    "below.room_mm": 2.4, "below.thickness_mm": 0.55, "barrel.endshake_mm": 0.045,
    "barrel.gap_bridge_mm": 0.2, "barrel.gap_plate_mm": 0.21,
    "directions.centre_wheel_deg": 60, "directions.crown_wheel_deg": 200,
}  # fmt: skip


class Rows(dict):
    """What a visit is filled with: the first row of each kind, by the name of its model."""

    def note(self, model: type[Model], **values) -> Model:
        made = model._default_manager.create(**values)
        return self.setdefault(model.__name__, made)


@pytest.fixture
def filled(visit, owner_of_workshop, data) -> Rows:
    """The visit with something in every table; its photograph and its recording lie on the disk."""
    rows = Rows()
    seen_and_heard(rows, visit, data / "files")
    worked(rows, visit, owner_of_workshop)
    priced(rows, visit)
    return rows


def seen_and_heard(rows: Rows, visit, files: Path) -> None:
    for folder in ("photographs", "recordings"):
        (files / folder).mkdir(parents=True)
    Image.new("RGB", (40, 30), "#c9b48a").save(files / "photographs" / "a.jpg")
    soundfile.write(files / "recordings" / "a.wav", [0.0] * 48000, 48000)
    photograph = rows.note(
        Photograph, visit=visit, stored="a.jpg", sha256="a", format="JPEG", bytes=9,
        width_px=40, height_px=30,
        marks=[{"across": 0.5, "down": 0.5, "text": "dent", "grave": False}],
    )  # fmt: skip
    rows.note(LookOver, visit=visit, question="winding", choice="g", said="Good")
    rows.note(Finding, visit=visit, key="oil-dried", title="oil dried", photograph=photograph)
    for key, value in SIZES.items():
        rows.note(Measurement, visit=visit, key=key, value=value, u=0.004)
    recording = rows.note(
        Recording, visit=visit, stored="a.wav", sha256="b", bytes=9, rate_hz=48000, duration_s=1
    )
    plan = [
        {"position": "CH", "chronograph_on": False},
        {"position": "6H", "chronograph_on": False},
    ]
    rows.note(
        Reading, visit=visit, recording=recording, state="heard", round=rows.note(
            Round, visit=visit, plan=plan
        ), position="CH", wound="full",
        sentence="Gains.", rate_s_per_day=6.2, rate_u_s_per_day=0.4, amplitude_deg=243,
        amplitude_u_deg=3, beat_error_ms=0.6, beat_error_u_ms=0.1, beats_per_hour=18000,
    )  # fmt: skip
    rows.note(
        Earlier, reading=rows["Reading"], fate="heard", sentence="Lost.",
        run=rows.note(Rehearing, scope="visit", of="2026-001", program="0.1.0", ear=2),
    )  # fmt: skip
    rows.note(
        Programme, visit=visit, size="large", begun_on=DAY,
        states=[{"at": f"2026-03-0{day}T08:00:00+00:00", "state_s": 2.5 * day} for day in (5, 6)],
    )  # fmt: skip


def worked(rows: Rows, visit, by) -> None:
    rows.note(PlanStep, visit=visit, key="open-case", place=1, title="Case opened", minutes=5)
    rows.note(PlanStep, visit=visit, key="beat", kind="test", place=2, title="Beat", unit="ms")
    item = rows.note(Item, name="jewel 0.91", kind="jewel", hole_mm=0.91)
    batch = rows.note(Batch, item=item, received_on=DAY, quantity=5)
    rows.note(Used, visit=visit, batch=batch, on=DAY, by=by)
    order = rows.note(JewelOrder, number="J1", to="a jewel maker", ordered_on=DAY)
    rows.note(
        Outwork, visit=visit, what="jewel", jewel=True, hole_mm=0.91, outside_mm=1.5,
        thickness_mm=0.3, order=order,
    )  # fmt: skip


def priced(rows: Rows, visit) -> None:
    line = {"kind": "work", "text": "overhaul", "quantity": "1", "each": "240", "tax_percent": "20"}
    proposal = rows.note(
        Proposal, visit=visit, edition=1, currency="EUR", made_on=DAY, state="agreed",
        answered_on=DAY, channel="phone",
    )  # fmt: skip
    rows.note(
        Option, proposal=proposal, key="overhaul", title="overhaul", lines=[line], chosen=True
    )
    rows.note(
        Invoice, visit=visit, number="2026-0001", issued_on=DAY, due_on=DAY, currency="EUR",
        lines=[line],
    )  # fmt: skip
    rows.note(Payment, visit=visit, amount=100, currency="EUR", on=DAY, deposit=True)


@pytest.fixture
def path_of(visit, filled, apprentice):
    the_workshop()
    known: dict[str, object] = {
        "visits": visit.number,
        "owners": visit.watch.owner_id,
        "watches": visit.watch_id,
        "people": apprentice.pk,
        "findings": filled["Finding"].pk,
        "photographs": filled["Photograph"].pk,
        "points": 0,
        "size": "small",
        "jewel": "above",
        "drawing": "svg",
        "sheet": 1,
        "ending": "svg",
        "card": "a6",
        "kind": "lateness",
        "readings": filled["Reading"].pk,
        "recordings": filled["Recording"].pk,
        "drawn": "positions",
        "proposal": filled["Proposal"].edition,
        "options": filled["Option"].pk,
        "invoices": filled["Invoice"].number,
        "payments": filled["Payment"].pk,
        "plan": filled["PlanStep"].pk,
        "tests": PlanStep.objects.get(kind="test").pk,
        "drawer": filled["Item"].pk,
        "use": filled["Item"].pk,
        "batch": filled["Batch"].pk,
        "batches": filled["Batch"].pk,
        "used": filled["Used"].pk,
        "jewels": filled["JewelOrder"].pk,
        "outwork": filled["Outwork"].pk,
        "calibres": "brisenthal-28",
        "clock": begin(Reference(recorder="desk", beats_per_hour=3600, within_ppm=10), 48000),
        "programmes": filled["Programme"].pk,
        "rounds": filled["Round"].pk,
        "hear-again": filled["Rehearing"].pk,
        "earlier": filled["Earlier"].pk,
        "comparisons": 1,
    }
    return lambda name: ALL[name].filled(known)


def answer_to(client, path: str):
    """Return what comes when somebody looks; where nothing can be looked at, when they send.

    What was sent is taken back, so that the next one finds everything as it was.
    """
    with transaction.atomic():
        answer = client.get(path)
        answer.close()
        if answer.status_code == 405:
            answer = client.post(path)
        transaction.set_rollback(True)
    return answer


def test_each_page_says_who_may_read_it():
    assert sorted(set(ALL) - set(WHO) - OPEN) == []
    assert sorted((set(WHO) | OPEN) - set(ALL)) == []


@pytest.mark.parametrize("name", PAGES)
def test_each_may_what_is_theirs(client, colleague_client, apprentice_client, path_of, name):
    who, path = WHO[name], path_of(name)
    assert answer_to(apprentice_client, path).status_code in (FINE if who == EVERYBODY else (403,))
    assert answer_to(colleague_client, path).status_code in (403,) if who == RUNNING else FINE
    assert answer_to(client, path).status_code in FINE


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_sound_and_asks_few_questions(
    client, path_of, name, django_assert_max_num_queries
):
    the_workshop()
    cache.delete(WORKSHOP)
    path = path_of(name)
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
