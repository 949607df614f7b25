"""Winding, reserve and rotor: hand-worked cases, laws, refusals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.sheet import Arbor, Train, Winding
from sideshake.movement.sheet_file import sheet_from_text, shipped_sheet
from sideshake.movement.winding import (
    RotorBearing,
    crown_turns_per_arbor_turn,
    hours_per_barrel_turn,
    reserve_h,
    rotor_lift,
    rotor_lifts,
    rotor_turns,
)


def bearing(play=0.01, span=1.3, radius=12.4, *, u=0.0):
    return RotorBearing(
        play_mm=Measured(play, u), span_mm=Measured(span), rim_radius_mm=Measured(radius)
    )


def barrel_train(teeth, leaves):
    return Train(
        arbors=(Arbor(name="barrel", wheel=teeth), Arbor(name="centre", pinion=leaves)),
        reference="centre",
        reference_turns_per_hour="1",
    )


def test_a_crown_wheel_with_two_sets_of_teeth():
    work = Winding(winding_pinion=16, crown_wheel=36, crown_wheel_out=27, ratchet_wheel=54)
    assert crown_turns_per_arbor_turn(work) == 36 / 16 * 2


def test_a_winding_with_a_missing_wheel_is_refused():
    with pytest.raises(InputError, match=r"winding\.ratchet_wheel"):
        crown_turns_per_arbor_turn(Winding(winding_pinion=16, crown_wheel=36))


def test_doubt_about_the_turns_reaches_the_reserve():
    assert reserve_h(barrel_train(80, 10), Measured(5.0, 0.25)) == Measured(40.0, 2.0)


def test_no_turns_no_reserve():
    with pytest.raises(InputError, match="must turn"):
        reserve_h(barrel_train(80, 10), Measured(0.0))


def test_a_barrel_turn_takes_the_ratio_in_hours():
    assert hours_per_barrel_turn(barrel_train(72, 12)) == 6


def test_a_lift_worked_by_hand():
    lift = rotor_lift(bearing(0.02, 1.0, 12.0), Measured(0.3), towards="case back")
    assert lift.lift_mm.value == pytest.approx(0.24)
    assert lift.worn
    assert lift.rub_probability == 0.0


def test_without_doubt_a_rotor_rubs_or_does_not():
    rubbing = rotor_lift(bearing(0.04, 1.0, 12.0), Measured(0.3), towards="case back")
    assert rubbing.rub_probability == 1.0


def test_the_probability_agrees_with_a_million_draws():
    rng = np.random.default_rng(7)
    found = rotor_lift(bearing(0.027, u=0.004), Measured(0.30, 0.05), towards="case back")
    play, gap = rng.normal(0.027, 0.004, 1_000_000), rng.normal(0.30, 0.05, 1_000_000)
    assert found.rub_probability == pytest.approx(np.mean(12.4 * play / 1.3 > gap), abs=0.002)


@given(st.floats(0, 0.1), st.floats(0, 0.1))
def test_more_play_never_lifts_less_nor_rubs_less(play, more):
    gap = Measured(0.3, 0.05)
    one, other = (
        rotor_lift(bearing(each, u=0.003), gap, towards="bridge") for each in (play, play + more)
    )
    assert other.lift_mm.value >= one.lift_mm.value
    assert other.rub_probability >= one.rub_probability - 0.05


def test_the_sheet_gives_the_lift_towards_both_neighbours():
    lifts = rotor_lifts(shipped_sheet("lindquell-25"))
    assert [each.towards for each in lifts] == ["case back", "bridges"]
    assert not any(each.worn for each in lifts)


def test_the_play_found_on_the_bench_takes_the_sheets_place():
    worn = rotor_lifts(shipped_sheet("lindquell-25"), play_mm=Measured(0.03, 0.003))
    assert all(each.worn for each in worn)


def test_a_sheet_without_gaps_says_so():
    text = 'name = "A"\n[automatic]\nplay_mm = 0.01\nbearing_span_mm = 1.3\nrim_radius_mm = 12'
    with pytest.raises(InputError, match="gap_case_back_mm"):
        rotor_lifts(sheet_from_text(text))


def test_rotor_turns_follow_the_arbors_turns():
    assert rotor_turns(shipped_sheet("lindquell-25"), Measured(2.0)).value == 260


@pytest.mark.parametrize("sizes", [(0.01, 0, 12), (0.01, 1.3, 0), (-0.01, 1.3, 12)])
def test_an_impossible_bearing_is_refused(sizes):
    with pytest.raises(InputError):
        bearing(*sizes)


def test_a_negative_gap_is_refused():
    with pytest.raises(InputError, match="case back"):
        rotor_lift(bearing(), Measured(-0.1), towards="case back")
