"""What was issued stays the very bytes, whatever changes afterwards."""

import hashlib
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.core.cache import cache
from django.utils import timezone

from sideshake.core.errors import InputError
from sideshake.documents.kinds import PaperKind
from sideshake.web.base.saving import save
from sideshake.web.documents import issuing
from sideshake.web.models import (
    Change,
    Finding,
    Invoice,
    Issued,
    Option,
    Payment,
    Proposal,
    Workshop,
    the_workshop,
)
from sideshake.web.money.deposits import deposit_lines, lines_to_ask
from sideshake.web.money.services import Issuing, cancel, open_on
from tests.pdf_words import words_of

ROW = {"kind": "work", "text": "Overhaul", "quantity": "1", "each": "119", "tax_percent": "19"}
DAY = date(2026, 3, 30)
ASKED = Issuing(lines=[ROW], on=DAY, supplied_on=DAY)


def rename_everything(visit):
    """Change all that stands on paper and belongs to the workshop or the owner."""
    the_workshop()
    Workshop.objects.update(name="Another name", address="Elsewhere", bank="Another bank")
    visit.watch.owner.name = "Somebody Else"
    visit.watch.owner.save()
    cache.clear()


@pytest.fixture
def issued(visit, colleague):
    return issuing.issue_invoice(visit, ASKED, colleague)


def test_an_invoice_is_kept_when_it_is_issued(issued):
    row = Issued.objects.get()
    data = issuing.place_of(row.stored).read_bytes()
    assert (row.kind, row.of, row.issued_on) == ("invoice", issued.number, DAY)
    assert row.sha256 == hashlib.sha256(data).hexdigest()
    assert row.bytes == len(data)
    assert row.to == "Ottilie Marwood"
    assert row.letterhead["name"] == "The workshop"
    assert "tax_number" in row.letterhead
    assert "119.00" in words_of(data)


def test_an_issued_invoice_is_given_again_unchanged(issued, visit):
    before = issuing.invoice_given(issued).data
    rename_everything(visit)
    assert issuing.invoice_given(Invoice.objects.get()).data == before
    assert "Another name" not in words_of(before)


def test_what_is_made_anew_would_differ(issued, visit):
    # the counter-case: without the kept bytes the paper would have changed
    from sideshake.web.documents.registry.makers import invoice_paper

    before = issuing.invoice_given(issued).data
    rename_everything(visit)
    assert invoice_paper(Invoice.objects.get()).data != before


def test_an_invoice_from_before_papers_were_kept_is_kept_the_first_time_it_is_given(
    visit, colleague
):
    old = Invoice.objects.create(
        visit=visit, number="I2025-001", issued_on=DAY, due_on=DAY, currency="EUR", lines=[ROW]
    )
    first = issuing.invoice_given(old).data
    rename_everything(visit)
    assert issuing.invoice_given(Invoice.objects.get()).data == first
    assert Issued.objects.count() == 1


def test_nothing_is_issued_when_the_paper_cannot_be_made(visit, colleague, monkeypatch):
    def broken(_invoice):
        raise InputError("no paper")

    monkeypatch.setattr(issuing.makers, "invoice_paper", broken)
    with pytest.raises(InputError, match="no paper"):
        issuing.issue_invoice(visit, ASKED, colleague)
    assert not Invoice.objects.exists()


def test_a_file_that_was_changed_or_lost_is_not_given_out(issued):
    path = issuing.place_of(Issued.objects.get().stored)
    path.write_bytes(path.read_bytes() + b" ")
    with pytest.raises(InputError, match="was changed"):
        issuing.invoice_given(issued)
    path.unlink()
    with pytest.raises(InputError, match="is gone"):
        issuing.invoice_given(issued)


def test_a_report_has_the_day_it_was_issued_and_stays(visit, colleague):
    row = issuing.issue_paper(
        visit.number, issuing.IssueAsked(kind=PaperKind.REPORT), colleague, on=DAY
    )
    before = issuing.as_made(row).data
    assert "2026-03-30" in words_of(before) or "30 March 2026" in words_of(before)
    save(Finding(visit=visit, title="The crown is worn"), colleague)
    assert issuing.as_made(row).data == before
    later = issuing.issue_paper(
        visit.number,
        issuing.IssueAsked(kind=PaperKind.REPORT),
        colleague,
        on=DAY + timedelta(days=9),
    )
    assert (later.edition, issuing.as_made(later).name) == (2, "report-2026-001-2.pdf")
    assert issuing.as_made(later).data != before


