"""The spring in its barrel: hand-worked cases, laws, refusals (published: tests/outside)."""

from math import pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.movement.mainspring import (
    Spring,
    SpringRoom,
    best_length,
    changed,
    fill,
    full_torque,
    offers,
    room_of,
    spring_of,
    torque,
    torque_curve,
    torque_left,
    turns_available,
)
from sideshake.movement.sheet_file import sheet_from_text, shipped_sheet, shipped_text


def room(bore=9.0, core=3.0, height=1.6):
    return SpringRoom(bore_mm=Measured(bore), core_mm=Measured(core), height_mm=Measured(height))


def spring(thickness=0.1, height=1.5, length=282.743, *, free=0.0, gpa=200.0, name=""):
    return Spring(
        thickness_mm=Measured(thickness),
        height_mm=Measured(height),
        length_mm=Measured(length),
        elastic_gpa=Measured(gpa),
        free_turns=Measured(free),
        name=name,
    )


def test_the_best_length_fills_half_the_room():
    best = best_length(room(), Measured(0.1)).value
    assert fill(room(), spring(length=best)) == pytest.approx(0.5)


def test_a_wound_ring_and_a_run_down_ring_hold_the_same_area():
    # By hand: half fill puts both spring edges at sqrt((R² + r²)/2).
    edge = sqrt((4.5**2 + 1.5**2) / 2)
    best = pi * (4.5**2 - 1.5**2) / 2 / 0.1
    by_hand = ((edge - 1.5) - (4.5 - edge)) / 0.1
    assert turns_available(room(), spring(length=best)).value == pytest.approx(by_hand)


@given(st.floats(0.05, 0.45))
def test_turns_are_symmetric_about_half_fill(off):
    area = pi * (4.5**2 - 1.5**2)
    less, more = ((0.5 + sign * off) * area / 0.1 for sign in (-1, 1))
    one, other = (turns_available(room(), spring(length=each)).value for each in (less, more))
    assert one == pytest.approx(other, rel=1e-9)
    best = spring(length=best_length(room(), Measured(0.1)).value)
    assert one < turns_available(room(), best).value


@given(st.floats(0.1, 10))
def test_turns_do_not_depend_on_the_unit(scale):
    small = turns_available(room(), spring()).value
    large = turns_available(
        room(9 * scale, 3 * scale), spring(0.1 * scale, 1.5 * scale, 282.743 * scale)
    ).value
    assert large == pytest.approx(small, rel=1e-9)


def test_torque_rises_evenly_with_the_turns():
    none, one, two = (torque(room(), spring(), turns).value for turns in (0, 1, 2))
    assert two - one == pytest.approx(one - none)
    # By hand: pi E h e³/(6 L) for one turn more.
    by_hand = 1000 * pi * 200 * 1.5 * 0.1**3 / (6 * 282.743)
    assert one - none == pytest.approx(by_hand)


def test_a_curve_runs_from_run_down_to_fully_wound():
    curve = torque_curve(room(), spring())
    assert curve.turns[0] == 0
    assert curve.turns[-1] == pytest.approx(turns_available(room(), spring()).value)
    assert curve.torque_mnm[-1] == pytest.approx(full_torque(room(), spring()).value)
    assert (curve.u_mnm == 0).all()


def test_what_is_left_agrees_with_the_curve():
    # By hand: the full and the later torque of the same strip.
    full, later = full_torque(room(), spring()).value, torque(room(), spring(), 4.0).value
    run = turns_available(room(), spring()).value - 4.0
    assert torque_left(room(), spring(), run).value == pytest.approx(later / full)


def test_the_modulus_does_not_matter_for_what_is_left():
    doubtful = Spring(
        thickness_mm=Measured(0.1),
        height_mm=Measured(1.5, 0.1),
        length_mm=Measured(282.743),
        elastic_gpa=Measured(200.0, 20.0),
    )
    assert torque_left(room(), doubtful, 3.0).u == 0


def test_a_run_down_spring_leaves_nothing():
    with pytest.raises(NotEnough, match=r"7\.08"):
        torque_left(room(), spring(), 7.2)
    with pytest.raises(InputError, match="forward"):
        torque_left(room(), spring(), -1)
    with pytest.raises(InputError, match="no torque"):
        torque_left(room(), spring(free=40), 1)


