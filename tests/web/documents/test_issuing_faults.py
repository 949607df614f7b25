"""A fault at each step of issuing: no row, no file, no number is used up, nothing is lost."""

import os
import time
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from django.conf import settings

from sideshake.core.errors import InputError
from sideshake.documents.kinds import PaperKind
from sideshake.storage import files as store
from sideshake.web.base import saving
from sideshake.web.documents import issuing
from sideshake.web.models import Invoice, Issued, Option, Proposal
from sideshake.web.money import services as billing
from sideshake.web.money.services import Issuing
from sideshake.web.start import OTHER_BENCH_S, news_of, open_workshop

ROW = {"kind": "work", "text": "Overhaul", "quantity": "1", "each": "119", "tax_percent": "19"}
DAY = date(2026, 3, 30)
ASKED = Issuing(lines=[ROW], on=DAY, supplied_on=DAY)


class Fault(Exception):
    """What goes wrong in these tests."""


def broken(*_args, **_kwargs):
    raise Fault


def after(function):
    """Return the function, which works and then fails."""

    def failing(*args, **kwargs):
        function(*args, **kwargs)
        raise Fault

    return failing


STEPS = {
    "the record": (billing, "save", broken),
    "the paper is set": (issuing.makers, "pdf", broken),
    "the address": (issuing, "address_of", broken),
    "the folder is made": (issuing, "made_folder", broken),
    "the file is begun": (store, "write", broken),
    "the file is written and not yet named": (store, "write", after(store.write)),
    "the file is there": (issuing, "write_whole", after(issuing.write_whole)),
    "the row": (issuing, "save", broken),
    "the row is written": (issuing, "save", after(issuing.save)),
    "the history": (saving, "tell", broken),
    "the search text": (saving, "index_around", broken),
    "the bytes are given": (issuing, "as_made", broken),
}


def papers():
    """The files of papers, and what is left of unfinished ones."""
    return sorted(path.name for path in (Path(settings.FILES) / "papers").glob("*"))


@pytest.fixture
def earlier(visit, colleague):
    """An invoice that was issued before, and its bytes."""
    invoice = issuing.issue_invoice(visit, ASKED, colleague)
    return invoice, issuing.invoice_given(invoice).data


@pytest.mark.parametrize("step", STEPS)
def test_a_fault_while_an_invoice_is_issued_leaves_nothing_and_loses_nothing(
    earlier, visit, colleague, monkeypatch, step
):
    first, data = earlier
    before = papers()
    module, name, fault = STEPS[step]
    with monkeypatch.context() as faulty:
        faulty.setattr(module, name, fault)
        with pytest.raises(Fault):
            issuing.issue_invoice(visit, replace(ASKED, note="Thank you."), colleague)
    assert (Invoice.objects.count(), Issued.objects.count(), papers()) == (1, 1, before)
    assert issuing.invoice_given(Invoice.objects.get()).data == data
    again = issuing.issue_invoice(visit, replace(ASKED, note="Thank you."), colleague)
    assert (first.number, again.number) == ("INV-2026-001", "INV-2026-002")
    assert len(papers()) == 2


@pytest.mark.parametrize("step", ["the file is there", "the row is written", "the bytes are given"])
def test_a_fault_while_a_report_or_proposal_goes_out_leaves_nothing(
    visit, colleague, monkeypatch, step
):
    proposal = Proposal.objects.create(visit=visit, edition=1, currency="EUR", made_on=DAY)
    Option.objects.create(proposal=proposal, title="Overhaul", lines=[ROW])
    module, name, fault = STEPS[step]
    with monkeypatch.context() as faulty:
        faulty.setattr(module, name, fault)
        with pytest.raises(Fault):
            issuing.send_proposal(Proposal.objects.get(), colleague, on=DAY)
        if name != "as_made":
            with pytest.raises(Fault):
                issuing.issue_paper(
                    visit.number, issuing.IssueAsked(kind=PaperKind.REPORT), colleague, on=DAY
                )
    assert (papers(), Issued.objects.count()) == ([], 0)
    assert Proposal.objects.get().state == "draft"
    issuing.send_proposal(Proposal.objects.get(), colleague, on=DAY)
    assert len(papers()) == 1


def test_a_cancellation_that_fails_at_its_own_paper_leaves_the_first_invoice_as_it_was(
    earlier, colleague, monkeypatch
):
    first, data = earlier
    before = papers()
    with monkeypatch.context() as faulty:
        faulty.setattr(issuing, "save", after(issuing.save))
        with pytest.raises(Fault):
            issuing.cancel_invoice(first, colleague, on=DAY)
    assert (Invoice.objects.count(), papers()) == (1, before)
    assert issuing.invoice_given(Invoice.objects.get()).data == data


def test_a_file_that_another_paper_names_stays_when_a_later_issue_fails(
    visit, colleague, monkeypatch
):
    """The same report issued twice on one day has the same bytes and one file."""
    asked = issuing.IssueAsked(kind=PaperKind.REPORT)
    row = issuing.issue_paper(visit.number, asked, colleague, on=DAY)
    with monkeypatch.context() as faulty:
        faulty.setattr(issuing, "save", after(issuing.save))
        with pytest.raises(Fault):
            issuing.issue_paper(visit.number, asked, colleague, on=DAY)
    assert issuing.as_made(row).data.startswith(b"%PDF")


def test_no_room_on_the_disk_is_said_and_nothing_is_issued(visit, colleague, monkeypatch):
    def full(*_args):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(store, "write", full)
    with pytest.raises(InputError, match="no room left on the disk"):
        issuing.issue_invoice(visit, ASKED, colleague)
    assert (Invoice.objects.count(), papers()) == (0, [])


def test_a_paper_whose_row_was_never_written_is_put_aside_after_a_bad_end(earlier):
    """What remains when the workshop is killed between the file and its row."""
    (kept,) = papers()
    stray = issuing.place_of("0" * 32 + ".pdf")
    stray.write_bytes(b"%PDF of nobody")
    long_ago = time.time() - 2 * OTHER_BENCH_S
    os.utime(stray, (long_ago, long_ago))
    assert open_workshop().put_aside is None
    assert stray.exists()
    opened = open_workshop(ended_badly=True)
    assert (opened.put_aside.count, papers()) == (1, [kept])
    assert (Path(settings.FILES) / "unclaimed" / stray.name).read_bytes() == b"%PDF of nobody"
    assert any("record was never written: 1" in each for each in news_of(opened, ended_badly=True))
