"""The second mechanic against statics worked by hand.

By hand means: the forces in the two bearings from the lever rule, and a pivot without friction lies
where its hole's wall stands square to its force. In a round hole of play C it has gone C/2 along
the
force; in an ellipse of half axes a, b under the force (fx, fy) to (a a fx, b b fy) / sqrt(a a fx fx
+
b b fy fy). All lengths in mm.
"""

from math import atan, cos, degrees, hypot, radians, sin, sqrt

import numpy as np
import pytest
from second_mechanics import Hole, Line, over_click_places, rest, solve

EXACT = 1e-7  # mm and mm/mm; the search ends within 1e-10 of the greatest work


def hole(height_mm, play_mm, *, length_mm=0.0, short_mm=None, long_axis_deg=0.0):
    short = 1 + (play_mm if short_mm is None else short_mm)
    return Hole(height_mm, 1 + play_mm, short, long_axis_deg, 1.0, length_mm)


def pushed(line, *pushes):
    """Where a line rests under pushes (force x, force y, height)."""
    loads = np.sum([[fx, fy, fx * z, fy * z] for fx, fy, z in pushes], axis=0)
    return rest(line, loads)


def barrel(**given):
    plain = {
        "span_mm": 3.0,
        "lower": {"hole_mm": 1.04, "pivot_mm": 1.0},
        "upper": {"hole_mm": 1.10, "pivot_mm": 1.0},
        "endshake_mm": 0.02,
        "torque_nmm": 10.0,
        "turns": "counter-clockwise",
        "pressure_deg": 0.0,
        "teeth_radius_mm": 5.0,
        "teeth_height_mm": 1.0,
        "centre_wheel_deg": 0.0,
        "ratchet_radius_mm": 10 / 3,
        "ratchet_height_mm": 4.0,
        "click_deg": 90.0,
        "crown_wheel_deg": 90.0,
        "rim_radius_mm": 5.2,
        "gap_plate_mm": 0.2,
        "gap_bridge_mm": 0.3,
    }
    return plain | given


def test_free_lean_of_two_point_holes():
    """One end by half its play to the left, the other to the right: (0.04 + 0.10) / (2 x 3)."""
    free = solve(barrel()).free
    assert free.lean_deg == pytest.approx(degrees(atan(0.14 / 6)), rel=1e-6)
    assert free.lean_toward_deg(217) == pytest.approx(free.lean_deg, rel=1e-6)
    assert free.gap_plate_mm() == pytest.approx(0.2 - 0.01 - 5.2 * 0.14 / 6, abs=EXACT)
    assert free.gap_bridge_mm(30) == pytest.approx(0.3 - 0.01 - 5.2 * 0.14 / 6, abs=EXACT)


@pytest.mark.parametrize(
    ("play_below", "play_above", "span", "rim", "lean_deg", "rim_mm"),
    [
        (0.02, 0.02, 2.5, 5.5, 0.458, 0.044),
        (0.05, 0.02, 2.5, 5.5, 0.802, 0.077),
        (0.10, 0.02, 2.5, 5.5, 1.375, 0.132),
        (0.20, 0.02, 2.2, 6.0, 2.86, 0.300),
    ],
)
def test_free_lean_as_the_trade_facts_work_it(play_below, play_above, span, rim, lean_deg, rim_mm):
    """The shared trade facts, row 7.1.7, "derived": two point holes, and how far the rim moves."""
    lower, upper = ({"hole_mm": 1 + c, "pivot_mm": 1.0} for c in (play_below, play_above))
    size = {"span_mm": span, "rim_radius_mm": rim, "lower": lower, "upper": upper}
    free = solve(barrel(**size)).free
    assert free.lean_deg == pytest.approx(lean_deg, abs=0.006)
    assert 0.2 - 0.01 - free.gap_plate_mm() == pytest.approx(rim_mm, abs=5e-4)


