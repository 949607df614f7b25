"""Every page has one main button, the next press; a page that has none or several says why here."""

from html.parser import HTMLParser

import pytest
from filled_workshop import ALL

from sideshake.web.evidence.look_over import questions_for
from sideshake.web.models import (
    Invoice,
    LookOver,
    Payment,
    Photograph,
    PlanStep,
    Proposal,
    Visit,
    the_workshop,
)
from sideshake.web.visit_page.next_press import next_press
from sideshake.web.visit_page.sections.records import looked_over
from sideshake.web.visits.queries import whole_visit

NONE = {
    "search": "its results are the links",
    "removed": "each row has its own way back",
    "due": "each row leads to its watch",
    "history": "only read",
    "look-over": "the answers to a question are equal",
    "reading": "only read; its visit is a key away",
    "rehearing": "only read, once it has ended",
    "compare": "only read",
    "desk": "each bearing is its own link",
    "desk-after": "each bearing is its own link",
    "slowly": "only heard",
    "money": "each row leads to its invoice",
    "papers": "which paper is wanted is up to the visit",
    "home-tests": "each test has its own result",
    "use": "each piece is its own link",
    "jewels": "no jewel is wished",
    "outwork": "each row is put down as back",
    "stray-files": "every file has its record",
    "calibre": "only read",
    "calibre-history": "only read",
}
SEVERAL = {
    "clock": "the two that store appear when there is something to store",
    "add-photographs": "the way to the visit appears when all is sent",
    "add-recordings": "the way to the visit appears when all is sent",
}


NOT_PAGES = {"report-page", "sign-in", "sign-in-link", "recording-file", "slow-sound"}


class Presses(HTMLParser):
    """Notes the main buttons of a page: those that are neither second, plain nor a stop."""

    def __init__(self):
        super().__init__()
        self.inside, self.now, self.found = False, None, []

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        names = set((given.get("class") or "").split())
        if tag == "main":
            self.inside = True
        pressable = tag == "button" or (tag == "a" and "button" in names)
        if self.inside and pressable and not names & {"second", "plain", "stop"}:
            self.now = ""

    def handle_data(self, data):
        if self.now is not None:
            self.now += data

    def handle_endtag(self, tag):
        if tag in ("button", "a") and self.now is not None:
            self.found.append(" ".join(self.now.split()))
            self.now = None


def main_buttons(page: str) -> list[str]:
    reader = Presses()
    reader.feed(page)
    return reader.found


@pytest.fixture
def pages(client, path_of):
    found = {}
    for name in ALL:
        if name in NOT_PAGES or name.endswith(("pdf", "drawing", "picture")):
            continue
        answer = client.get(path_of(name))
        if answer.status_code == 200 and answer.headers["Content-Type"].startswith("text/html"):
            found[name] = b"".join(answer).decode()
        answer.close()
    return found


def test_every_page_has_one_main_button(pages):
    found = {name: main_buttons(page) for name, page in pages.items()}
    assert sorted(name for name, pressed in found.items() if not pressed) == sorted(NONE)
    assert sorted(name for name, pressed in found.items() if len(pressed) > 1) == sorted(SEVERAL)


@pytest.fixture
def at(visit, owner_of_workshop, apprentice):
    """What is pressed next at a step, by the owner of the workshop or by an apprentice."""

    def pressed(step, user=owner_of_workshop):
        Visit.objects.update(step=step)
        whole = whole_visit(visit.number)
        found = next_press(whole, user, unasked=looked_over(whole, user)["left"])
        return (found.words, found.open) if found else None

    return pressed


def test_an_arrived_watch_is_photographed_then_looked_over(at, visit):
    assert at("arrived") == ("Add photographs", "there is no photograph of how it came")
    Photograph.objects.create(
        visit=visit, stored="a.jpg", sha256="a", format="JPEG", bytes=9, width_px=4, height_px=3
    )
    left = len(questions_for(visit.watch))
    assert at("arrived") == (
        "Look it over", f"{left} questions of the look-over are not answered"
    )  # fmt: skip
    for each in questions_for(visit.watch):
        LookOver.objects.create(visit=visit, question=each.key, choice="g", said="Good")
    assert at("arrived") is None


def test_hint_and_next_press_tell_the_same_order(client, visit):
    """Photographs first, then the look-over: as the first visit is told, so every other."""
    first = client.get(f"/visits/{visit.number}/").context
    assert (first["hint"].press, first["press"].words) == ("Add photographs", "Add photographs")
    Photograph.objects.create(
        visit=visit, stored="a.jpg", sha256="a", format="JPEG", bytes=9, width_px=4, height_px=3
    )
    then = client.get(f"/visits/{visit.number}/").context
    assert (then["hint"].press, then["press"].words) == ("Look it over", "Look it over")


def test_a_proposal_is_begun_finished_and_answered(at, visit, apprentice):
    assert at("looked-over") == ("Begin the proposal", "there is no proposal")
    assert at("looked-over", apprentice) is None
    made = Proposal.objects.create(visit=visit, edition=1, currency="EUR", made_on="2026-03-05")
    assert at("looked-over") == ("Finish the proposal", "proposal 1 is not sent")
    Proposal.objects.filter(pk=made.pk).update(state="sent")
    told = "Ottilie Marwood has not answered proposal 1"
    assert at("proposed") == ("Write down the answer", told)
    Proposal.objects.filter(pk=made.pk).update(state="agreed")
    assert at("proposed") is None


def test_the_plan_and_the_tests_are_done_before_the_next_step(at, visit):
    assert at("agreed") == ("Make the bench plan", "there is no bench plan")
    work = PlanStep.objects.create(visit=visit, key="open", place=1, title="Case opened")
    assert at("agreed") is None
    assert at("on-the-bench") == ("Go on at the bench", "one step of the plan is open")
    PlanStep.objects.filter(pk=work.pk).update(done_at="2026-03-05T08:00:00Z")
    assert at("on-the-bench") is None
    assert at("on-test") == ("Test it", "no test is listed")
    PlanStep.objects.create(visit=visit, key="beat", kind="test", place=2, title="Beat")
    assert at("on-test") == ("Test it", "one test is open")
    PlanStep.objects.filter(kind="test").update(result="good")
    assert at("on-test") is None


def test_what_is_ready_is_invoiced_and_paid(at, visit, apprentice):
    assert at("ready") == ("New invoice", "no invoice is issued")
    assert at("ready", apprentice) is None
    line = {"kind": "work", "text": "x", "quantity": "1", "each": "240", "tax_percent": "0"}
    days = {"issued_on": "2026-03-05", "due_on": "2026-03-05"}
    Invoice.objects.create(visit=visit, number="I-1", currency="EUR", lines=[line], **days)
    assert at("ready") == ("Write down a payment", "€240.00 are still to be paid")
    Payment.objects.create(visit=visit, amount=240, currency="EUR", on="2026-03-05")
    assert at("ready") is None
    assert at("gone-home") is None


def test_the_page_says_it(client, visit):
    shop = the_workshop()
    shop.hints = False
    shop.save()
    page = client.get(f"/visits/{visit.number}/").content.decode()
    assert "Still open: there is no photograph of how it came." in page
    assert main_buttons(page) == ["Add photographs ,"]
