"""The tests before a watch goes home, as a restorer uses them."""

import io

import pytest
from pypdf import PdfReader

from sideshake.movement.sheet_file import shipped_sheet
from sideshake.web.base.saving import save
from sideshake.web.models import PlanStep, Reading, Step, Visit
from sideshake.workshop_rules.acceptance import checks_before_home

QUERIES = 15
TARNBROOK = shipped_sheet("tarnbrook-31")
AMPLITUDES = (290, 286, 250, 244, 248)


@pytest.fixture
def listed(client, visit):
    client.post(f"/visits/{visit.number}/tests/make/", {"begin": "1"})
    return visit


def test_of(visit, key):
    return visit.plan.get(key=f"test-{key}")


test_of.__test__ = False


def write(client, test, **given):
    test.refresh_from_db()
    return client.post(f"/tests/{test.pk}/", {"seen": test.version, "note": "", **given})


def test_the_list_is_the_trade_s_for_this_calibre_and_begins_the_test(listed):
    trade = [f"test-{each.key}" for each in checks_before_home(TARNBROOK)]
    trade.remove("test-pressure")  # nobody agreed to one
    assert [each.key for each in listed.plan.filter(kind="test")] == trade
    listed.refresh_from_db()
    assert listed.step == Step.ON_TEST


def test_making_the_list_twice_adds_nothing(client, listed):
    count = listed.plan.count()
    client.post(f"/visits/{listed.number}/tests/make/")
    assert listed.plan.count() == count


def test_a_value_is_judged_against_the_sheet_with_its_chance(client, listed):
    """The chance is from the normal table: 1.645 standard deviations leave 95 % on one side."""
    check = next(
        each for each in checks_before_home(shipped_sheet("tarnbrook-31")) if each.key == "reserve"
    )
    test = test_of(listed, "reserve")
    value = check.limit.at_least + 2.0
    assert (
        write(client, test, value=f"{value}".replace(".", ","), u="2", result="good").status_code
        == 302
    )
    page = client.get(f"/visits/{listed.number}/tests/").content.decode()
    assert "keeps its limit with 98 %" in page  # Phi(2) = 0.9772
    write(client, test, value=f"{check.limit.at_least}", u="2", result="good")
    page = client.get(f"/visits/{listed.number}/tests/").content.decode()
    assert "near its limit; keeps it with 50 %" in page


def test_what_is_printed_behind_the_sign_is_typed_and_shown_again(client, listed):
    """One meaning of ±: 46,2 ± 1,5 as a reading shows it; kept as the standard uncertainty."""
    test = test_of(listed, "reserve")
    write(client, test, value="46,2", u="1,5", result="good")
    test.refresh_from_db()
    assert (test.value, test.u) == (46.2, 0.75)
    assert 'value="1.5"' in client.get(f"/tests/{test.pk}/").content.decode()


def test_a_value_far_over_its_limit_is_never_quite_sure(client, listed):
    test = test_of(listed, "reserve")
    write(client, test, value="90", u="0.5", result="good")
    assert "with more than 99 %" in client.get(f"/visits/{listed.number}/tests/").content.decode()


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"value": "much", "u": "", "result": ""}, "is no number"),
        ({"value": "40", "u": "-1", "result": ""}, "0 or more"),
        ({"value": "", "u": "1", "result": ""}, "no value"),
        ({"value": "", "u": "", "result": "skip"}, "Say why"),
    ],
)
def test_what_cannot_be_is_refused_and_stays_in_the_form(client, listed, given, words):
    test = test_of(listed, "reserve")
    answer = write(client, test, **given)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    test.refresh_from_db()
    assert (test.value, test.result) == (None, "")


def test_a_result_by_one_press_tells_who_and_when(client, listed, owner_of_workshop):
    test = test_of(listed, "hands")
    client.post(f"/tests/{test.pk}/result/", {"seen": test.version, "result": "bad"})
    test.refresh_from_db()
    assert (test.result, test.done_by) == ("bad", owner_of_workshop)
    client.post(f"/tests/{test.pk}/result/", {"seen": test.version, "result": ""})
    test.refresh_from_db()
    assert (test.result, test.done_by, test.done_at) == ("", None, None)


def test_a_made_up_result_changes_nothing(client, listed):
    test = test_of(listed, "hands")
    client.post(f"/tests/{test.pk}/result/", {"seen": test.version, "result": "wonderful"})
    test.refresh_from_db()
    assert test.result == ""


def all_done(client, visit):
    """Press good where something is seen, and type a value that keeps any limit elsewhere."""
    checks = {f"test-{each.key}": each for each in checks_before_home(TARNBROOK)}
    for test in visit.plan.filter(kind="test"):
        limit = checks[test.key].limit
        value = (limit.at_least or limit.at_most * 0.5) * 1.2 if limit else 1.0
        given = {"value": f"{value}", "u": "0.1"} if test.unit else {}
        write(client, test, result="good", **given)


