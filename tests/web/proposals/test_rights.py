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


FORM, RIGHT = "I/we (*) hereby give notice that I/we (*) withdraw", "Your right of withdrawal"
BOTH = {"withdrawal": True, "withdrawal_form": True}


@pytest.mark.parametrize(("chosen", "vat", "printed"), [
    (BOTH, "", True),
    (BOTH, "NL000099998B57", False),
    ({"withdrawal": True}, "", False),
    ({"withdrawal_form": True}, "", False),
    ({**BOTH, "withdrawal_words": " "}, "", False),
])  # fmt: skip
def test_the_form_of_withdrawal_is_for_consumers_where_the_workshop_has_chosen_it(
    visit, drafted, chosen, vat, printed
):
    visit.watch.owner.tax_number = vat
    visit.watch.owner.save()
    words = words_of(proposal_given(drafted(**chosen)).data)
    assert [each in words for each in (FORM, RIGHT)] == [printed] * 2
    assert (WITHDRAWAL in words) == (
        bool(chosen.get("withdrawal")) and "withdrawal_words" not in chosen and not printed
    )
    assert "check your local law" not in words


def test_the_form_names_workshop_watch_and_proposal_and_has_the_lines_of_the_directive(drafted):
    # Directive 2011/83/EU, Annex I (B): to whom, notice, ordered on, name, address, signature, date
    usual(name="Quill", address="Mill Lane 3\nAldermoor", email="bench@example.org")
    words = words_of(proposal_given(drafted(**BOTH)).data)
    assert "To Quill, Mill Lane 3, Aldermoor, bench@example.org" in words
    assert "work on expedition chronograph (proposal 2026-001, version 1)" in words
    lines = ("Ordered on", "Name of the consumer", "Address of the consumer", "Signature, if",
             "Date (*)")  # fmt: skip
    places = [words.index(each) for each in lines]
    assert places == sorted(places)


def test_a_sent_proposal_keeps_the_form_whatever_the_settings_say_later(drafted, colleague):
    proposal = drafted(**BOTH)
    send_proposal(proposal, colleague, on=DAY)
    before = proposal_given(Proposal.objects.get()).data
    usual(withdrawal=False, withdrawal_form=False)
    kept = Proposal.objects.get()
    assert kept.withdrawal_form
    assert proposal_given(kept).data == before
    assert FORM in words_of(before)


def test_one_that_was_sent_without_the_form_never_gets_it(drafted, colleague):
    send_proposal(drafted(withdrawal=True), colleague, on=DAY)
    usual(**BOTH)
    kept = Proposal.objects.get()
    assert not kept.withdrawal_form
    assert FORM not in words_of(proposal_given(kept).data)


def test_a_business_keeps_no_form_that_was_ticked_before_it_was_known_as_one(
    visit, drafted, colleague
):
    proposal = drafted(**BOTH)
    visit.watch.owner.tax_number = "NL000099998B57"
    visit.watch.owner.save()
    send_proposal(Proposal.objects.get(pk=proposal.pk), colleague, on=DAY)
    kept = Proposal.objects.get()
    assert not kept.withdrawal_form
    assert WITHDRAWAL in kept.rights


@pytest.mark.parametrize(("vat", "offered"), [("", True), ("NL000099998B57", False)])
def test_the_form_is_offered_for_a_consumer_s_proposal(client, visit, drafted, vat, offered):
    visit.watch.owner.tax_number = vat
    visit.watch.owner.save()
    drafted(withdrawal=True)
    page = client.get(EDIT).content.decode()
    assert ("with its instructions and a form to send back" in page.lower()) == offered
    client.post(EDIT, {"withdrawal": "on", "withdrawal_form": "on", "deposit": "", "weeks": "",
                       "seen": Proposal.objects.get().version})  # fmt: skip
    assert (FORM in words_of(proposal_given(Proposal.objects.get()).data)) == offered
    page = client.get("/visits/2026-001/proposal/1/").content.decode()
    assert ("with instructions and form" in page) == offered
