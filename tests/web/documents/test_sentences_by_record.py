"""Sentences that records themselves make: each with the record that makes it, and one that not."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone
from heard_rounds import hear

from sideshake.documents.care_card import UNMENDED, WINDING_BY_HAND
from sideshake.documents.result import WorkStage
from sideshake.web.base.saving import save
from sideshake.web.documents.bills import bill_of
from sideshake.web.documents.care_cards import card_of
from sideshake.web.documents.price_rows import priced_lines
from sideshake.web.documents.proposals import duration, offer_of
from sideshake.web.documents.readings import conditions_of, day_as_papers_write_it
from sideshake.web.documents.report import report_of
from sideshake.web.documents.words import address_of
from sideshake.web.documents.work_done import stage_of
from sideshake.web.models import (
    Batch,
    Finding,
    Invoice,
    Item,
    LookOver,
    Measurement,
    Option,
    Payment,
    PlanStep,
    Proposal,
    Reading,
    Severity,
    Step,
    Used,
    the_workshop,
)
from sideshake.web.visits.queries import whole_visit

DAY = date(2026, 3, 30)


def told(visit):
    return report_of(whole_visit(visit.number), day=DAY)


def test_a_watch_that_nobody_looked_at_has_arrived_and_is_no_report_of_findings(visit, colleague):
    assert told(visit).stage is WorkStage.ARRIVED
    assert "not been looked over" in told(visit).result
    rows = (
        LookOver(visit=visit, question="winding", choice="g", said="Good"),
        Finding(visit=visit, title="Oil dried"),
        Measurement(visit=visit, key="above.hole_mm", value=1.0),
        Reading(visit=visit, position="CH", state="heard"),
    )
    for row in rows:
        save(row, colleague)
        assert stage_of(whole_visit(visit.number)) is WorkStage.FINDINGS
        row.delete()
    visit.step = Step.LOOKED_OVER
    save(visit, colleague)
    assert stage_of(whole_visit(visit.number)) is WorkStage.FINDINGS


def wound(visit):
    return card_of(whole_visit(visit.number)).advice[0]


def test_a_watch_that_waits_for_work_is_not_to_be_wound_and_a_mended_one_is(visit, colleague):
    assert wound(visit) == UNMENDED  # nobody has looked it over
    visit.step = Step.LOOKED_OVER
    save(visit, colleague)
    save(LookOver(visit=visit, question="winding", choice="g", said="Good"), colleague)
    assert wound(visit) == WINDING_BY_HAND  # looked over, and nothing needs work
    finding = Finding(visit=visit, title="Case number unusual", severity=Severity.NOTE)
    save(finding, colleague)
    assert wound(visit) == WINDING_BY_HAND
    finding.severity = Severity.BROKEN
    save(finding, colleague)
    assert wound(visit) == UNMENDED
    step = PlanStep(visit=visit, key="option-mainspring", title="Mainspring", place=1,
                    kind=PlanStep.Kind.WORK, result="good", done_at=timezone.now())  # fmt: skip
    save(step, colleague)
    for step, words in ((Step.ON_TEST, UNMENDED), (Step.READY, WINDING_BY_HAND),
                        (Step.GONE_HOME, WINDING_BY_HAND)):  # fmt: skip
        visit.step = step
        save(visit, colleague)
        assert wound(visit) == words
    visit.plan.all().delete()  # it went home as it came
    assert wound(visit) == UNMENDED
    finding.mended = True  # put right, and no step of a plan was ticked for it
    save(finding, colleague)
    assert wound(visit) == WINDING_BY_HAND


def test_a_mended_watch_of_which_nothing_was_written_down_may_be_wound(visit, colleague):
    assert wound(visit) == UNMENDED
    visit.step = Step.GONE_HOME
    save(visit, colleague)
    assert wound(visit) == WINDING_BY_HAND


@pytest.mark.parametrize(
    ("origin", "old_part", "from_words", "old_words", "not_original"),
    [("made", "returned", "made for it", "comes back to you", "newly made"),
     ("generic", "kept", "another maker", "stays with us", "not the maker's"),
     ("original", "none", "the watch's maker", "there was none", ""),
     ("old-stock", "none", "old stock, unused", "there was none", "")],
)  # fmt: skip
def test_a_part_says_where_it_is_from_and_what_becomes_of_the_old_one(
    visit, colleague, origin, old_part, from_words, old_words, not_original
):
    item = Item(name="Mainspring 1.30", kind="spring")
    save(item, colleague)
    batch = Batch(item=item, origin=origin, received_on=DAY, quantity=1)
    save(batch, colleague)
    save(Used(visit=visit, batch=batch, on=DAY, old_part=old_part, note="mainspring"), colleague)
    (part,) = told(visit).parts
    assert (part.origin, part.old_part) == (from_words, old_words)
    wanted = (f"Mainspring 1.30: {not_original}",) if not_original else ()
    assert told(visit).not_original == wanted  # the note says nothing that the name does not


def test_a_pocket_watch_hangs_by_the_hours_of_its_dial_and_a_wristwatch_by_its_crown(
    visit, colleague
):
    for after in (False, True):
        hear(visit, colleague, "3H", 10 + 30 * after, 250 - 40 * after, after=after)
    assert told(visit).proof.positions[0].words == "3H, crown up, fully wound"
    assert any("(3H, crown up)" in each for each in told(visit).proof.difference)
    visit.watch.title = "Silver pocket watch, hunter"
    save(visit.watch, colleague)
    assert told(visit).proof.positions[0].words == "3H, 3 o'clock up, fully wound"
    said = " ".join(told(visit).proof.difference)
    assert "(3H, 3 o'clock up)" in said
    assert "crown" not in said


def test_what_was_heard_names_the_positions_in_order_and_the_stopwatch_apart(visit, colleague):
    rows = [
        hear(visit, colleague, place, 4, 250, chronograph_on=running)
        for place, running in (("6H", False), ("CH", True), ("CH", False))
    ]
    said = dict(conditions_of(rows, None))
    assert said["Heard"] == "CH, 6H; chronograph running: CH (fully wound)"
    assert dict(conditions_of(rows[:1], None))["Heard"] == "6H (fully wound)"


def test_the_clock_was_checked_on_a_day_or_it_was_not(visit, colleague):
    checked = hear(visit, colleague, "CH", 4, 250)
    bare = hear(visit, colleague, "CH", 4, 250, figures={"lift_angle": "50 ± 1"})
    said = dict(conditions_of([checked], None))
    assert said["Rate measured by"] == "the recorder's clock, checked on 1 February 2026"
    assert "Lift angle used" not in said
    assert day_as_papers_write_it("last spring") == "last spring"
    said = dict(conditions_of([bare], None))
    assert said["Rate measured by"] == "the recorder's clock, not checked; the ± allows for it"
    assert said["Lift angle used"] == "50 ± 1°"


@pytest.mark.parametrize(
    ("weeks", "words"), [(None, ""), (0, ""), (1, "about one week"), (6, "about 6 weeks")]
)
def test_the_time_that_the_work_takes(weeks, words):
    assert duration(weeks) == words


@pytest.mark.parametrize(
    ("rate", "holds", "wording", "words"),
    [("20", True, "", "All prices and sums include the tax."),
     ("20", False, "", "The prices of the options are without tax; the sums include it."),
     ("0", True, "", "No tax is charged on these prices."),
     ("0", True, "Exempt here.", "Exempt here.")],
)  # fmt: skip
def test_a_proposal_says_whether_prices_hold_the_tax(visit, colleague, rate, holds, wording, words):
    shop = the_workshop()
    shop.tax_wording = wording
    shop.save()
    proposal = Proposal(visit=visit, edition=1, currency="EUR", made_on=DAY, deposit=Decimal(70),
                        prices_hold_tax=holds)  # fmt: skip
    save(proposal, colleague)
    line = {"kind": "part", "text": "jewel", "quantity": "1", "each": "9", "tax_percent": rate}
    save(Option(proposal=proposal, title="Jewel", lines=[line]), colleague)
    offer = offer_of(proposal)
    assert offer.tax == words
    assert offer.deposit == "€70.00 of this sum"
    assert offer.options[0].lines[0].what == "Jewel"
    proposal.deposit = None
    assert offer_of(proposal).deposit == ""


@pytest.mark.parametrize(
    ("paid", "rows", "left"),
    [("4", ["Paid 30 March 2026"], "Still to be paid by 13 April 2026"),
     ("10", ["Paid 30 March 2026"], "Nothing is left to be paid"),
     ("12", ["Paid 30 March 2026"], "We owe you"),
     ("-3", ["Given back 30 March 2026"], "Still to be paid by 13 April 2026"),
     ("", [], "To be paid by 13 April 2026")],
)  # fmt: skip
def test_an_invoice_says_what_was_paid_and_what_is_left(visit, colleague, paid, rows, left):
    line = {"kind": "work", "text": "overhaul", "quantity": "1", "each": "10", "tax_percent": "20"}
    invoice = Invoice(visit=visit, number="INV-1", issued_on=DAY, due_on=DAY + timedelta(days=14),
                      currency="EUR", lines=[line])  # fmt: skip
    save(invoice, colleague)
    if paid:
        save(Payment(visit=visit, invoice=invoice, amount=Decimal(paid), currency="EUR", on=DAY),
             colleague)  # fmt: skip
    bill = bill_of(invoice)
    assert [words for words, _sum in bill.paid] == rows
    assert bill.left[0] == left
    assert bill.lines[0].what == "Overhaul"


@pytest.mark.parametrize(
    ("typed", "printed"),
    [("NL", "Netherlands"), ("nl", "Netherlands"), ("Netherlands", "Netherlands"), ("QX", "QX"),
     ("Nowhere", "Nowhere"), ("", "")],
)  # fmt: skip
def test_a_country_stands_in_an_address_by_its_name(visit, colleague, typed, printed):
    visit.watch.owner.country = typed
    lines = address_of(visit).splitlines()
    assert lines == ["Ottilie Marwood", *([printed] if printed else [])]


def test_a_line_of_a_price_begins_with_a_capital(db):
    line = {"kind": "work", "quantity": "1", "each": "1", "tax_percent": "0"}
    told = priced_lines([{**line, "text": text} for text in ("jewel", "Jewel")], "EUR")
    assert [each.what for each in told] == ["Jewel", "Jewel"]


def test_the_warranty_stands_with_its_last_day_or_not_at_all(visit, colleague):
    assert told(visit).warranty == ""
    visit.warranty_until = date(2027, 3, 30)
    save(visit, colleague)
    assert told(visit).warranty.startswith("until 30 March 2027. Covers the work")