def test_ready_is_offered_when_every_test_is_good_or_left_out(client, listed):
    address = f"/visits/{listed.number}/tests/"
    assert "Put it down as ready" not in client.get(address).content.decode()
    all_done(client, listed)
    assert "Put it down as ready" in client.get(address).content.decode()
    write(client, test_of(listed, "hands"), result="bad")
    assert "Put it down as ready" not in client.get(address).content.decode()
    write(client, test_of(listed, "hands"), result="skip", note="no hands on it yet")
    assert "Put it down as ready" in client.get(address).content.decode()
    listed.refresh_from_db()
    given = {"step": "ready", "on": "2026-04-02", "seen": listed.version}
    client.post(f"/visits/{listed.number}/step/", given)
    listed.refresh_from_db()
    assert listed.step == Step.READY


def test_a_measured_test_is_not_good_without_its_value(client, listed):
    test = test_of(listed, "reserve")
    answer = client.post(f"/tests/{test.pk}/result/", {"seen": test.version, "result": "good"})
    assert answer.status_code == 422
    assert "is good only with its value" in answer.content.decode()
    assert write(client, test, value="", u="", result="good").status_code == 422
    test.refresh_from_db()
    assert test.result == ""
    page = client.get(f"/visits/{listed.number}/tests/").content.decode()
    assert "Type the value" in page


def test_a_value_beyond_its_limit_decides_by_itself(client, listed):
    check = next(each for each in checks_before_home(TARNBROOK) if each.key == "reserve")
    test = test_of(listed, "reserve")
    write(client, test, value=f"{check.limit.at_least - 9}", u="0.5", result="good")
    test.refresh_from_db()
    assert test.result == "bad"
    write(client, test, value=f"{check.limit.at_least + 9}", u="0.5", result="")
    test.refresh_from_db()
    assert test.result == "good"


def test_a_pressure_test_is_on_the_list_only_when_it_was_agreed(client, visit, colleague):
    make = f"/visits/{visit.number}/tests/make/"
    client.post(make)
    assert not visit.plan.filter(key="test-pressure").exists()
    assert "Pressure" not in client.get(f"/visits/{visit.number}/tests/").content.decode()
    agreed = PlanStep(visit=visit, key="pressure-test", place=9, title="Pressure test as agreed")
    save(agreed, colleague)
    client.post(make)
    assert visit.plan.filter(key="test-pressure").exists()


def hear(visit, by, position, rate, amplitude, *, wound="full", on=False, after=True):
    save(
        Reading(
            visit=visit,
            position=position,
            wound=wound,
            chronograph_on=on,
            after=after,
            state="heard",
            rate_s_per_day=rate,
            rate_u_s_per_day=0.3,
            rate_alone_u_s_per_day=0.18,
            amplitude_deg=amplitude,
            amplitude_u_deg=2.0,
            beat_error_ms=0.4,
            beat_error_u_ms=0.1,
        ),
        by,
    )


def offers_of(client, visit):
    rows = client.get(f"/visits/{visit.number}/tests/").context["rows"]
    return {row.step.key: row.offer.value for row in rows if row.offer}


def test_the_readings_after_the_work_are_offered_as_values(client, listed, colleague):
    """By hand: mean of 2, 4, 6, 8, 10 is 6, spread 8. Of u 0.3 the readings have 0.18 on their own
    and the clock 0.24, once in the mean (GUM 5.2.2); laid again each is less sure by 1;
    the spread's interval is 3.858 times what one has (studentized range of five)."""
    own = (0.18**2 + 1.0**2) ** 0.5
    told = zip(("CH", "FH", "3H", "6H", "9H"), (2.0, 4, 6, 8, 10), AMPLITUDES, strict=True)
    for position, rate, amplitude in told:
        hear(listed, colleague, position, rate, amplitude)
    hear(listed, colleague, "CH", 1.0, 262, on=True)
    hear(listed, colleague, "6H", 30.0, 190, after=False)
    found = offers_of(client, listed)
    assert found["test-rate-full"].value == pytest.approx(6)
    assert found["test-rate-full"].u == pytest.approx((own**2 / 5 + 0.24**2) ** 0.5)
    assert found["test-rate-spread"].value == pytest.approx(8)
    assert found["test-rate-spread"].expanded == pytest.approx(3.858 * own)
    assert found["test-dial-up-down"].value == pytest.approx(2)
    assert found["test-dial-up-down"].u == pytest.approx(own * 2**0.5)
    assert found["test-amplitude-full"].value == pytest.approx(288)
    assert found["test-chronograph-drop"].value == pytest.approx(28)
    assert "test-rate-24h" not in found


def test_an_offered_value_is_written_with_no_more_figures_than_it_has(client, listed, colleague):
    """By hand: 6.123456 with u 0.514 (0.18 and 1 of five, and 0.24) is shown as 6.1 ± 1.0, and
    written down to one figure more."""
    for position in ("CH", "FH", "3H", "6H", "9H"):
        hear(listed, colleague, position, 6.123456, 280)
    page = client.get(f"/tests/{test_of(listed, 'rate-full').pk}/?offer=1").content.decode()
    assert 'value="6.12"' in page
    assert 'value="1.03"' in page


