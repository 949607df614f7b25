import math

import numpy as np
import pytest
from bench_cases import barrel, bearing, gap
from hypothesis import given
from hypothesis import strategies as st

from sideshake.errors import InputError
from sideshake.quantities import Measured
from sideshake.wear.barrel import Pair, Side
from sideshake.wear.stance import Push, aside, leaning, pushed
from sideshake.wear.tilt import (
    gap_left,
    lean,
    most_free_direction,
    side_move,
    uncertain_values,
    worst_stance,
)

plays = st.floats(0.0, 0.3)
RIM = Measured(5.5)


def left(held, stance, part):
    return gap_left(held, stance, part, uncertain_values(held, part))


@pytest.mark.parametrize(
    ("shakes", "span", "rim", "angle_deg", "rim_mm"),
    [
        # hand-worked from tan(angle) = (C1 + C2) / (2 s), rim = R tan(angle)
        ((0.02, 0.02), 2.5, 5.5, 0.458, 0.044),
        ((0.05, 0.02), 2.5, 5.5, 0.802, 0.077),
        ((0.10, 0.02), 2.5, 5.5, 1.375, 0.132),
        ((0.20, 0.02), 2.2, 6.0, 2.86, 0.300),
    ],
)
def test_the_free_lean_of_round_holes(shakes, span, rim, angle_deg, rim_mm):
    held = barrel(bearing(shakes[1]), bearing(shakes[0]), span=span)
    found = lean(held, leaning(25.0), Measured(rim))
    assert found.angle_deg.value == pytest.approx(angle_deg, abs=6e-3)
    assert found.rim_move_mm.value == pytest.approx(rim_mm, abs=1e-9)
    assert found.towards_deg == pytest.approx(25.0)


def test_the_doubt_of_the_lean_is_that_of_the_formula():
    # rim = R (C1 + C2) / (2 s): the four lengths each with u, by hand
    held = barrel(bearing(0.05, u=0.004), bearing(0.10, u=0.004))
    found = lean(held, leaning(0.0), RIM)
    assert found.rim_move_mm.u == pytest.approx(5.5 / (2 * 2.5) * 0.004 * 2, rel=1e-6)


def test_two_equal_bearings_pulled_the_same_way_do_not_lean():
    held = barrel(bearing(0.05), bearing(0.05))
    pull = Push(force_n=1.5, direction_deg=40.0, height_mm=0.8, on_barrel=True)
    found = lean(held, pushed("running", (pull,), held), RIM)
    assert found.angle_deg.value == pytest.approx(0.0, abs=1e-6)


def test_a_pull_between_the_bearings_leans_by_the_difference():
    held = barrel(bearing(0.02), bearing(0.10))
    pull = Push(force_n=1.5, direction_deg=40.0, height_mm=0.8, on_barrel=True)
    found = lean(held, pushed("running", (pull,), held), RIM)
    assert found.rim_move_mm.value == pytest.approx(5.5 * (0.10 - 0.02) / 2 / 2.5)
    assert found.towards_deg == pytest.approx(40.0)


def test_a_ratchet_beyond_the_upper_bearing_leans_by_the_sum():
    held = barrel(bearing(0.02), bearing(0.10))
    thrust = Push(force_n=1.0, direction_deg=10.0, height_mm=3.0, on_barrel=False)
    found = lean(held, pushed("winding", (thrust,), held), RIM)
    assert found.rim_move_mm.value == pytest.approx(5.5 * (0.10 + 0.02) / 2 / 2.5)


def test_pushes_balance_about_the_bearings():
    # 1 N at half span towards 0 and 1 N at full span towards 90 degrees, by hand
    held = barrel(bearing(0.05), bearing(0.05), span=2.0)
    pushes = (
        Push(force_n=1.0, direction_deg=0.0, height_mm=1.0, on_barrel=True),
        Push(force_n=1.0, direction_deg=90.0, height_mm=2.0, on_barrel=False),
    )
    stance = pushed("both", pushes, held)
    assert stance.lower_deg == pytest.approx(0.0)
    assert stance.upper_deg == pytest.approx(math.degrees(math.atan2(1.0, 0.5)))


def test_the_gap_left_takes_off_half_the_endshake_and_the_rim_s_way():
    held = barrel(bearing(0.05), bearing(0.02), endshake=0.04, gaps=[gap(0.20)])
    assert left(held, leaning(0.0), held.gaps[0]) == pytest.approx(0.20 - 0.02 - 0.077)


def test_the_rim_goes_down_on_the_side_the_upper_end_leans_to():
    below = gap(0.2, side=Side.BELOW, direction_deg=0.0)
    above = gap(0.2, side=Side.ABOVE, direction_deg=0.0)
    held = barrel(bearing(0.05), bearing(0.05), endshake=0.0, gaps=[below, above])
    assert left(held, leaning(0.0), below) == pytest.approx(0.2 - 0.11)
    assert left(held, leaning(0.0), above) == pytest.approx(0.2 + 0.11)


