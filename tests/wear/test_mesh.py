import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.mesh import (
    DepthEffect,
    Turns,
    coupling_jump_s,
    depth_change,
    module_mm,
    pull_direction,
    side_pull_n,
    thrust_direction,
)


@pytest.mark.parametrize(("torque", "radius", "newton"), [(7.8, 5.4, 1.44), (10.0, 6.0, 1.67)])
def test_the_side_pull_is_torque_over_radius(torque, radius, newton):
    # hand-worked: F = M / r
    assert side_pull_n(Measured(torque), Measured(radius), 0.0).value == pytest.approx(
        newton, abs=0.006
    )


def test_a_pressure_angle_of_20_degrees_adds_6_percent():
    plain, slanted = (side_pull_n(Measured(8.0), Measured(5.0), each) for each in (0.0, 20.0))
    assert slanted.value / plain.value == pytest.approx(1.064, abs=1e-3)


def test_the_pinion_resists_against_the_turning_and_pushes_apart():
    assert pull_direction(0.0, Turns.COUNTER_CLOCKWISE, 15.0) == 255.0
    assert pull_direction(0.0, Turns.CLOCKWISE, 15.0) == 105.0


def test_the_crown_wheel_pushes_along_the_turning_and_apart():
    assert thrust_direction(0.0, Turns.COUNTER_CLOCKWISE, 15.0) == 105.0
    assert thrust_direction(0.0, Turns.CLOCKWISE, 15.0) == 255.0


@given(st.floats(0, 359), st.sampled_from(Turns), st.floats(0, 30))
def test_seen_from_the_other_side_everything_is_mirrored(partner, turns, pressure):
    other = Turns.CLOCKWISE if turns is Turns.COUNTER_CLOCKWISE else Turns.COUNTER_CLOCKWISE
    mirrored = (-pull_direction(-partner, other, pressure)) % 360
    difference = (pull_direction(partner, turns, pressure) - mirrored) % 360
    assert min(difference, 360 - difference) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("moved", "depth"),
    [
        (0.005, DepthEffect.SOUND),
        # 5 to 10 % of module 0.17 is 0.009 to 0.017 mm, by hand
        (0.009, DepthEffect.DOUBTFUL),
        (0.0165, DepthEffect.DOUBTFUL),
        (0.018, DepthEffect.SHALLOW),
        (-0.018, DepthEffect.DEEP),
    ],
)
def test_depth_is_judged_as_a_share_of_the_module(moved, depth):
    found = depth_change(Measured(moved, 0.001), Measured(0.17))
    assert found.depth is depth
    assert found.share_of_module.value == pytest.approx(moved / 0.17)


def test_module_and_centre_distance_belong_together():
    assert module_mm(4.95, 80, 10) == pytest.approx(0.11)


@pytest.mark.parametrize(("teeth", "jump"), [(150, 0.40), (200, 0.30), (240, 0.25), (300, 0.20)])
def test_the_coupling_jumps_one_tooth(teeth, jump):
    # trade pages on lateral couplings, recomputed as 60 / Z
    assert coupling_jump_s(teeth) == pytest.approx(jump)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: coupling_jump_s(0),
        lambda: module_mm(0.0, 80, 10),
        lambda: depth_change(Measured(0.01), Measured(0.0)),
        lambda: side_pull_n(Measured(0.0), Measured(5.0), 0.0),
        lambda: side_pull_n(Measured(8.0), Measured(5.0), 70.0),
    ],
)
def test_impossible_values_are_refused(wrong):
    with pytest.raises(InputError):
        wrong()