def test_an_invoice_is_not_issued_by_hand(visit, colleague):
    with pytest.raises(InputError, match="issued by hand"):
        issuing.issue_paper(
            visit.number, issuing.IssueAsked(kind=PaperKind.INVOICE), colleague, on=DAY
        )


def test_a_draft_has_the_same_bytes_on_another_day(visit, colleague):
    from sideshake.web.documents.registry.makers import draft_day, report_paper
    from sideshake.web.visits.queries import whole_visit

    Change.objects.update(at=timezone.now() - timedelta(days=40))
    whole = whole_visit(visit.number)
    first = report_paper(whole, day=draft_day(whole)).data
    assert draft_day(whole) == timezone.localdate() - timedelta(days=40)
    assert report_paper(whole_visit(visit.number), day=draft_day(visit)).data == first
    save(Finding(visit=visit, title="The crown is worn"), colleague)
    assert draft_day(whole_visit(visit.number)) == timezone.localdate()


@pytest.fixture
def agreed(visit, colleague):
    """Two rates: 238.00 at 19 % and 107.00 at 7 %; a deposit of 100.00."""
    made = Proposal.objects.create(
        visit=visit, edition=1, currency="EUR", made_on=date(2026, 3, 3), state="draft",
        deposit=Decimal(100),
    )  # fmt: skip
    lines = [{**ROW, "each": "238.00"}, {**ROW, "each": "107.00", "tax_percent": "7"}]
    Option.objects.create(proposal=made, title="Overhaul", lines=lines, chosen=True)
    return made


def test_a_proposal_is_kept_as_it_was_sent(agreed, colleague, visit):
    draft = issuing.proposal_given(agreed)
    assert not Issued.objects.exists()
    issuing.send_proposal(agreed, colleague, on=DAY)
    sent = issuing.proposal_given(agreed).data
    assert sent != draft.data
    rename_everything(visit)
    assert issuing.proposal_given(Proposal.objects.get()).data == sent


def agree(proposal):
    Proposal.objects.filter(pk=proposal.pk).update(state="agreed", answered_on=date(2026, 3, 5))


def test_a_deposit_is_shared_among_the_rates(agreed, visit):
    agree(agreed)
    # by hand: 345.00 in all; 100 x 107/345 = 31.014, so 31.01; the rest, 68.99, at 19 %
    assert [(row["each"], row["tax_percent"]) for row in deposit_lines(visit)] == [
        ("31.01", "7"), ("68.99", "19"),
    ]  # fmt: skip


def test_the_last_invoice_takes_the_deposit_off_to_the_cent(agreed, visit, colleague):
    agree(agreed)
    deposit = Issuing(lines=deposit_lines(visit), on=DAY, kind="deposit")
    first = issuing.issue_invoice(visit, deposit, colleague)
    rows = lines_to_ask(visit)
    assert [row["each"] for row in rows if row["kind"] == "deposit"] == ["-31.01", "-68.99"]
    last = issuing.issue_invoice(visit, replace(ASKED, lines=rows), colleague)
    # by hand, prices with tax: 238.00 = 200.00 + 38.00 and 107.00 = 100.00 + 7.00; the deposit
    # 68.99 = 57.97 + 11.02 and 31.01 = 28.98 + 2.03
    from sideshake.web.money.price_lines import invoice_totals

    sums = [(str(each.net.value), str(each.tax.value)) for each in invoice_totals(first).by_rate]
    assert sums == [("28.98", "2.03"), ("57.97", "11.02")]
    left = [(str(each.net.value), str(each.tax.value)) for each in invoice_totals(last).by_rate]
    assert left == [("71.02", "4.97"), ("142.03", "26.98")]
    assert lines_to_ask(visit) == []
    said = words_of(issuing.invoice_given(last).data)
    assert f"Deposit, invoice {first.number} of 30 March 2026" in said