def test_one_lying_position_gives_no_lying_amplitude_and_no_difference(client, listed, colleague):
    hear(listed, colleague, "CH", 2.0, 280)
    assert set(offers_of(client, listed)) == {"test-beat"}


def test_the_least_hanging_amplitude_is_that_of_a_day_after(client, listed, colleague):
    hear(listed, colleague, "6H", 2.0, 250)
    hear(listed, colleague, "6H", 2.0, 212, wound="24h")
    hear(listed, colleague, "9H", 2.0, 209, wound="24h")
    assert offers_of(client, listed)["test-amplitude-hanging-24h"].value == 209


def test_four_positions_give_no_mean_rate(client, listed, colleague):
    for position in ("CH", "FH", "3H", "6H"):
        hear(listed, colleague, position, 2.0, 280)
    assert "test-rate-full" not in offers_of(client, listed)


def test_the_newest_reading_of_a_position_counts(client, listed, colleague):
    hear(listed, colleague, "CH", 2.0, 280)
    hear(listed, colleague, "FH", 2.0, 280)
    hear(listed, colleague, "CH", 2.0, 300)
    assert offers_of(client, listed)["test-amplitude-full"].value == pytest.approx(290)


def test_an_offered_value_is_taken_over_into_the_form_and_stored_when_saved(
    client, listed, colleague
):
    hear(listed, colleague, "CH", 2.0, 280)
    test = test_of(listed, "beat")
    page = client.get(f"/tests/{test.pk}/?offer=1").content.decode()
    assert 'value="0.4"' in page
    test.refresh_from_db()
    assert test.value is None
    write(client, test, value="0.4", u="0.1", result="good")
    test.refresh_from_db()
    assert (test.value, test.u) == (0.4, 0.05)


def test_a_test_taken_off_the_list_can_be_put_back(client, listed):
    test = test_of(listed, "magnetism")
    client.post(f"/tests/{test.pk}/remove/", {"seen": test.version})
    assert not PlanStep.objects.filter(pk=test.pk).exists()
    assert "Not on the list" in client.get(f"/visits/{listed.number}/tests/").content.decode()
    client.post(f"/visits/{listed.number}/tests/make/")
    assert test_of(listed, "magnetism")


def test_the_visit_page_shows_values_and_results(client, listed):
    write(client, test_of(listed, "beat"), value="0,3", u="0,1", result="good")
    page = client.get(f"/visits/{listed.number}/").content.decode()
    assert "0.30 ± 0.10 ms" in page


def test_the_tests_ask_the_database_few_questions(client, listed, django_assert_max_num_queries):
    for address in (f"/visits/{listed.number}/tests/", f"/tests/{test_of(listed, 'beat').pk}/"):
        with django_assert_max_num_queries(QUERIES):
            assert client.get(address).status_code == 200


def card_words(client) -> str:
    card = client.get("/visits/2026-001/papers/card/a6.pdf").content
    text = " ".join(each.extract_text() for each in PdfReader(io.BytesIO(card)).pages)
    return " ".join(text.split())


def date_change(client, begins, moved):
    visit = Visit.objects.get(number="2026-001")
    sent = {"date_change_from": begins, "date_change_until": moved, "seen": visit.version}
    return client.post("/visits/2026-001/date-change/", sent)


def test_hours_observed_on_the_watch_go_onto_its_care_card(client, visit):
    visit.watch.calibre = "lindquell-25"
    visit.watch.save()
    assert date_change(client, "22:10", "00:20").status_code == 302
    page = client.get("/visits/2026-001/date-change/").content.decode()
    assert "between half past seven in the evening and half past two in the morning" in page
    assert "The calibre sheet forbids more: from 19:44 to 2:23." in page
    card = client.get("/visits/2026-001/papers/card/credit-card.pdf").content
    text = " ".join(each.extract_text() for each in PdfReader(io.BytesIO(card)).pages)
    assert "between half past seven in the evening and half past two in the morning" in " ".join(
        text.split()
    )


def test_a_watch_without_a_sheet_gets_a_card_by_its_observed_hours(client, visit):
    visit.watch.calibre = ""
    visit.watch.save()
    wide = "between eight in the evening and four in the morning"  # the common advice
    assert wide in card_words(client)
    date_change(client, "23:00", "00:30")
    seen = "between quarter to ten in the eve"  # the rest may stand on the next line
    assert seen in card_words(client)  # 1 h 10 min on either side, to whole quarters


@pytest.mark.parametrize(
    ("begins", "moved", "why"),
    [("22:10", "", "both times"), ("00:20", "22:10", "exchanged"), ("25:00", "1:00", "valid time")],
)
def test_times_that_cannot_be_are_refused_and_stay_typed(client, visit, begins, moved, why):
    answer = date_change(client, begins, moved)
    assert answer.status_code == 422
    assert why in answer.content.decode()
    assert begins in answer.content.decode()
    visit.refresh_from_db()
    assert visit.date_change_from is None


def test_noted_times_can_be_taken_away_again(client, visit):
    date_change(client, "22:10", "00:20")
    assert date_change(client, "", "").status_code == 302
    visit.refresh_from_db()
    assert visit.date_change_until is None
