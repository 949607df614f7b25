"""The day and the way of an agreement, on invoice, report and in the data."""

from datetime import date

import pytest
from django.core.cache import cache

from sideshake.web.base.saving import save
from sideshake.web.documents.agreed import AGREED_BY, agreed_words
from sideshake.web.documents.bills import bill_of
from sideshake.web.documents.report import report_of
from sideshake.web.models import AnswerChannel, Invoice, Proposal, Workshop, the_workshop
from sideshake.web.visits.queries import whole_visit

DAY, LATER = date(2026, 5, 3), date(2026, 6, 1)
LINE = {"kind": "work", "text": "Overhaul", "quantity": "1", "each": "119", "tax_percent": "19"}


@pytest.fixture
def answered(visit, colleague):
    """Write a proposal of the visit with an answer."""

    def answer(**told):
        edition = visit.proposals.count() + 1
        start = {"edition": edition, "currency": "EUR", "made_on": DAY, "state": "agreed",
                 "answered_on": DAY, "channel": "email"}  # fmt: skip
        save(Proposal(visit=visit, **{**start, **told}), colleague)
        return visit

    return answer


def plain(words: str) -> str:
    """Return words with plain spaces: the way of the answer is kept on one line."""
    return words.replace("\N{NO-BREAK SPACE}", " ")


def invoiced(visit, **more):
    start = {"number": f"INV-2026-00{visit.invoices.count() + 1}", "issued_on": LATER,
             "due_on": LATER, "currency": "EUR", "supplied_on": LATER, "lines": [LINE]}  # fmt: skip
    return Invoice.objects.create(visit=visit, **{**start, **more})


@pytest.mark.parametrize(("channel", "words"), [
    ("email", "3 May 2026 by email"),
    ("phone", "3 May 2026 on the telephone"),
    ("letter", "3 May 2026 by letter"),
    ("here", "3 May 2026 in the workshop"),
    ("signed", "3 May 2026 on signed paper"),
    ("", "3 May 2026"),
])  # fmt: skip
def test_invoice_and_report_tell_when_and_how_the_owner_agreed(answered, channel, words):
    visit = answered(channel=channel)
    assert plain(bill_of(invoiced(visit)).agreed) == words
    assert plain(report_of(whole_visit(visit.number), day=LATER).agreed) == words


def test_every_way_to_answer_has_its_words():
    assert set(AGREED_BY) == set(AnswerChannel)


@pytest.mark.parametrize("told", [
    {"state": "sent"}, {"state": "declined"}, {"state": "replaced"}, {"answered_on": None},
    {"answered_on": date(2026, 6, 2)},
])  # fmt: skip
def test_what_is_not_agreed_or_not_known_or_came_later_is_not_told(answered, told):
    visit = answered(**told)
    assert bill_of(invoiced(visit)).agreed == ""
    assert report_of(whole_visit(visit.number), day=LATER).agreed == ""


def test_without_a_proposal_nothing_is_told(visit):
    assert agreed_words(visit, until=LATER) == ""


def test_of_two_versions_the_one_that_holds_is_told(answered):
    answered(state="replaced", answered_on=date(2026, 5, 1))
    visit = answered(answered_on=DAY, channel="here")
    assert plain(agreed_words(visit, until=LATER)) == "3 May 2026 in the workshop"


def test_a_cancellation_tells_what_it_cancels_and_no_agreement(answered):
    the_workshop()
    Workshop.objects.update(country="DE", tax_number="DE123456789")
    cache.clear()
    visit = answered()
    visit.watch.owner.country = "DE"
    first = invoiced(visit)
    back = invoiced(visit, cancels=first, lines=[{**LINE, "each": "-119"}])
    assert bill_of(back).agreed == ""
    data = [bill_of(each).data.decode() for each in (first, back)]
    assert ["Agreed on 3 May 2026 by email" in each for each in data] == [True, False]
    cancels = "This cancels our invoice INV-2026-001 of 1 June 2026 in full."
    assert [cancels in each for each in data] == [False, True]


@pytest.mark.parametrize(("told", "shown"), [({}, True), ({"state": "declined"}, False)])
def test_the_page_of_the_invoice_tells_it_too(client, answered, told, shown):
    invoiced(answered(**told))
    page = plain(client.get("/invoices/INV-2026-001/").content.decode())
    assert ("Agreed on" in page) == ("3 May 2026 by email" in page) == shown


def test_a_signed_paper_can_be_chosen_as_the_way_of_the_answer(client, answered):
    visit = answered(state="sent", sent_on=DAY, answered_on=None, channel="")
    page = client.get(f"/visits/{visit.number}/proposal/1/").content.decode()
    assert '<option value="signed">signed paper</option>' in page
