import math

import numpy as np
import pytest
from bench_cases import barrel, bearing, gap
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.arbor_pose import Push, aside, leaning, pushed
from sideshake.wear.barrel import BarrelSide, BearingPair, Shoulders, bell_mouthed
from sideshake.wear.bearing import HoleRun
from sideshake.wear.draws import lean
from sideshake.wear.tilt import gap_left, middles, most_free_direction, standing, worst_stance

plays = st.floats(0.0, 0.3)
RIM = Measured(5.5)


def left(held, stance, part):
    values = middles(held, stance, part)
    return float(gap_left(part, standing(held, stance, values), values)[0])


def push(force_n, direction_deg, height_mm, *, on_barrel, name="push"):
    sizes = (Measured(each) for each in (force_n, direction_deg, height_mm))
    return Push(
        name=name,
        **dict(zip(("force_n", "direction_deg", "height_mm"), sizes, strict=True)),
        on_barrel=on_barrel,
    )


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
    # 100 000 draws know a standard deviation to 0.2 % (one standard error)
    assert found.rim_move_mm.u == pytest.approx(5.5 / (2 * 2.5) * 0.004 * 2, rel=0.01)


def test_two_equal_bearings_pulled_the_same_way_do_not_lean():
    held = barrel(bearing(0.05), bearing(0.05))
    pull = push(1.5, 40.0, 0.8, on_barrel=True)
    found = lean(held, pushed("running", (pull,), held), RIM)
    assert found.angle_deg.value == pytest.approx(0.0, abs=1e-6)


def test_a_pull_between_the_bearings_leans_by_the_difference():
    held = barrel(bearing(0.02), bearing(0.10))
    pull = push(1.5, 40.0, 0.8, on_barrel=True)
    found = lean(held, pushed("running", (pull,), held), RIM)
    assert found.rim_move_mm.value == pytest.approx(5.5 * (0.10 - 0.02) / 2 / 2.5)
    assert found.towards_deg == pytest.approx(40.0)


def test_a_ratchet_beyond_the_upper_bearing_leans_by_the_sum():
    held = barrel(bearing(0.02), bearing(0.10))
    thrust = push(1.0, 10.0, 3.0, on_barrel=False)
    found = lean(held, pushed("winding", (thrust,), held), RIM)
    assert found.rim_move_mm.value == pytest.approx(5.5 * (0.10 + 0.02) / 2 / 2.5)


def test_pushes_balance_about_the_bearings():
    # 1 N at half span towards 0 and 1 N at full span towards 90 degrees, by hand
    held = barrel(bearing(0.05), bearing(0.05), span=2.0)
    pushes = (
        push(1.0, 0.0, 1.0, on_barrel=True, name="mesh"),
        push(1.0, 90.0, 2.0, on_barrel=False, name="click"),
    )
    stance = pushed("both", pushes, held)
    assert stance.lower_deg == pytest.approx(0.0)
    assert stance.upper_deg == pytest.approx(math.degrees(math.atan2(1.0, 0.5)))


def test_the_gap_left_takes_off_half_the_endshake_and_the_rim_s_way():
    held = barrel(bearing(0.05), bearing(0.02), endshake=0.04, gaps=[gap(0.20)])
    assert left(held, leaning(0.0), held.gaps[0]) == pytest.approx(0.20 - 0.02 - 0.077)


def test_the_rim_goes_down_on_the_side_the_upper_end_leans_to():
    below = gap(0.2, side=BarrelSide.BELOW, direction_deg=0.0)
    above = gap(0.2, side=BarrelSide.ABOVE, direction_deg=0.0)
    held = barrel(bearing(0.05), bearing(0.05), endshake=0.0, gaps=[below, above])
    assert left(held, leaning(0.0), below) == pytest.approx(0.2 - 0.11)
    assert left(held, leaning(0.0), above) == pytest.approx(0.2 + 0.11)


def test_the_worst_stance_for_a_part_above_lifts_the_rim_there():
    above = gap(0.2, side=BarrelSide.ABOVE, direction_deg=70.0)
    held = barrel(bearing(0.05), bearing(0.05), endshake=0.0, gaps=[above])
    assert left(held, worst_stance(held, above), above) == pytest.approx(0.2 - 0.11)


def test_a_part_beside_meets_the_play_at_its_height():
    beside = gap(0.2, side=BarrelSide.BESIDE, direction_deg=0.0, height_mm=2.5 / 2)
    held = barrel(bearing(0.02), bearing(0.10), gaps=[beside])
    assert left(held, aside(0.0), beside) == pytest.approx(0.2 - (0.01 + 0.05) / 2)


def test_the_barrel_s_own_play_adds_to_the_lean():
    own = BearingPair(lower=bearing(0.03), upper=bearing(0.03), span_mm=Measured(1.8))
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
        (lambda: gap(0.1, side=BarrelSide.BESIDE), ("direction",)),
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
    at = standing(held, aside(0.0), middles(held, aside(0.0))).at(height)[0]
    assert at == pytest.approx(moved)


