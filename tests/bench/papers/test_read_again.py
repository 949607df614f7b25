"""What records say on paper since it was read again: each with the record that must not."""

from datetime import date
from decimal import Decimal as Exact

from sideshake.bench.models import PlanStep, the_workshop
from sideshake.bench.papers.fits import fits_of
from sideshake.bench.papers.parts import delivery_address
from sideshake.bench.papers.report import report_of
from sideshake.bench.papers.words import letterhead, written_money, written_price
from sideshake.bench.papers.work import bench_of
from sideshake.bench.queries import whole_visit
from sideshake.bench.services.saving import save
from sideshake.shop.money import Amount
from tests.bench.papers.test_bench_sheet_by_record import PAINT

DAY = date(2026, 3, 30)


def told(visit):
    return report_of(whole_visit(visit.number), day=DAY)


def test_the_report_says_what_the_owner_said_and_nothing_where_he_said_nothing(visit, colleague):
    visit.complaint = "Stops in the night."
    save(visit, colleague)
    assert told(visit).seen[0] == ("You told us", "Stops in the night.")
    visit.complaint = " "
    save(visit, colleague)
    assert "You told us" not in dict(told(visit).seen)


def test_a_test_that_is_not_good_is_in_the_first_paragraph(visit, colleague):
    done = PlanStep(visit=visit, key="w", kind="work", place=1, title="Clean",
                    done_at="2026-03-01T08:00Z")  # fmt: skip
    test = PlanStep(visit=visit, key="test-hands", kind="test", place=2, title="Hands",
                    result="bad", done_by=colleague, done_at="2026-03-01T09:00Z")  # fmt: skip
    visit.step = "on-test"
    for row in (visit, done, test):
        save(row, colleague)
    assert "Not good in the tests: hands." in told(visit).result
    for result, note in (("good", ""), ("skip", "no time")):
        test.result, test.note = result, note
        save(test, colleague)
        assert "Not good" not in told(visit).result


def sheet_of(visit):
    whole = whole_visit(visit.number)
    return bench_of(whole, fits_of(whole), day=DAY)


def test_the_bench_is_warned_of_paint_that_may_be_radium_and_of_no_other(visit, colleague):
    save(PlanStep(visit=visit, key="w", kind="work", place=1, title="Clean"), colleague)
    watch = visit.watch
    watch.burn_marks, watch.lume = True, "dead"
    save(watch, colleague)
    (words,) = sheet_of(visit).of_this_watch
    assert words == f"Its luminous paint is to be taken for radium: {PAINT}."
    watch.burn_marks, watch.lume = False, "none"
    save(watch, colleague)
    assert sheet_of(visit).of_this_watch == ()


def test_the_bench_sheet_ticks_what_is_done_and_not_what_was_left_out(visit, colleague):
    step = PlanStep(visit=visit, key="w", kind="work", place=1, title="Clean")
    for result, done_at, ticked in (
        ("", None, False), ("", "2026-03-01T08:00Z", True), ("skip", "2026-03-01T08:00Z", False),
    ):  # fmt: skip
        step.result, step.done_at = result, done_at
        save(step, colleague)
        (job,) = sheet_of(visit).jobs
        assert job.done == ticked


def test_the_country_stands_at_the_head_where_the_settings_name_one(db):
    shop = the_workshop()
    shop.address, shop.country = "Mill Lane 3\nOberaldermoor", ""
    shop.save()
    assert "United Kingdom" not in letterhead().lines
    assert "United Kingdom" not in delivery_address()
    shop.country = "GB"
    shop.save()
    assert letterhead().lines[2] == "United Kingdom"
    assert delivery_address().endswith("Oberaldermoor\nUnited Kingdom")
    shop.address += "\nUnited Kingdom"
    shop.save()
    assert letterhead().lines.count("United Kingdom") == 1
    shop.address = ""
    shop.save()
    assert delivery_address() == ""


def test_money_below_nothing_has_a_true_minus(db):
    assert written_money(Amount(Exact("-50.00"), "GBP")).startswith("\u2212")
    assert written_price(Exact("-50.00"), "GBP").startswith("\u2212")
    assert "\u2212" not in written_money(Amount(Exact("50.00"), "GBP"))
