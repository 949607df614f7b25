import pytest

from sideshake.core.errors import InputError
from sideshake.movement.sections import Calendar, Chronograph
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import shipped_names, shipped_sheet
from sideshake.workshop_rules.findings import WEAK_POINT, usual_findings
from sideshake.workshop_rules.look_over import ALL, forbidden_hours, questions
from sideshake.workshop_rules.mechanism import Mechanism, mechanisms
from sideshake.workshop_rules.question import GOOD, NOT_TRIED, AnswerChoice, Question, QuestionGroup

SHEETS = [None, *(shipped_sheet(name) for name in shipped_names())]
TARNBROOK, LINDQUELL, WENDELMOOR = (
    shipped_sheet(name) for name in ("tarnbrook-31", "lindquell-25", "wendelmoor-43")
)


def keys(sheet):
    return {each.key for each in questions(sheet)}


def asked(sheet, key):
    return next(each for each in questions(sheet) if each.key == key)


CALENDAR = {"date-quick-set", "day-quick-set", "calendar-change"}
CHRONOGRAPH = {"start", "stop", "reset", "minute-counter", "hour-counter", "pushers"}
AUTOMATIC = {"rotor", "rotor-winds", "rotor-while-winding"}
ALWAYS = {
    "winding", "full-wind", "setting", "case", "crystal", "crown", "water-marks", "dial", "hands",
    "lume", "earlier-marks", "magnetism",
}  # fmt: skip


def test_a_question_is_asked_only_where_the_mechanism_is():
    assert keys(TARNBROOK) >= CHRONOGRAPH
    assert not keys(TARNBROOK) & (CALENDAR | AUTOMATIC)
    assert keys(LINDQUELL) >= CALENDAR | AUTOMATIC
    assert not keys(LINDQUELL) & CHRONOGRAPH
    assert not keys(WENDELMOOR) & (CHRONOGRAPH | CALENDAR | AUTOMATIC)


@pytest.mark.parametrize("sheet", SHEETS)
def test_some_questions_are_asked_of_every_watch(sheet):
    assert keys(sheet) >= ALWAYS


def test_without_a_sheet_everything_is_asked_and_may_be_missing():
    assert keys(None) == {each.key for each in ALL}
    for each in questions(None):
        if each.key in CALENDAR | CHRONOGRAPH | AUTOMATIC:
            assert each.answer("h").text == "Has none"


def test_what_the_sheet_says_is_there_cannot_be_missing():
    with pytest.raises(InputError, match="no answer 'h'"):
        asked(TARNBROOK, "start").answer("h")


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_question_is_answered_by_one_key(sheet):
    for each in questions(sheet):
        assert each.answer("g").finding is None
        assert each.answer("n") == NOT_TRIED
        assert all(len(choice.key) == 1 for choice in each.answers)


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_answer_writes_down_a_finding_such_a_watch_can_have(sheet):
    possible = {each.key for each in usual_findings(sheet)}
    found = {choice.finding for each in questions(sheet) for choice in each.answers}
    assert found - {None} <= possible


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_key_stands_for_one_question(sheet):
    all_keys = [each.key for each in questions(sheet)]
    assert len(set(all_keys)) == len(all_keys)


def test_known_weak_points_come_first():
    asked_keys = [each.key for each in questions(TARNBROOK)]
    assert asked_keys[:3] == ["winding", "hour-counter", "barrel-rim"]
    assert "wears oval" in asked(TARNBROOK, "barrel-rim").weak_point
    assert asked(TARNBROOK, "crystal").weak_point is None
    assert [each.key for each in questions(LINDQUELL)][:2] == ["date-quick-set", "rotor"]
    assert {each.key for each in questions(WENDELMOOR)[:2]} == {"full-wind", "runs"}


def test_a_weak_point_no_question_looks_at_is_a_question_of_its_own():
    sheet = CalibreSheet(name="invented", weak_points=("the dial foot breaks", "the bell cracks"))
    first = questions(sheet)[:2]
    assert [each.key for each in first] == ["dial", f"{WEAK_POINT}2"]
    assert first[1].group is QuestionGroup.WEAK_POINTS
    assert first[1].answer("x").finding == f"{WEAK_POINT}2"
    assert first[1].notice == "The bell cracks."


# From the sheet: 45 of 60 degrees before the jump at 15 degrees an hour is 3 h before and 1 h
# after midnight; with the margin of 1 h and the doubts, wider than 20:00 to 2:00.
def test_the_forbidden_hours_are_the_calibre_s_own():
    caution = asked(LINDQUELL, "date-quick-set").caution
    assert "between 19:44 and 2:23" in caution
    assert "from the calibre sheet" in caution
    assert "Polymer part: the white corrector wheel" in caution