def long_holes(lower, upper, *, span=2.7, lengths=(0.55, 0.60), **more):
    return barrel(
        bearing(lower, thickness=lengths[0]),
        bearing(upper, thickness=lengths[1]),
        span=span,
        **more,
    )


@pytest.mark.parametrize(
    ("lower", "upper", "lengths", "slope"),
    [
        # the shipped example: (0.031 + 0.116) / (2 (2.7 + (0.55 + 0.60) / 2)), by hand
        (0.031, 0.116, (0.55, 0.60), 0.147 / 6.55),
        # a tight long hole holds the arbor by itself: C1 / h1 = 0.002 / 1.0
        (0.002, 0.116, (1.0, 0.60), 0.002),
    ],
)
def test_holes_with_length_hold_the_arbor_more_upright(lower, upper, lengths, slope):
    held = long_holes(lower, upper, lengths=lengths)
    found = lean(held, leaning(0.0), RIM)
    assert math.tan(math.radians(found.angle_deg.value)) == pytest.approx(slope, rel=1e-5)


def test_the_example_of_the_trade_leans_two_degrees_bell_mouthed_and_less_in_cylinders():
    # 0.116 and 0.031 over 2.7 and holes 0.55, 0.60 long; the barrel on its arbor 0.015 twice on 1.8
    own = BearingPair(lower=bearing(0.015), upper=bearing(0.015), span_mm=Measured(1.8))
    held = long_holes(0.031, 0.116, inner=own)
    cylinder, bell = (lean(each, leaning(0.0), RIM) for each in (held, bell_mouthed(held)))
    assert cylinder.angle_deg.value == pytest.approx(1.76, abs=0.005)
    assert bell.angle_deg.value == pytest.approx(2.04, abs=0.005)


def test_shoulders_and_endshake_limit_the_lean_together():
    # 0.02 of endshake over shoulders of 1.4: 0.02 / (0.7 + 0.7) = 0.0143, 0.82 degrees
    sizes = {"above_mm": Measured(1.4), "below_mm": Measured(1.4)}
    shoulders = Shoulders(**sizes, endshake_mm=Measured(0.02))
    held = long_holes(0.031, 0.116, shoulders=shoulders)
    assert lean(held, leaning(0.0), RIM).angle_deg.value == pytest.approx(0.8185, abs=0.002)


def test_wide_endshake_limits_nothing():
    sizes = {"above_mm": Measured(1.4), "below_mm": Measured(1.4)}
    free = long_holes(0.031, 0.116)
    held = long_holes(0.031, 0.116, shoulders=Shoulders(**sizes, endshake_mm=Measured(0.2)))
    one, other = (lean(each, leaning(0.0), RIM).angle_deg.value for each in (held, free))
    assert one == pytest.approx(other)


def test_measured_mouths_lie_between_cylinder_and_bell():
    def free_lean(mouth):
        upper = bearing(0.116, thickness=0.60, mouths=(mouth, mouth))
        held = barrel(bearing(0.031, thickness=0.55), upper, span=2.7)
        return lean(held, leaning(0.0), RIM).angle_deg.value

    straight, belled, wide = (free_lean(each) for each in (0.116, 0.123, 0.20))
    cylinder = lean(long_holes(0.031, 0.116), leaning(0.0), RIM).angle_deg.value
    assert straight == pytest.approx(cylinder, rel=1e-6)
    assert straight < belled < wide
    bell = lean(
        barrel(bearing(0.031, thickness=0.55), bearing(0.116), span=2.7), leaning(0.0), RIM
    ).angle_deg.value
    assert wide == pytest.approx(bell, rel=1e-6)


@pytest.mark.parametrize(
    ("made", "bore"),
    [
        (bearing(0.1), HoleRun.BELL),
        (bearing(0.1, thickness=0.5), HoleRun.CYLINDER),
        (bearing(0.1, thickness=0.5, mouths=(0.1, 0.12)), HoleRun.MEASURED),
    ],
)
def test_what_a_hole_is_taken_for_follows_what_was_measured(made, bore):
    assert made.bore is bore


def test_near_no_lean_the_draws_say_less_doubt_than_first_order():
    # two equal plays pushed alike: the lean is the size of a difference, which cannot be below 0;
    # of a normal difference with u = 0.004 sqrt(4) / 2 the size has sqrt(1 - 2 / pi) of that in
    # one direction, and the pull draws no other
    held = barrel(bearing(0.05, u=0.004), bearing(0.05, u=0.004))
    found = lean(held, aside(0.0), Measured(2.5))
    assert found.rim_move_mm.value == pytest.approx(0.0, abs=1e-6)
    assert found.rim_move_mm.u == pytest.approx(0.004 * math.sqrt(1 - 2 / math.pi), rel=0.01)
