"""What records say on paper since it was read again: each with the record that must not."""

from datetime import date
from decimal import Decimal as Exact

from sideshake.documents.page import block_html
from sideshake.documents.report import report
from sideshake.web.base.saving import save
from sideshake.web.documents.bench_papers import bench_of
from sideshake.web.documents.hole_fits import fits_of
from sideshake.web.documents.jewel_orders import delivery_address
from sideshake.web.documents.report import report_of
from sideshake.web.documents.words import letterhead, written_money, written_price
from sideshake.web.models import PlanStep, the_workshop
from sideshake.web.visits.queries import whole_visit
from sideshake.workshop_rules.money import Amount
from sideshake.workshop_rules.plan import PRESSURE_STEP
from tests.web.documents.test_bench_sheet_by_record import PAINT

DAY = date(2026, 3, 30)


def told(visit):
    return report_of(whole_visit(visit.number), day=DAY)


def test_the_report_says_what_the_owner_said_and_nothing_where_he_said_nothing(visit, colleague):
    visit.complaint = "Stops in the night."
    save(visit, colleague)
    said = "".join(map(block_html, report(told(visit)).blocks))
    assert "<dt>You told us</dt><dd dir=auto>Stops in the night.</dd>" in said
    visit.complaint = " "
    save(visit, colleague)
    assert "You told us" not in "".join(map(block_html, report(told(visit)).blocks))


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


def test_a_value_beyond_its_limit_is_not_good_whatever_was_ticked(visit, colleague):
    # "power reserve" of a calibre of 50 h at least; ticked good before the sheet said so
    visit.watch.calibre = "tarnbrook-31"
    save(visit.watch, colleague)
    done = PlanStep(visit=visit, key="w", kind="work", place=1, title="Clean",
                    done_at="2026-03-01T08:00Z")  # fmt: skip
    test = PlanStep(visit=visit, key="test-reserve", kind="test", place=2, title="Power reserve",
                    unit="h", value=46.2, u=0.15, result="good", done_by=colleague,
                    done_at="2026-03-01T09:00Z")  # fmt: skip
    visit.step = "on-test"
    for row in (visit, done, test):
        save(row, colleague)
    assert "Not good in the tests: power reserve." in told(visit).result
    assert [each.says for each in told(visit).proof.tests] == ["not good"]
    test.value = 60.0
    save(test, colleague)
    assert "Not good" not in told(visit).result
    assert [each.says for each in told(visit).proof.tests] == ["good"]
    test.value, test.u = 50.0, 1.0
    save(test, colleague)
    assert "Not good" not in told(visit).result  # near the limit: kept with 50 %


def test_a_water_test_that_is_not_good_is_called_so_by_its_name(visit, colleague):
    plan = PlanStep(visit=visit, key=PRESSURE_STEP, kind="work", place=1, title="Pressure test",
                    done_at="2026-03-01T08:00Z")  # fmt: skip
    work = PlanStep(visit=visit, key="w", kind="work", place=2, title="Clean",
                    done_at="2026-03-01T08:00Z")  # fmt: skip
    test = PlanStep(visit=visit, key="test-pressure", kind="test", place=3, unit="bar", value=1.0,
                    title="Pressure, if agreed", result="bad", done_by=colleague,
                    done_at="2026-03-01T09:00Z")  # fmt: skip
    visit.step = "on-test"
    for row in (visit, plan, work, test):
        save(row, colleague)
    assert "Not good in the tests: water test." in told(visit).result
    test.result = "good"
    save(test, colleague)
    assert "Not good" not in told(visit).result
    assert told(visit).proof.water == "tight at 1 bar"


def sheet_of(visit):
    whole = whole_visit(visit.number)
    return bench_of(whole, fits_of(whole), day=DAY)


def test_the_bench_is_warned_of_paint_that_may_be_radium_and_of_no_other(visit, colleague):
    save(PlanStep(visit=visit, key="w", kind="work", place=1, title="Clean"), colleague)
    watch = visit.watch
    watch.burn_marks, watch.lume = True, "dead"
    save(watch, colleague)
    (words,) = sheet_of(visit).of_this_watch
    assert words == f"Radium: there are burn marks. {PAINT}."
    watch.burn_marks, watch.lume = False, "unknown"
    save(watch, colleague)
    assert sheet_of(visit).of_this_watch == (f"Radium: its age makes it possible. {PAINT}.",)
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