def test_free_lean_of_two_cylinders():
    """The far mouths bind, h1/2 below and h2/2 above: (C1 + C2) / (2 (s + (h1 + h2) / 2)).

    (0.04 + 0.10) / (2 x (3 + (0.5 + 0.3) / 2)) = 0.14 / 6.8.
    """
    lower = {"hole_mm": 1.04, "pivot_mm": 1.0, "length_mm": 0.5}
    upper = {"hole_mm": 1.10, "pivot_mm": 1.0, "length_mm": 0.3}
    free = solve(barrel(lower=lower, upper=upper)).free
    assert free.lean_deg == pytest.approx(degrees(atan(0.14 / 6.8)), rel=1e-6)
    bells = [{**each, "mouth": "bell"} for each in (lower, upper)]
    assert solve(barrel(lower=bells[0], upper=bells[1])).free.lean_deg == pytest.approx(
        degrees(atan(0.14 / 6)), rel=1e-6
    )


def test_a_push_between_the_bearings_moves_both_pivots_along_it():
    """9 N at a third of the span: 6 N below, 3 N above, both along the push.

    Both pivots go half their play that way: 0.02 and 0.05; the lean is (C2 - C1) / (2 s) = 0.01.
    """
    found = pushed(Line(hole(0, 0.04), hole(3, 0.10)), (0, 9, 1))
    assert found.moved(0)[0] == pytest.approx([0, 0.02], abs=EXACT)
    assert found.moved(3)[0] == pytest.approx([0, 0.05], abs=EXACT)
    assert found.slope[0] == pytest.approx([0, 0.01], abs=EXACT)
    assert found.reactions[0] == pytest.approx(np.array([[0, -6], [0, -3]]), abs=1e-5)


def test_a_push_beyond_the_upper_bearing_throws_the_lower_pivot_back():
    """9 N at 4, span 3: the upper bearing holds 9 x 4/3 = 12 N, the lower one pulls back with 3 N.

    So the pivots go to opposite walls and the lean is the whole (C1 + C2) / (2 s) = 0.14 / 6.
    """
    found = pushed(Line(hole(0, 0.04), hole(3, 0.10)), (9, 0, 4))
    assert found.moved(0)[0] == pytest.approx([-0.02, 0], abs=EXACT)
    assert found.moved(3)[0] == pytest.approx([0.05, 0], abs=EXACT)
    assert found.slope[0] == pytest.approx([0.14 / 6, 0], abs=EXACT)
    assert found.reactions[0] == pytest.approx(np.array([[3, 0], [-12, 0]]), abs=1e-5)


def test_cylinders_under_a_push_between_them_touch_at_their_upper_mouths():
    """Both pivots pressed along the push; the line leans along it, C2 being the larger.

    Then each hole's upper mouth stands out furthest: through (0.25, 0.02) and (3.15, 0.05) the
    slope is 0.03 / 2.90. Lever about those mouths for 9 N at 1: above 9 x 0.75 / 2.90 N.
    """
    line = Line(hole(0, 0.04, length_mm=0.5), hole(3, 0.10, length_mm=0.3))
    found = pushed(line, (9, 0, 1))
    assert found.slope[0] == pytest.approx([0.03 / 2.90, 0], abs=EXACT)
    assert found.moved(0.25)[0] == pytest.approx([0.02, 0], abs=EXACT)
    above = 9 * 0.75 / 2.90
    expected = np.array([[0, 0], [above - 9, 0], [0, 0], [-above, 0]])
    assert found.reactions[0] == pytest.approx(expected, abs=1e-4)


def test_a_push_inside_a_long_hole_lies_on_both_its_mouths():
    """9 N a fifth of the way up a hole of length 0.5 (at -0.15): 0.8 of it below, 0.2 above.

    The pivot lies along the wall, the line stands upright at 0.02, and the upper bearing is idle.
    """
    line = Line(hole(0, 0.04, length_mm=0.5), hole(3, 0.10, length_mm=0.3))
    found = pushed(line, (9, 0, -0.15))
    assert found.slope[0] == pytest.approx([0, 0], abs=EXACT)
    assert found.moved(0)[0] == pytest.approx([0.02, 0], abs=EXACT)
    expected = np.array([[-7.2, 0], [-1.8, 0], [0, 0], [0, 0]])
    assert found.reactions[0] == pytest.approx(expected, abs=1e-4)


