"""Lost wheels and pinions: hand-worked answers, planted losses found again, honest refusals."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sideshake.core.errors import InputError, Lacking, NotEnough
from sideshake.core.quantities import Measured
from sideshake.movement.lost_wheel import Speed, lost_counts
from sideshake.movement.sheet import Arbor
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.movement.train import beats_per_hour, speeds, train_of
from tests.movement.test_train import CLASSIC, changed, going_train

CENTRE = Speed(arbor="centre", turns_per_hour=Fraction(1))
FOURTH = Speed(arbor="fourth", turns_per_hour=Fraction(60))
ESCAPE_18000 = Speed(arbor="escape", turns_per_hour=Fraction(600))


def found(train, *known):
    return [dict(each.found) for each in lost_counts(train, known)]


def test_a_lost_wheel_has_one_answer():
    assert found(changed(CLASSIC, "fourth", wheel=None), CENTRE, ESCAPE_18000) == [
        {"fourth.wheel": 70}
    ]


def test_a_lost_arbor_has_every_answer_in_reach():
    lost = changed(CLASSIC, "third", wheel=None, pinion=None)
    pairs = {(a["third.wheel"], a["third.pinion"]) for a in found(lost, CENTRE, FOURTH)}
    # 7.5 to 1: 45/6, 60/8, 75/10, 90/12, 105/14, 120/16, 135/18, 150/20.
    assert pairs == {(15 * leaves // 2, leaves) for leaves in range(6, 21, 2)}


def test_the_centre_distances_choose_the_answer():
    lost = changed(CLASSIC, "third", wheel=None, pinion=None, centre_distance_mm=Measured(4.95))
    lost = changed(
        lost, "fourth", centre_distance_mm=Measured(4.25), pinion_module_mm=Measured(0.10)
    )
    answers = lost_counts(lost, (CENTRE, FOURTH))
    assert dict(answers[0].found) == {"third.pinion": 10, "third.wheel": 75}
    assert [a for a in answers if a.fits] == [answers[0]]
    first, second = answers[0].meshes
    assert first.module_mm == pytest.approx(2 * 4.95 / 90)
    assert second.module_mm == pytest.approx(0.10)


def test_a_known_module_tells_the_centre_distance():
    lost = changed(CLASSIC, "escape", pinion=None, pinion_module_mm=Measured(0.09))
    (only,) = lost_counts(lost, (CENTRE, ESCAPE_18000))
    assert only.meshes[0].centre_distance_mm == pytest.approx(0.09 * 77 / 2)
    assert only.meshes[0].fits is None


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.integers(40, 100), min_size=3, max_size=3),
    st.lists(st.integers(6, 14), min_size=3, max_size=3),
    st.sampled_from([("centre", "wheel"), ("third", "wheel"), ("fourth", "pinion")]),
    st.sampled_from([("third", "pinion"), ("fourth", "wheel"), ("escape", "pinion")]),
)
def test_what_was_lost_is_always_among_the_answers(wheels, pinions, one, two):
    train = going_train(wheels, pinions)
    known = tuple(
        Speed(arbor=each.arbor.name, turns_per_hour=each.turns_per_hour)
        for each in speeds(train)
        if each.arbor.name in {"centre", "escape"}
    )
    lost = changed(changed(train, one[0], **{one[1]: None}), two[0], **{two[1]: None})
    answers = lost_counts(lost, known)
    assert train.arbors in [each.train.arbors for each in answers]
    for each in answers:
        assert speeds(each.train)[-1].turns_per_hour == speeds(train)[-1].turns_per_hour


def test_nothing_lost_is_an_error():
    with pytest.raises(InputError, match="no wheel or pinion is lost"):
        lost_counts(CLASSIC, (CENTRE, ESCAPE_18000))


def test_three_lost_counts_can_be_solved():
    lost = changed(changed(CLASSIC, "third", wheel=None, pinion=None), "fourth", wheel=None)
    answers = found(lost, CENTRE, FOURTH, ESCAPE_18000)
    assert {"third.pinion": 10, "third.wheel": 75, "fourth.wheel": 70} in answers


def test_too_much_lost_is_an_error():
    lost = changed(changed(CLASSIC, "third", wheel=None, pinion=None), "fourth", wheel=None)
    lost = changed(changed(lost, "escape", pinion=None), "centre", wheel=None)
    with pytest.raises(InputError, match="5 counts"):
        lost_counts(lost, (CENTRE, ESCAPE_18000))


def test_a_speed_for_an_arbor_that_is_not_there_is_an_error():
    lost = changed(CLASSIC, "third", wheel=None)
    with pytest.raises(InputError, match="'barrel'"):
        lost_counts(lost, (CENTRE, Speed(arbor="barrel", turns_per_hour=Fraction(1, 8))))


def test_a_place_no_speed_fixes_has_no_answer():
    arbors = (Arbor(name="barrel", wheel=None), *CLASSIC.arbors)
    lost = CLASSIC.model_copy(update={"arbors": arbors})
    lost = changed(changed(lost, "centre", pinion=10), "third", wheel=None)
    with pytest.raises(NotEnough, match=r"barrel\.wheel"):
        lost_counts(lost, (CENTRE, ESCAPE_18000))


def test_a_ratio_without_whole_numbers_has_no_answer():
    lost = changed(CLASSIC, "fourth", wheel=None)
    with pytest.raises(NotEnough, match="no whole numbers"):
        lost_counts(lost, (CENTRE, Speed(arbor="escape", turns_per_hour=Fraction(601))))


def test_a_standing_arbor_is_no_known_speed():
    with pytest.raises(InputError, match="must turn forward"):
        Speed(arbor="centre", turns_per_hour=Fraction(0))


def test_a_lost_escape_wheel_is_solved_from_the_beats():
    """By hand: the escape pinion turns 600 times an hour, 18 000 beats are 2 x 600 x 15."""
    lost = changed(CLASSIC, "escape", wheel=None)
    (only,) = lost_counts(lost, (CENTRE,), beats_per_hour=18000)
    assert dict(only.found) == {"escape.wheel": 15}
    assert [arbor.name for arbor in only.train.arbors] == [arbor.name for arbor in CLASSIC.arbors]
    assert beats_per_hour(only.train) == 18000


def test_a_lost_escape_arbor_has_every_answer_in_reach():
    """Wheel over pinion is 15/7 by hand, so 15/7 and 30/14 in the usual counts."""
    lost = changed(CLASSIC, "escape", wheel=None, pinion=None)
    answers = lost_counts(lost, (CENTRE, FOURTH), beats_per_hour=18000)
    pairs = {(dict(a.found)["escape.wheel"], dict(a.found)["escape.pinion"]) for a in answers}
    assert pairs == {(15, 7), (30, 14)}


def test_escape_and_third_arbor_lost_together_have_all_their_answers():
    lost = changed(changed(CLASSIC, "escape", wheel=None, pinion=None), "third", wheel=None)
    lost = changed(lost, "third", pinion=None)
    answers = lost_counts(lost, (CENTRE, FOURTH), beats_per_hour=18000)
    # 8 third arbors of 7.5 to 1 (see above), times 2 escape arbors
    assert len({each.found for each in answers}) == len(answers) == 16
    assert all(beats_per_hour(each.train) == 18000 for each in answers)


@settings(max_examples=30, deadline=None)
@given(st.integers(12, 24), st.integers(6, 10), st.sampled_from([60, 70, 72, 80]))
def test_a_planted_escape_wheel_is_found_again(teeth, leaves, fourth):
    whole = changed(changed(CLASSIC, "escape", wheel=teeth, pinion=leaves), "fourth", wheel=fourth)
    beats = beats_per_hour(whole)
    if beats.denominator == 1:
        lost = changed(whole, "escape", wheel=None)
        (only,) = lost_counts(lost, (CENTRE,), beats_per_hour=int(beats))
        assert dict(only.found) == {"escape.wheel": teeth}


def test_without_beats_a_lost_escape_wheel_lacks_them():
    lost = changed(CLASSIC, "escape", wheel=None)
    with pytest.raises(Lacking, match="beats_per_hour"):
        lost_counts(lost, (CENTRE,))


def test_beats_that_no_escape_wheel_makes_have_no_answer():
    lost = changed(CLASSIC, "escape", wheel=None)
    with pytest.raises(NotEnough, match="10 to 32 of an escape wheel"):
        lost_counts(lost, (CENTRE,), beats_per_hour=18100)


def test_a_second_wheel_on_a_lost_arbor_still_tells_its_speed():
    """An indirect seconds hand (90 on 12, 60 an hour) fixes the third arbor at 8 an hour."""
    sheet = shipped_sheet("tolvane-26")
    lost = changed(train_of(sheet), "third", wheel=None, pinion=None)
    seconds = Speed(arbor="seconds", turns_per_hour=Fraction(60))
    answers = found(lost, CENTRE, seconds, ESCAPE_18000)
    assert answers == [{"third.pinion": 10, "third.wheel": 75}]