def test_the_worst_stance_for_a_part_above_lifts_the_rim_there():
    above = gap(0.2, side=Side.ABOVE, direction_deg=70.0)
    held = barrel(bearing(0.05), bearing(0.05), endshake=0.0, gaps=[above])
    assert left(held, worst_stance(held, above), above) == pytest.approx(0.2 - 0.11)


def test_a_part_beside_meets_the_play_at_its_height():
    beside = gap(0.2, side=Side.BESIDE, direction_deg=0.0, height_mm=2.5 / 2)
    held = barrel(bearing(0.02), bearing(0.10), gaps=[beside])
    assert left(held, aside(0.0), beside) == pytest.approx(0.2 - (0.01 + 0.05) / 2)


def test_the_barrel_s_own_play_adds_to_the_lean():
    own = Pair(lower=bearing(0.03), upper=bearing(0.03), span_mm=Measured(1.8))
    held = barrel(bearing(0.05), bearing(0.02), inner=own)
    found = lean(held, leaning(0.0), RIM)
    assert found.rim_move_mm.value == pytest.approx(5.5 * (0.07 / 5.0 + 0.06 / 3.6))


def test_an_oval_hole_leans_most_along_its_long_axis():
    held = barrel(bearing(0.02), bearing(0.12, across=0.03, axis_deg=64.0), gaps=[gap(0.3)])
    assert most_free_direction(held) == 64.0


@given(plays, plays, st.floats(0.0, 0.1), st.floats(0.0, 360.0))
def test_more_play_never_leaves_a_larger_gap(lower, upper, more, towards):
    def remaining(play):
        held = barrel(bearing(lower), bearing(play), gaps=[gap(0.3)])
        return left(held, leaning(towards), held.gaps[0])

    assert remaining(upper + more) <= remaining(upper) + 1e-12


@given(plays, plays, st.floats(0.0, 360.0))
def test_exchanging_upper_and_lower_mirrors_the_lean(lower, upper, towards):
    held = barrel(bearing(lower), bearing(upper))
    turned_over = barrel(bearing(upper), bearing(lower))
    one, other = (lean(each, leaning(towards), RIM) for each in (held, turned_over))
    assert one.angle_deg.value == pytest.approx(other.angle_deg.value, abs=1e-9)


@given(st.floats(0.01, 0.2), st.floats(0.01, 0.2), st.floats(0.1, 50.0))
def test_the_angle_does_not_know_the_unit(lower, upper, factor):
    held = barrel(bearing(lower), bearing(upper))
    scaled = barrel(
        bearing(lower * factor, pivot=factor),
        bearing(upper * factor, pivot=factor),
        span=2.5 * factor,
    )
    one, other = (lean(each, leaning(0.0), RIM) for each in (held, scaled))
    assert other.angle_deg.value == pytest.approx(one.angle_deg.value, rel=1e-6)


@given(st.floats(0.0, 360.0))
def test_turning_the_whole_watch_turns_the_lean(turn):
    def found(by):
        held = barrel(bearing(0.04), bearing(0.12, across=0.05, axis_deg=20.0 + by))
        return lean(held, leaning(55.0 + by), RIM)

    assert found(turn).angle_deg.value == pytest.approx(found(0.0).angle_deg.value)
    turned = np.exp(1j * np.radians(found(turn).towards_deg - found(0.0).towards_deg - turn))
    assert turned == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("make", "named"),
    [
        (lambda: barrel(bearing(0.1), bearing(0.1), span=0.0), ("span", "0")),
        (lambda: gap(-0.1), ("bridge", "-0.1")),
        (lambda: barrel(bearing(0.9), bearing(0.1)), ("0.900", "0.100", "2.5")),
        (lambda: bearing(0.1, axis_deg=math.nan), ("finite",)),
        (lambda: gap(0.1, direction_deg=math.inf), ("finite",)),
        (lambda: barrel(bearing(0.1), bearing(0.1), endshake=-0.1), ("endshake", "-0.1")),
        (
            lambda: barrel(bearing(0.1), bearing(0.1), endshake=0.3, gaps=[gap(0.1)]),
            ("bridge 0.1", "endshake 0.3"),
        ),
        (lambda: gap(0.1, side=Side.BESIDE), ("direction",)),
        (lambda: pushed("none", (), barrel(bearing(0.1), bearing(0.1))), ("none",)),
    ],
)
def test_an_impossible_barrel_is_refused_by_name(make, named):
    with pytest.raises(InputError) as caught:
        make()
    assert all(each in str(caught.value) for each in named)


@pytest.mark.parametrize(("height", "moved"), [(0.0, 0.01), (2.5, 0.06), (1.25, 0.035)])
def test_pushed_aside_each_height_moves_by_its_share_of_both_plays(height, moved):
    # half of 0.02 at the lower bearing, half of 0.12 at the upper, evenly between
    held = barrel(bearing(0.02), bearing(0.12))
    x, y = side_move(held, aside(0.0), height, uncertain_values(held))
    assert (float(x), float(y)) == (pytest.approx(moved), pytest.approx(0.0))