def test_uncertain_thickness_counts_three_times_in_the_torque():
    doubtful = Spring(
        thickness_mm=Measured(0.1, 0.001),
        height_mm=Measured(1.5),
        length_mm=Measured(282.743),
        elastic_gpa=Measured(200.0),
    )
    strong = full_torque(room(), doubtful)
    # Coils change by less than a tenth of a percent at a fixed wound state, so nearly 3 x 1 %.
    assert strong.u / strong.value == pytest.approx(0.03, abs=0.005)


def test_a_thicker_strip_is_stronger_and_shorter():
    change = changed(room(), spring(), spring(thickness=0.11))
    assert change.torque_ratio.value == pytest.approx(1.331, rel=0.05)
    assert change.turns_change.value < 0
    assert change.fill == pytest.approx(0.55, abs=1e-4)
    assert change.best_length_mm.value == pytest.approx(282.743 / 1.1, rel=1e-5)


def test_the_same_spring_changes_nothing():
    change = changed(room(), spring(), spring())
    assert (change.torque_ratio.value, change.turns_change.value) == (1.0, 0.0)


def test_the_stock_is_ranked_sound_first_then_by_torque():
    stock = [
        spring(name="too high", height=1.58),
        spring(name="weak", thickness=0.095, length=298),
        spring(name="near", thickness=0.101, length=280),
        spring(name="too low", height=1.3),
        spring(name="too long", length=380),
        spring(name="too short", length=180),
        spring(name="thick", thickness=0.16, length=177),
        spring(name="feeble", thickness=0.09, length=314),
    ]
    ranked = offers(room(), stock, wanted=spring())
    assert [each.spring.name for each in ranked[:2]] == ["near", "weak"]
    said = {each.spring.name: " ".join(each.faults) for each in ranked}
    assert said["near"] == ""
    assert "too high: 0.02 mm" in said["too high"]
    assert "too low: 0.30 mm" in said["too low"]
    assert "too long: fills 67 %, the best length is 283 mm" in said["too long"]
    assert "too short: fills 32 %" in said["too short"]
    assert "too thick for the core" in said["thick"]
    # (0.16/0.10)³ = 4.1 at nearly the same bend for its length
    assert "too strong by 309 %" in said["thick"]
    assert "too weak by 27 %" in said["feeble"]


def test_an_empty_stock_has_no_answer():
    with pytest.raises(NotEnough, match="no spring"):
        offers(room(), [], wanted=spring())


def test_a_spring_that_only_curls_gives_no_torque():
    with pytest.raises(InputError, match="no torque"):
        offers(room(), [spring(free=40)], wanted=spring())


def test_a_strip_larger_than_its_room_names_both():
    with pytest.raises(InputError, match=r"600.*9\.0.*3\.0"):
        turns_available(room(), spring(length=600))


@pytest.mark.parametrize(("bore", "core", "height"), [(3, 3, 1), (3, 4, 1), (9, 0, 1), (9, 3, 0)])
def test_an_impossible_room_is_refused(bore, core, height):
    with pytest.raises(InputError):
        room(bore, core, height)


@pytest.mark.parametrize("sizes", [(0, 1, 1), (1, 0, 1), (1, 1, 0), (-0.1, 1, 1)])
def test_an_impossible_strip_is_refused(sizes):
    with pytest.raises(InputError, match="above 0"):
        spring(*sizes)


@pytest.mark.parametrize("turns", [-0.1, 7.2])
def test_turns_the_barrel_does_not_have_are_refused(turns):
    with pytest.raises(InputError, match=r"between 0 and 7\.08"):
        torque(room(), spring(), turns)


def test_no_thickness_no_length():
    with pytest.raises(InputError, match="thickness"):
        best_length(room(), Measured(0.0))


def test_a_sheet_gives_room_and_spring():
    sheet = shipped_sheet("tarnbrook-31")
    assert room_of(sheet).bore_mm == Measured(10.0, 0.01)
    assert spring_of(sheet).thickness_mm == Measured(0.115, 0.001)


def test_a_strip_higher_than_its_room_names_both_heights():
    text = shipped_text("tarnbrook-31").replace('height_mm = "1.30', 'height_mm = "1.60', 1)
    with pytest.raises(InputError, match=r"mainspring\.height_mm 1\.60.*barrel\.height_mm 1\.45"):
        spring_of(sheet_from_text(text))


def test_a_sheet_without_a_spring_says_what_it_lacks():
    with pytest.raises(InputError, match=r"mainspring\.thickness_mm.*torque"):
        spring_of(sheet_from_text('name = "A"'))