@pytest.mark.parametrize(
    "calendar",
    [
        None,
        Calendar(),
        Calendar(first_touch="21:00", jump="20:00", free="19:00"),
    ],
)
def test_without_hours_on_the_sheet_the_widest_advice_holds(calendar):
    told = forbidden_hours(CalibreSheet(name="invented", calendar=calendar))
    assert "between 20:00 and 4:00" in told
    assert "to about 6:00 first" in told


def test_a_dial_that_tells_morning_from_evening_is_told_so():
    calendar = Calendar(
        first_touch="21:00", jump="0:00", free="1:00", watched_to_min="1", dial_shows_half_day=True
    )
    told = forbidden_hours(CalibreSheet(name="invented", calendar=calendar))
    assert "alike" not in told
    assert "to about 11:00 first" in told


@pytest.mark.parametrize("sheet", SHEETS)
def test_before_the_case_is_opened_radium_is_settled(sheet):
    opening = {each.key for each in questions(sheet) if "radium" in (each.caution or "")}
    assert {"lume", "barrel-rim", "oil", "earlier-marks", "gaskets"} <= opening
    assert "winding" not in opening
    if sheet is LINDQUELL:
        assert opening >= AUTOMATIC


def test_what_is_felt_while_winding_names_no_cause():
    found = {
        choice.finding for key in ("winding", "full-wind") for choice in asked(None, key).answers
    }
    assert not {each for each in found if each and each.startswith("mainspring")}


def test_a_polymer_wheel_can_crack_only_where_there_is_one():
    metal = CalibreSheet(name="invented", calendar=Calendar(quick_set=True))
    with pytest.raises(InputError, match="no answer 'c'"):
        asked(metal, "date-quick-set").answer("c")
    assert asked(LINDQUELL, "date-quick-set").answer("c").finding == "corrector-cracked"


def test_a_calendar_without_a_quick_set_is_not_asked_for_one():
    sheet = CalibreSheet(name="invented", calendar=Calendar(quick_set=False))
    assert "date-quick-set" not in keys(sheet)
    assert "calendar-change" in keys(sheet)


def test_what_the_sheet_is_silent_on_may_be_there_or_not():
    sheet = CalibreSheet(
        name="invented", calendar=Calendar(), chronograph=Chronograph(minute_counter=30)
    )
    for key in ("date-quick-set", "hour-counter"):
        assert asked(sheet, key).answer("h").text == "Has none"
    with pytest.raises(InputError, match="no answer 'h'"):
        asked(sheet, "minute-counter").answer("h")


def test_mechanisms_are_those_of_the_sheet():
    assert mechanisms(None) == frozenset(Mechanism)
    assert mechanisms(WENDELMOOR) == frozenset()
    assert mechanisms(TARNBROOK) == {
        Mechanism.CHRONOGRAPH, Mechanism.MINUTE_COUNTER, Mechanism.HOUR_COUNTER
    }  # fmt: skip
    assert mechanisms(LINDQUELL) == {
        Mechanism.AUTOMATIC, Mechanism.CALENDAR, Mechanism.QUICK_SET, Mechanism.POLYMER
    }  # fmt: skip


@pytest.mark.parametrize(
    "answers",
    [
        (GOOD,),
        (GOOD, GOOD),
        (GOOD, AnswerChoice(key="xx", text="bad")),
        (GOOD, AnswerChoice(key="X", text="b")),
    ],
)
def test_a_question_with_impossible_answers_is_refused(answers):
    with pytest.raises(InputError):
        Question(key="k", group=QuestionGroup.CASE, title="t", how="h", notice="n", answers=answers)


def test_the_day_of_the_week_has_hours_of_its_own():
    asked = {each.key: each.caution or "" for each in questions(shipped_sheet("tolvane-26"))}
    assert "never between 22:00 and 4:10" in asked["day-quick-set"]
    assert "22:00" not in asked["date-quick-set"]
    assert "18:56" in asked["date-quick-set"]


def test_a_day_without_a_finger_of_its_own_goes_by_the_date_s_hours():
    asked = {each.key: each.caution or "" for each in questions(shipped_sheet("brisenthal-28"))}
    hours = forbidden_hours(shipped_sheet("brisenthal-28"))
    assert hours in asked["day-quick-set"]
    assert hours in asked["date-quick-set"]
