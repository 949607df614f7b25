"""The customer's rights on proposals and invoices: with, without, frozen with the paper."""

from datetime import date

import pytest
from django.core.cache import cache

from sideshake.web.base.saving import save
from sideshake.web.documents.issuing import proposal_given, send_proposal
from sideshake.web.models import Option, Proposal, Workshop, the_workshop
from sideshake.web.proposals import services as proposing
from tests.pdf_words import words_of

DAY = date(2026, 3, 3)
LINE = {"kind": "work", "text": "Overhaul", "quantity": "1", "each": "119", "tax_percent": "19"}
WITHDRAWAL, GUARANTEE = "within 14 days of the day on which it was made", "Your statutory rights"
EDIT = "/visits/2026-001/proposal/1/edit/"


def usual(**chosen):
    the_workshop()
    Workshop.objects.update(**chosen)
    cache.clear()


@pytest.fixture
def drafted(visit, colleague):
    """Write a draft with one option, on a workshop with these usual rights."""

    def draft(**chosen):
        usual(**chosen)
        proposal = proposing.draft(visit, colleague, on=DAY)
        save(Option(proposal=proposal, title="Overhaul", lines=[LINE]), colleague)
        return Proposal.objects.get(pk=proposal.pk)

    return draft


@pytest.mark.parametrize(
    ("chosen", "printed", "left_out"),
    [
        ({}, (), ("Your rights", WITHDRAWAL, GUARANTEE)),
        ({"withdrawal": True}, ("Your rights", WITHDRAWAL), (GUARANTEE,)),
        ({"guarantee": True}, ("Your rights", GUARANTEE), (WITHDRAWAL,)),
        ({"withdrawal": True, "guarantee": True}, (WITHDRAWAL, GUARANTEE), ()),
        ({"withdrawal": True, "withdrawal_words": " "}, (), ("Your rights", WITHDRAWAL)),
    ],
)
def test_a_proposal_prints_the_rights_that_are_chosen_and_no_others(
    drafted, chosen, printed, left_out
):
    words = words_of(proposal_given(drafted(**chosen)).data)
    assert all(each in words for each in printed)
    assert not any(each in words for each in left_out)


def test_the_settings_are_only_the_usual_and_a_proposal_may_differ(client, drafted):
    proposal = drafted(withdrawal=True)
    page = client.get(EDIT).content.decode()
    assert "check your local law" in page
    client.post(EDIT, {"intro": "", "weeks": "", "deposit": "", "guarantee": "on",
                       "seen": proposal.version})  # fmt: skip
    words = words_of(proposal_given(Proposal.objects.get()).data)
    assert GUARANTEE in words
    assert WITHDRAWAL not in words


def test_a_sent_proposal_keeps_its_rights_whatever_the_settings_say_later(drafted, colleague):
    proposal = drafted(withdrawal=True)
    send_proposal(proposal, colleague, on=DAY)
    before = proposal_given(Proposal.objects.get()).data
    usual(withdrawal=False, withdrawal_words="Other words.")
    kept = Proposal.objects.get()
    assert proposal_given(kept).data == before
    assert WITHDRAWAL in kept.rights
    assert WITHDRAWAL in words_of(before)


def test_a_new_version_is_worded_anew(drafted, colleague):
    proposal = drafted(withdrawal=True)
    send_proposal(proposal, colleague, on=DAY)
    usual(withdrawal_words="Other words.")
    newer = proposing.new_edition(proposal, colleague, on=DAY, why="dearer")
    words = words_of(proposal_given(Proposal.objects.get(pk=newer.pk)).data)
    assert "Other words." in words
    assert WITHDRAWAL not in words


def test_a_proposal_from_before_there_were_rights_prints_none(drafted, colleague):
    proposal = drafted()
    send_proposal(proposal, colleague, on=DAY)
    usual(withdrawal=True, guarantee=True)
    assert "Your rights" not in words_of(proposal_given(Proposal.objects.get()).data)


@pytest.mark.parametrize(("chosen", "ticked"), [({}, 0), ({"withdrawal": True}, 1)])
def test_the_invoice_form_begins_with_the_usual_rights(client, visit, chosen, ticked):
    usual(**chosen)
    page = client.get("/visits/2026-001/invoice/").content.decode()
    assert page.count(" checked") == ticked
    assert page.count("check your local law") == 2


def test_the_settings_say_that_the_law_of_the_place_decides(client):
    page = client.get("/settings/").content.decode()
    assert "check your local law" in page
    assert "Print the right of withdrawal, usually" in page