def test_shoulders_hold_the_lean():
    """Two shoulders of 1.4 and endshake 0.02: 2 x 0.02 / 2.8 = 1/70, 0.818 degrees.

    Free, the holes would allow 0.14 / 6 = 1/43. With 1/70 the line of the push beyond the upper
    bearing still lies at its upper wall, 0.05, and the lower pivot is 3/70 less far, 0.05 -
    0.042857, touching nothing. The couple that the shoulders give back is the push's lever: 9 N x
    1.
    """
    shoulders = {"above_mm": 1.4, "below_mm": 1.4}
    free = solve(barrel(shoulders=shoulders)).free
    assert free.lean_deg == pytest.approx(degrees(atan(1 / 70)), rel=1e-6)
    found = pushed(Line(hole(0, 0.04), hole(3, 0.10), 1 / 70), (9, 0, 4))
    assert found.slope[0] == pytest.approx([1 / 70, 0], abs=EXACT)
    assert found.moved(0)[0] == pytest.approx([0.05 - 3 / 70, 0], abs=EXACT)
    expected = np.array([[0, 0], [-9, 0], [-9, 0]])
    assert found.reactions[0] == pytest.approx(expected, abs=1e-4)


def test_wide_shoulders_room_changes_nothing():
    """Endshake 0.2 under the same shoulders allows 1/7, far beyond what the holes allow."""
    shoulders = {"above_mm": 1.4, "below_mm": 1.4}
    free = solve(barrel(shoulders=shoulders, endshake_mm=0.2)).free
    assert free.lean_deg == pytest.approx(degrees(atan(0.14 / 6)), rel=1e-6)


def test_shoulders_slope_from_a_body_turned_whole():
    """Two discs of diameters a, b on an arbor, turned by the angle: together 2 e / (a + b) high.

    The upper disc's highest and the lower disc's lowest point, (a/2) sin + L cos and (b/2) sin,
    must lie within L + e. What first order leaves out, L t t / 2, is 1 % of e here, and allows 1 %
    more.
    """
    a, b, between, endshake = 1.6, 1.2, 2.0, 0.02
    leans = np.linspace(0, 0.03, 300001)
    high = (a + b) / 2 * np.sin(leans) + between * np.cos(leans)
    most = leans[high <= between + endshake].max()
    first = 2 * endshake / (a + b)
    assert most == pytest.approx(first * (1 + between * first**2 / 2 / endshake), rel=0.001)


def test_one_oval_hole_lets_the_pivot_slide_along_its_long_axis():
    """Upper hole 1.10 by 1.04, long axis at 30 degrees, pushed at 75 degrees, 45 from the axis.

    Half axes 0.05 and 0.02; along and across the axis the force is (1, 1) / sqrt 2, the place
    (0.05^2, 0.02^2) / sqrt(0.05^2 + 0.02^2) = (0.046424, 0.007428): 9.1 degrees from the long axis.
    """
    push = cos(radians(75)), sin(radians(75)), 3
    line = Line(hole(0, 0.04), hole(3, 0.10, short_mm=0.04, long_axis_deg=30))
    x, y = pushed(line, push).moved(3)[0]
    size = sqrt(0.05**2 + 0.02**2)
    along = x * cos(radians(30)) + y * sin(radians(30))
    across = y * cos(radians(30)) - x * sin(radians(30))
    assert (along, across) == pytest.approx((0.05**2 / size, 0.02**2 / size), abs=EXACT)


def test_free_lean_of_an_oval_hole_is_along_it():
    """Upper hole 0.10 along 30 degrees, 0.04 across; lower 0.04: 0.14 / 6 or 0.08 / 6."""
    oval = {"hole_long_mm": 1.1, "hole_short_mm": 1.04, "long_axis_deg": 30.0, "pivot_mm": 1.0}
    free = solve(barrel(upper=oval)).free
    assert free.lean_deg == pytest.approx(degrees(atan(0.14 / 6)), rel=1e-6)
    assert free.toward_deg == pytest.approx(30, abs=0.03)
    # across, both half plays are 0.02, and nothing is gained by a sideways tilt: hand value exact
    assert free.lean_toward_deg(120) == pytest.approx(degrees(atan(0.08 / 6)), rel=1e-6)


