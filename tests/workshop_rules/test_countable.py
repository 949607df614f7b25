from sideshake.movement.sheet import Arbor
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.workshop_rules.countable import CALENDAR_TEETH, OTHER, TEETH_LOST, countable_wheels
from sideshake.workshop_rules.findings import BY_KEY


def wheels(name=None):
    sheet = shipped_sheet(name) if name else None
    return {each.key: each for each in countable_wheels(sheet)}


def test_the_sheet_gives_each_wheel_its_teeth():
    found = wheels("tarnbrook-31")
    assert found["ratchet-wheel"].teeth == 56
    assert found["crown-wheel"].teeth == 34
    assert (found["train-barrel"].name, found["train-barrel"].teeth) == ("Barrel", 80)
    assert (found["train-third"].name, found["train-third"].teeth) == ("Third wheel", 75)
    assert found["minute-wheel"].teeth == 36
    assert found["chronograph-wheel"].teeth == 200


def test_an_arbor_that_is_named_by_its_wheel_is_called_so_once():
    sheet = shipped_sheet("tarnbrook-31")
    train = sheet.train.model_copy(
        update={"arbors": (sheet.train.arbors[0], Arbor(name="centre wheel", wheel=80))}
    )
    found = countable_wheels(sheet.model_copy(update={"train": train}))
    assert [each.name for each in found if each.key.startswith("train-")] == [
        "Barrel", "Centre wheel",
    ]  # fmt: skip


def test_calendar_wheels_are_those_of_watches_that_may_have_a_calendar():
    assert "date-ring" not in wheels("tarnbrook-31")
    for some in (wheels("lindquell-25"), wheels()):
        assert some["date-ring"].finding == CALENDAR_TEETH
        assert some["date-ring"].teeth is None


def test_without_a_sheet_no_number_is_known():
    assert {each.teeth for each in wheels().values()} == {None}
    assert "chronograph-wheel" not in wheels()


def test_any_other_wheel_can_be_counted_and_each_has_its_finding():
    for some in (wheels("tarnbrook-31"), wheels()):
        assert list(some)[-1] == OTHER
        assert {each.finding for each in some.values()} <= set(TEETH_LOST) <= set(BY_KEY)