def test_a_deposit_that_was_cancelled_is_not_taken_off(agreed, visit, colleague):
    agree(agreed)
    deposit = Issuing(lines=deposit_lines(visit), on=DAY, kind="deposit")
    first = issuing.issue_invoice(visit, deposit, colleague)
    issuing.cancel_invoice(first, colleague, on=DAY)
    assert all(row["kind"] != "deposit" for row in lines_to_ask(visit))


def test_a_deposit_that_is_taken_off_is_not_cancelled_before_the_last_invoice(
    agreed, visit, colleague
):
    agree(agreed)
    deposit = Issuing(lines=deposit_lines(visit), on=DAY, kind="deposit")
    first = issuing.issue_invoice(visit, deposit, colleague)
    last = issuing.issue_invoice(visit, replace(ASKED, lines=lines_to_ask(visit)), colleague)
    with pytest.raises(InputError, match=f"invoice {last.number} takes this deposit off"):
        issuing.cancel_invoice(first, colleague, on=DAY)
    issuing.cancel_invoice(last, colleague, on=DAY)
    issuing.cancel_invoice(first, colleague, on=DAY)
    assert open_on(Invoice.objects.get(pk=first.pk)).value == 0


def test_a_payment_is_of_one_invoice_and_goes_on_to_the_next_when_that_is_cancelled(
    visit, colleague
):
    save(Payment(visit=visit, amount=Decimal(50), currency="EUR", on=date(2026, 3, 5)), colleague)
    first = issuing.issue_invoice(visit, ASKED, colleague)
    assert open_on(first).value == 69
    back = issuing.cancel_invoice(first, colleague, on=DAY)
    first = Invoice.objects.get(pk=first.pk)
    assert (open_on(first).value, open_on(back).value) == (0, 0)
    assert Payment.objects.get().invoice is None
    second = issuing.issue_invoice(visit, ASKED, colleague)
    assert open_on(second).value == 69
    assert "Paid 5 March 2026" in words_of(issuing.invoice_given(second).data)


def test_a_cancelled_invoice_that_was_never_given_keeps_what_it_said(visit, colleague):
    old = Invoice.objects.create(
        visit=visit, number="I2025-001", issued_on=DAY, due_on=DAY, currency="EUR", lines=[ROW]
    )
    Payment.objects.create(visit=visit, invoice=old, amount=50, currency="EUR", on=DAY)
    issuing.cancel_invoice(old, colleague, on=DAY)
    assert "-€50.00" in words_of(issuing.invoice_given(old).data).replace("−", "-")


def test_the_number_goes_on_from_the_earlier_prefix(visit, colleague):
    for number in ("I2026-008", "I2026-009"):
        Invoice.objects.create(
            visit=visit, number=number, issued_on=DAY, due_on=DAY, currency="EUR", lines=[ROW]
        )
    assert issuing.issue_invoice(visit, ASKED, colleague).number == "INV-2026-010"


@pytest.mark.parametrize(
    ("setting", "row", "reason"),
    [
        ({}, {"no_tax": "export"}, "export"),
        ({"no_tax": "small-business"}, {}, "small-business"),
        ({"tax_wording": "Exempt by our law."}, {}, "other"),
    ],
)
def test_a_line_without_tax_says_why(visit, colleague, setting, row, reason):
    the_workshop()
    Workshop.objects.update(**setting)
    cache.clear()
    asked = replace(ASKED, lines=[{**ROW, "tax_percent": "0", **row}])
    made = issuing.issue_invoice(visit, asked, colleague)
    assert made.lines[0]["no_tax"] == reason
    assert made.tax_wording == setting.get("tax_wording", "")


@pytest.mark.parametrize(
    ("row", "why"), [({}, "choose the reason"), ({"no_tax": "reverse-charge"}, "VAT number")]
)
def test_an_invoice_that_lacks_what_the_law_asks_for_is_refused(visit, colleague, row, why):
    asked = replace(ASKED, lines=[{**ROW, "tax_percent": "0", **row}])
    with pytest.raises(InputError, match=why):
        issuing.issue_invoice(visit, asked, colleague)
    assert not Invoice.objects.exists()


def test_cancelling_twice_is_still_refused(issued, colleague):
    cancel(issued, colleague, on=DAY)
    with pytest.raises(InputError, match="cancelled already"):
        issuing.cancel_invoice(Invoice.objects.get(pk=issued.pk), colleague, on=DAY)