def test_click_and_mesh_together():
    """M 10 N mm, barrel counter-clockwise, tooth forces square (pressure angle 0), span 3.

    Mesh at 0 degrees, radius 5, height 1: 2 N against the turning, (0, -2). Click at 90 degrees,
    radius 10/3, height 4: 3 N in the sense of turning, (-3, 0). Moments about the lower bearing:
    above (-3 x 4/3, -2 x 1/3) = (-4, -2/3); below the rest, (1, -4/3), which is 5/3 N along (0.6,
    -0.8). Lower pivot at 0.02 (0.6, -0.8), upper at 0.05 (-4, -2/3) / sqrt(16 + 4/9).
    """
    running = solve(barrel()).running
    lower = np.array([0.012, -0.016])
    upper = 0.05 * np.array([-4, -2 / 3]) / sqrt(16 + 4 / 9)
    assert running.moved_mm(0) == pytest.approx(lower, abs=EXACT)
    assert running.moved_mm(3) == pytest.approx(upper, abs=EXACT)
    slope = (upper - lower) / 3
    assert running.lean_deg == pytest.approx(degrees(atan(hypot(*slope))), rel=1e-5)
    assert running.toward_deg == pytest.approx(180 + degrees(atan(slope[1] / slope[0])), abs=1e-3)
    assert running.gap_plate_mm() == pytest.approx(0.19 - 5.2 * hypot(*slope), abs=1e-6)
    # toward 180 degrees the upper end goes: there the rim sinks to the plate and leaves the bridge
    assert running.gap_plate_mm(180) == pytest.approx(0.19 + 5.2 * slope[0], abs=1e-6)
    assert running.gap_bridge_mm(180) == pytest.approx(0.29 - 5.2 * slope[0], abs=1e-6)


def test_clockwise_is_the_mirror_of_counter_clockwise():
    """Mirrored in the line through 3 and 9 o'clock, places and movements change sign in y."""
    one = solve(barrel(centre_wheel_deg=50.0, click_deg=130.0, pressure_deg=15.0)).running
    turned = {"turns": "clockwise", "centre_wheel_deg": -50.0, "click_deg": -130.0}
    other = solve(barrel(**turned, pressure_deg=15.0)).running
    assert other.slope == pytest.approx(one.slope * [1, -1], abs=EXACT)
    assert other.at_zero == pytest.approx(one.at_zero * [1, -1], abs=EXACT)


def test_crown_wheel_pushes_along_and_away():
    """Winding, pressure angle 15: mesh (at 0 degrees) 2 / cos 15 N, crown wheel (at 90) 3 / cos 15
    N.

    Mesh: along -y 2 N, toward the barrel's middle (-x) 2 tan 15. Crown wheel: turns the ratchet
    counter-clockwise, along -x 3 N, and presses away from itself, -y, 3 tan 15. Then as above.
    """
    lean = np.tan(radians(15))
    mesh, crown = np.array([-2 * lean, -2]), np.array([-3, -3 * lean])
    above = mesh / 3 + crown * 4 / 3
    below = mesh + crown - above
    winding = solve(barrel(pressure_deg=15.0)).winding
    assert winding.moved_mm(0) == pytest.approx(0.02 * below / hypot(*below), abs=EXACT)
    assert winding.moved_mm(3) == pytest.approx(0.05 * above / hypot(*above), abs=EXACT)


def test_drum_on_its_own_bearings_adds_its_lean():
    """Floor at 0.5, lid at 2.5, plays 0.02 and 0.06, mesh (0, -2) N at 1: between them, both
    follow.

    The drum goes 0.01 at the floor, 0.03 at the lid toward -y, beyond the arbor: slope -0.01 more,
    and at 1 0.015 more. Free: (0.02 + 0.06) / (2 x 2) = 0.02 more in every direction.
    """
    floor, lid = {"hole_mm": 1.22, "pivot_mm": 1.2}, {"hole_mm": 1.26, "pivot_mm": 1.2}
    inner = {"floor": floor, "lid": lid, "lid_to_floor_mm": 2.0, "floor_height_mm": 0.5}
    bare, whole = solve(barrel()), solve(barrel(inner={**inner, "loads": "own"}))
    assert whole.running.slope - bare.running.slope == pytest.approx([0, -0.01], abs=EXACT)
    moved = whole.running.moved_mm(1.0) - bare.running.moved_mm(1.0)
    assert moved == pytest.approx([0, -0.015], abs=EXACT)
    assert whole.running.arbor_slope == pytest.approx(bare.running.slope, abs=EXACT)
    assert whole.free.lean_deg == pytest.approx(degrees(atan(0.14 / 6 + 0.02)), rel=1e-6)


