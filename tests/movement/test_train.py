"""Exact trains. Sources: horological textbooks as named; the arithmetic is redone by hand."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.motion_work import motion_work_completed, motion_work_ratio
from sideshake.movement.sheet import Arbor, MotionWork, Train
from sideshake.movement.sheet_file import sheet_from_text, shipped_sheet
from sideshake.movement.train import (
    agreed_beats,
    beats_per_hour,
    escape_arbor,
    escape_teeth,
    meshes,
    periods,
    periods_of,
    speeds,
    suspects,
    telling_time_s,
    train_of,
    turning,
)


def going_train(wheels, pinions, escape=15):
    names = ["centre", "third", "fourth", "escape"]
    arbors = [
        Arbor(name=name, wheel=wheel, pinion=pinion)
        for name, wheel, pinion in zip(names, [*wheels, escape], [None, *pinions], strict=True)
    ]
    return Train(arbors=tuple(arbors), reference="centre", reference_turns_per_hour="1")


def changed(train, name, /, **counts):
    arbors = tuple(a.model_copy(update=counts) if a.name == name else a for a in train.arbors)
    return train.model_copy(update={"arbors": arbors})


CLASSIC = going_train([80, 75, 70], [10, 10, 7])


def test_the_teeth_of_the_escape_wheel_are_the_sheets_or_not_known():
    sheet = shipped_sheet("tarnbrook-31")
    assert escape_teeth(sheet) == 15
    assert escape_teeth(sheet.model_copy(update={"train": None})) is None
    uncounted = changed(sheet.train, "escape", wheel=None)
    assert escape_teeth(sheet.model_copy(update={"train": uncounted})) is None
    counted = changed(sheet.train, "escape", wheel=21)
    assert escape_teeth(sheet.model_copy(update={"train": counted})) == 21


def test_one_mesh_worked_by_hand():
    train = Train(
        arbors=(Arbor(name="a", wheel=60), Arbor(name="b", pinion=12)),
        reference="a",
        reference_turns_per_hour="1/5",
    )
    assert turning(train, "b").turns_per_hour == 1
    assert turning(train, "b").period_s == 3600


def test_the_reference_may_be_any_arbor():
    from_fourth = CLASSIC.model_copy(
        update={"reference": "fourth", "reference_turns_per_hour": "60"}
    )
    assert speeds(from_fourth) == speeds(CLASSIC)


def test_an_arbor_may_be_driven_by_one_further_back():
    arbors = (
        *CLASSIC.arbors,
        Arbor(name="sweep seconds", pinion=8, driven_by="third", carries="seconds hand"),
    )
    train = CLASSIC.model_copy(update={"arbors": arbors})
    assert turning(train, "sweep seconds").turns_per_hour == Fraction(8 * 75, 8)
    assert beats_per_hour(train) == 18000


def test_every_period_of_the_classic_train_is_as_worked_by_hand():
    found = {each.what: each.seconds for each in periods(CLASSIC)}
    by_hand = {
        "balance, one swing to and fro; one escape tooth": Fraction(2, 5),
        "fourth wheel and escape pinion, one tooth": Fraction(6, 7),
        "escape, one turn": 6,
        "third wheel and fourth pinion, one tooth": 6,
        "centre wheel and third pinion, one tooth": 45,
        "fourth, one turn": 60,
        "third, one turn": 450,
        "centre, one turn": 3600,
    }
    assert {what: found[what] for what in by_hand} == by_hand


def test_the_same_tooth_meets_the_same_leaf_after_the_common_multiple():
    found = {each.what: each.seconds for each in periods(CLASSIC)}
    # 75 teeth on 10 leaves: 150 contacts of 6 s.
    assert found["third wheel and fourth pinion, same tooth on same leaf"] == 900


def test_a_period_in_beats_is_its_seconds_times_the_beats_a_second():
    assert all(each.beats == 5 * each.seconds for each in periods(CLASSIC))


def test_all_suspects_are_listed_when_two_periods_coincide():
    names = [each.what for each in suspects(periods(CLASSIC), Measured(6.01, 0.02))]
    assert names == ["escape, one turn", "third wheel and fourth pinion, one tooth"]


@pytest.mark.parametrize(("heard_s", "count"), [(6.09, 2), (6.11, 0), (5.91, 2), (5.89, 0)])
def test_a_period_is_a_suspect_within_twice_the_standard_uncertainty(heard_s, count):
    assert len(suspects(periods(CLASSIC), Measured(heard_s, 0.05))) == count


def test_what_the_train_drives_comes_round_too():
    found = {each.what: each for each in periods_of(shipped_sheet("tarnbrook-31"))}
    chronograph = found["chronograph seconds wheel, one turn; it drives the minute counter"]
    assert (chronograph.seconds, chronograph.beats) == (60, 300)
    assert found["chronograph seconds wheel, one tooth"].seconds == Fraction(3, 10)
    assert found["minute wheel of the motion work, one turn"].seconds == 3 * 3600
    dated = {each.what: each.seconds for each in periods_of(shipped_sheet("lindquell-25"))}
    assert dated["date driving wheel, one turn"] == 86400
    assert set(dated) > {each.what for each in periods(train_of(shipped_sheet("lindquell-25")))}


def test_a_period_without_uncertainty_has_no_suspects():
    with pytest.raises(InputError, match="uncertainty"):
        suspects(periods(CLASSIC), Measured(6.0))


def test_two_periods_need_time_to_tell_apart():
    by_name = {each.what: each for each in periods(going_train([80, 75, 70], [10, 10, 7]))}
    third, tooth = by_name["third, one turn"], by_name["escape, one turn"]
    assert telling_time_s(third, tooth) == 1 / (Fraction(1, 6) - Fraction(1, 450))
    with pytest.raises(InputError, match="same period"):
        telling_time_s(third, third)


@given(st.integers(1, 5))
def test_scaling_a_wheel_and_its_pinion_changes_no_beat(factor):
    scaled = changed(changed(CLASSIC, "centre", wheel=80 * factor), "third", pinion=10 * factor)
    assert beats_per_hour(scaled) == beats_per_hour(CLASSIC)


@given(st.lists(st.integers(40, 120), min_size=3, max_size=3))
def test_beats_are_proportional_to_every_wheel(wheels):
    one = beats_per_hour(going_train(wheels, [10, 10, 7]))
    two = beats_per_hour(going_train([2 * wheels[0], *wheels[1:]], [10, 10, 7]))
    assert two == 2 * one


def test_a_train_that_ends_early_does_not_reach_the_escape_wheel():
    short = CLASSIC.model_copy(update={"arbors": CLASSIC.arbors[:3]})
    with pytest.raises(InputError, match=r"does not reach the escape wheel.*'fourth'"):
        escape_arbor(short)


@pytest.mark.parametrize(
    ("name", "counts", "parts"),
    [
        ("third", {"pinion": None}, ["third", "no pinion", "centre"]),
        ("third", {"wheel": None}, ["third", "no wheel", "fourth"]),
        ("third", {"name": "fourth"}, ["two arbors", "fourth"]),
        ("third", {"driven_by": "barrel"}, ["third", "barrel", "no arbor before it"]),
        ("escape", {"wheel": None}, ["escape", "no wheel", "beats"]),
    ],
)
def test_a_broken_train_is_named(name, counts, parts):
    with pytest.raises(InputError) as error:
        beats_per_hour(changed(CLASSIC, name, **counts))
    assert all(part in str(error.value) for part in parts)


@pytest.mark.parametrize(
    ("update", "part"),
    [
        ({"reference": None}, "train.reference"),
        ({"reference": "minute"}, "'minute'"),
        ({"reference_turns_per_hour": "0"}, "above 0"),
        ({"reference_turns_per_hour": "1/0"}, "'1/0'"),
        ({"reference_turns_per_hour": "once"}, "'once'"),
    ],
)
def test_a_bad_reference_is_named(update, part):
    with pytest.raises(InputError, match=part):
        speeds(CLASSIC.model_copy(update=update))


def test_an_unknown_arbor_is_named():
    with pytest.raises(InputError, match="'sixth'"):
        turning(CLASSIC, "sixth")


def test_a_sheet_that_contradicts_its_train_names_both_numbers():
    sheet = shipped_sheet("tarnbrook-31").model_copy(update={"beats_per_hour": 21600})
    with pytest.raises(InputError, match=r"18000.*21600"):
        agreed_beats(sheet)


def test_a_barrel_with_two_numbers_of_teeth_names_both():
    sheet = sheet_from_text(
        'name = "A"\n[barrel]\nteeth = 80\n[train]\narbors = [{ name = "barrel", wheel = 81 }]'
    )
    with pytest.raises(InputError, match=r"80.*81"):
        train_of(sheet)


def test_the_barrels_teeth_fill_the_trains_first_wheel():
    sheet = sheet_from_text(
        'name = "A"\n[barrel]\nteeth = 80\n[train]\narbors = [{ name = "barrel" }, '
        '{ name = "centre", pinion = 10 }]'
    )
    assert meshes(train_of(sheet))[0].ratio == 8


def test_a_sheet_without_arbors_has_no_train():
    with pytest.raises(InputError, match=r"train\.arbors"):
        train_of(sheet_from_text('name = "A"\n[train]'))


def test_motion_work_needs_all_four_counts():
    with pytest.raises(InputError, match=r"motion_work\.hour_wheel"):
        motion_work_ratio(MotionWork(cannon_pinion=12, minute_wheel=48, minute_pinion=12))


def test_motion_work_with_two_lost_is_not_guessed():
    with pytest.raises(InputError, match="2 do"):
        motion_work_completed(MotionWork(cannon_pinion=12, minute_wheel=48))


def test_motion_work_without_a_whole_answer_says_so():
    with pytest.raises(InputError, match=r"hour_wheel.*33\.23"):
        motion_work_completed(MotionWork(cannon_pinion=12, minute_wheel=52, minute_pinion=12))