def test_drums_loads_below_its_floor_and_mapped_into_its_span():
    """The same drum, mesh at 0.3, below the floor: the lid is thrown back, slope (0.02 + 0.06) / 4.

    Mapped, 0.3 of the arbor's 3 is a tenth of the span above the floor: both follow, slope -0.01.
    """
    floor, lid = {"hole_mm": 1.22, "pivot_mm": 1.2}, {"hole_mm": 1.26, "pivot_mm": 1.2}
    inner = {"floor": floor, "lid": lid, "lid_to_floor_mm": 2.0, "floor_height_mm": 0.5}
    low = {"teeth_height_mm": 0.3}
    bare = solve(barrel(**low)).running.slope
    own = solve(barrel(inner={**inner, "loads": "own"}, **low)).running.slope
    mapped = solve(barrel(inner={**inner, "loads": "mapped"}, **low)).running.slope
    assert own - bare == pytest.approx([0, 0.02], abs=EXACT)
    assert mapped - bare == pytest.approx([0, -0.01], abs=EXACT)


def test_neighbour_loses_what_the_axis_moves():
    """Under way what the axis goes toward it; free, what the holes allow at that height."""
    given = barrel(neighbour={"place_deg": 270.0, "height_mm": 1.0, "gap_mm": 0.1})
    answer = solve(given)
    moved = answer.running.moved_mm(1.0)
    assert answer.running.gap_neighbour_mm() == pytest.approx(0.1 + moved[1], abs=EXACT)
    # free at a third of the span: 2/3 of the lower and 1/3 of the upper half play
    reach = 2 / 3 * 0.02 + 1 / 3 * 0.05
    assert answer.free.gap_neighbour_mm() == pytest.approx(0.1 - reach, abs=EXACT)


@pytest.mark.parametrize("arbor_only", [False, True])
def test_the_worked_barrel_of_the_wear_example(arbor_only):
    """The shipped worn barrel, its sizes copied here, against the figures of its review.

    Free 2.04 degrees with point holes, 1.76 with the plates' thicknesses; by hand arbor 0.147 / 5.4
    or 0.147 / 6.55 and drum 0.030 / 3.6. The review's other figures are reproduced with point
    holes, the ratchet at 1.2 spans and 4 mm, and both endshakes taken by half: winding 1.27 to 1.30
    degrees, gap to the bridge under way 0.012 to 0.144 mm over all places of the click.
    """
    seats = {"hole_mm": 1.215, "pivot_mm": 1.2}
    inner = {"floor": seats, "lid": seats, "lid_to_floor_mm": 1.8, "loads": "own"}
    lower = {"hole_mm": 0.928, "pivot_mm": 0.897, "length_mm": 0.55, "mouth": "bell"}
    upper = {"hole_long_mm": 1.012, "hole_short_mm": 0.936, "long_axis_deg": 95.0}
    upper |= {"pivot_mm": 0.896, "length_mm": 0.60, "mouth": "bell"}
    given = barrel(span_mm=2.7, lower=lower, upper=upper, turns="clockwise", pressure_deg=15.0)
    given |= {"teeth_radius_mm": 5.6, "teeth_height_mm": 0.75, "centre_wheel_deg": 60.0}
    given |= {"ratchet_radius_mm": 4.0, "ratchet_height_mm": 3.24, "crown_wheel_deg": 200.0}
    given |= {"endshake_mm": 0.045, "drum_endshake_mm": 0.040, "rim_radius_mm": 5.75}
    given |= {"gap_bridge_mm": 0.20, "inner": None if arbor_only else inner}
    answer = solve(given)
    drum = 0 if arbor_only else 0.030 / 3.6
    assert answer.free.lean_deg == pytest.approx(degrees(atan(0.147 / 5.4 + drum)), rel=1e-6)
    long = [{**each, "mouth": "cylinder"} for each in (lower, upper)]
    cylinders = solve(given | {"lower": long[0], "upper": long[1]})
    assert cylinders.free.lean_deg == pytest.approx(degrees(atan(0.147 / 6.55 + drum)), rel=1e-6)
    if arbor_only:
        return
    gaps = [each.gap_bridge_mm() for each in over_click_places(given)]
    assert 1.27 < answer.winding.lean_deg < 1.30
    assert (min(gaps), max(gaps)) == pytest.approx((0.012, 0.144), abs=5e-4)
