"""What pushes a barrel under way and while it is wound, and what is done with what is not known."""

import math
from dataclasses import replace

import numpy as np
import pytest
from bench_cases import barrel, bearing

from sideshake.core.quantities import Measured
from sideshake.wear.arbor_pose import leaning
from sideshake.wear.barrel import bell_mouthed
from sideshake.wear.cause import WearCause
from sideshake.wear.draws import lean
from sideshake.wear.loads import KnownParts, Winder, under_way, while_winding
from sideshake.wear.mesh import Turns
from sideshake.wear.thrusts import thrusts_on
from sideshake.wear.tilt import middles, most_free_direction, slope_now, standing

RIM = Measured(5.75)
KNOWN = {
    "rim_radius_mm": RIM,
    "centre_wheel_deg": Measured(0.0),
    "click_deg": Measured(90.0),
    "crown_wheel_deg": Measured(180.0),
    "turns": Turns.COUNTER_CLOCKWISE,
    "pitch_radius_mm": Measured(5.6),
    "toothed_plane_mm": Measured(0.75),
    "ratchet_radius_mm": Measured(4.2),
    "ratchet_plane_mm": Measured(3.25),
}


def known(**changes):
    return KnownParts(**(KNOWN | changes))


def held(lower=0.03, upper=0.12):
    return barrel(bearing(lower), bearing(upper), span=2.7)


def angle(stance, made=None):
    return lean(made or held(), stance, RIM).angle_deg.value


def test_by_hand_the_click_loads_the_upper_bearing_many_times_what_the_mesh_does():
    # torque 1: the click's 1 / 4.2 at 3.25 of 2.7 gives the upper bearing 0.2866 along 180 degrees
    # (a quarter turn on from its place, the way that winds); the mesh's 1 / (5.6 cos 15) at 0.75
    # gives it 0.0514 along 255 (against the turning, and apart)
    click = 1 / 4.2 * 3.25 / 2.7
    mesh = 1 / (5.6 * math.cos(math.radians(15))) * 0.75 / 2.7
    assert click / mesh == pytest.approx(5.6, abs=0.05)
    x = click * math.cos(math.radians(180)) + mesh * math.cos(math.radians(255))
    y = click * math.sin(math.radians(180)) + mesh * math.sin(math.radians(255))
    stance = under_way(known(), held()).worst
    assert stance.upper_deg % 360 == pytest.approx(math.degrees(math.atan2(y, x)) % 360)


def test_by_hand_the_lower_bearing_takes_the_rest_of_both():
    # below: the click -0.2 of its force (it lies 0.55 beyond), the mesh (2.7 - 0.75) / 2.7 of its
    click = -(1 / 4.2) * 0.55 / 2.7
    mesh = 1 / (5.6 * math.cos(math.radians(15))) * 1.95 / 2.7
    x = click * math.cos(math.radians(180)) + mesh * math.cos(math.radians(255))
    y = click * math.sin(math.radians(180)) + mesh * math.sin(math.radians(255))
    stance = under_way(known(), held()).worst
    assert stance.lower_deg % 360 == pytest.approx(math.degrees(math.atan2(y, x)) % 360)


def test_by_hand_the_crown_wheel_pushes_along_the_turning_and_away_from_itself():
    # crown wheel at 180, counter-clockwise: 180 + 105 = 285 degrees
    push = next(
        each for each in while_winding(known(), held()).worst.pushes if each.name == "crown wheel"
    )
    assert push.direction_deg.value == pytest.approx(285.0)
    assert push.force_n.value == pytest.approx(1 / (4.2 * math.cos(math.radians(15))))


def test_under_way_the_click_adds_what_the_mesh_alone_would_not_show():
    # the mesh alone leans by half the difference of the plays: 0.045 / 2.7, 0.955 degrees
    stance = under_way(known(), held()).worst
    assert angle(stance) > math.degrees(0.045 / 2.7) * 1.05


def test_the_mesh_pulls_while_the_watch_is_wound():
    names = [each.name for each in while_winding(known(), held()).worst.pushes]
    assert names == ["mesh", "crown wheel"]


def test_a_key_turns_the_arbor_without_pushing_it_aside():
    # what is left is the mesh: half the difference of the plays over the span
    stance = while_winding(known(winder=Winder.KEY), held()).worst
    assert [each.name for each in stance.pushes] == ["mesh"]
    assert math.tan(math.radians(angle(stance))) == pytest.approx(0.045 / 2.7)


def test_a_rotor_s_train_pushes_as_a_crown_wheel_does():
    rotor, crown = (
        while_winding(known(winder=each), held()).worst
        for each in (Winder.ROTOR, Winder.CROWN_WHEEL)
    )
    assert angle(rotor) == pytest.approx(angle(crown))
    assert rotor.pushes[1].name == "rotor's train"


def test_an_unknown_click_is_taken_at_its_worst_and_named():
    found = under_way(known(click_deg=None), held())
    assert found.worst.taken == ("all click directions",)
    every = [
        angle(under_way(known(click_deg=Measured(float(each))), held()).worst)
        for each in range(0, 360, 15)
    ]
    assert angle(found.worst) >= max(every) - 1e-6
    assert angle(found.kindest) <= min(every) + 1e-6


def test_what_is_known_is_not_said_to_be_unknown():
    found = under_way(known(), held())
    assert found.worst.taken == ()
    assert found.worst == found.kindest


@pytest.mark.parametrize(
    ("lacks", "words"),
    [
        ("centre_wheel_deg", "all directions of the pinion"),
        ("ratchet_radius_mm", "ratchet radius 2.88 to 4.89 mm"),
        ("ratchet_plane_mm", "ratchet plane 3.05 to 3.45 mm"),
        ("toothed_plane_mm", "height of the teeth"),
        ("turns", "both ways of turning"),
    ],
)
def test_each_thing_that_is_not_known_is_named(lacks, words):
    found = under_way(known(**{lacks: None}), held())
    assert words in ", ".join(found.worst.taken)
    assert angle(found.worst) >= angle(under_way(known(), held()).worst) - 1e-6


def test_without_a_pitch_radius_the_rim_s_does_with_more_doubt():
    push = under_way(known(pitch_radius_mm=None), held()).worst.pushes[0]
    assert push.force_n.value == pytest.approx(1 / (5.61 * math.cos(math.radians(15))), rel=2e-3)
    assert push.force_n.u > 0.01 * push.force_n.value


def test_a_place_read_by_eye_is_doubtful_and_a_written_doubt_counts():
    def u_of(place):
        return under_way(known(click_deg=place), held()).worst.pushes[1].direction_deg.u

    assert u_of(Measured(90.0)) == pytest.approx(5.0)
    assert u_of(Measured(90.0, 2.0)) == pytest.approx(2.0)


def test_friction_is_part_of_the_doubt_under_loads():
    # everything exact but places and friction: the lean still carries a doubt
    found = lean(held(), under_way(known(), held()).worst, RIM)
    assert 0.002 < found.rim_move_mm.u < 0.03


def test_thrusts_are_of_mesh_click_and_winding():
    found = {each.cause: each for each in thrusts_on(known(), held(), upper=True)}
    assert set(found) == {WearCause.MESH, WearCause.CLICK, WearCause.WINDING}
    assert found[WearCause.MESH].directions_deg == (pytest.approx(255.0),)
    assert all(each.known for each in found.values())


def test_where_the_arbor_turns_while_the_watch_runs_no_click_holds_it():
    found = thrusts_on(known(), held(), upper=True, arbor_turns=True)
    assert [each.cause for each in found] == [WearCause.MESH]


def test_the_thrust_of_an_unknown_click_may_lie_anywhere():
    found = {each.cause: each for each in thrusts_on(known(click_deg=None), held(), upper=True)}
    assert not found[WearCause.CLICK].known
    assert found[WearCause.WINDING].known


def random_barrel(random):
    """A barrel with its holes worn at random, its loads at random places."""
    span, rim = random.uniform([2.0, 4.0], [3.2, 6.5])
    low, high = random.uniform([0.02, 0.02], [0.12, 0.15])
    lengths = random.uniform(0.4, 0.7, 2)
    lower = bearing(low, thickness=lengths[0])
    share, axis_deg = random.uniform([0.4, 0.0], [1.0, 180.0])
    upper = bearing(high, across=high * share, axis_deg=axis_deg, thickness=lengths[1])
    places = random.uniform(0, 360, 3)
    parts = KnownParts(
        rim_radius_mm=Measured(rim),
        centre_wheel_deg=Measured(places[0]),
        click_deg=Measured(places[1]),
        crown_wheel_deg=Measured(places[2]),
        turns=Turns.CLOCKWISE,
        pitch_radius_mm=Measured(0.97 * rim),
        toothed_plane_mm=Measured(0.28 * span),
        ratchet_radius_mm=Measured(random.uniform(0.55, 0.8) * rim),
        ratchet_plane_mm=Measured(span + 0.5),
    )
    return barrel(lower, upper, span=span), parts


def rim_moves(made, stance, rim, turns):
    """How far the rim moves with each pivot so much beside its place."""
    values = middles(made, stance)
    names = ("friction at the lower", "friction at the upper")
    return [
        rim * abs(standing(made, stance, values | dict(zip(names, pair, strict=True))).slope[0])
        for pair in turns
    ]


def test_ten_degrees_of_friction_move_the_rim_as_an_independent_free_body_says():
    """0.01 mm in the median and 0.05 at most."""
    random = np.random.default_rng(5)
    worst = []
    for _ in range(60):
        made, parts = random_barrel(random)
        stance = under_way(parts, made).worst
        turns = [(0, 0), (10, 10), (10, -10), (-10, 10), (-10, -10), (10, 0), (0, 10)]
        still, *moved = rim_moves(made, stance, parts.rim_radius_mm.value, turns)
        worst.append(max(abs(each - still) for each in moved))
    print(f"median {np.median(worst):.3f}, most {max(worst):.3f} mm")  # noqa: T201 - with -s
    assert np.median(worst) == pytest.approx(0.01, abs=0.004)
    assert max(worst) < 0.05


def test_no_load_leans_a_barrel_further_than_it_can_and_length_never_helps_it_to():
    random = np.random.default_rng(6)
    for _ in range(25):
        made, parts = random_barrel(random)
        bell = bell_mouthed(made)
        free = leaning(most_free_direction(made)), leaning(most_free_direction(bell))
        most, bell_most = (
            abs(slope_now(each, stance)) for each, stance in zip((made, bell), free, strict=True)
        )
        assert most <= bell_most + 1e-7
        for loads in (under_way, while_winding):
            assert abs(slope_now(made, loads(parts, made).worst)) <= most * (1 + 1e-5)


def test_turning_the_whole_watch_turns_where_it_leans():
    made, parts = random_barrel(np.random.default_rng(7))
    upper = replace(made.arbor.upper, hole=replace(made.arbor.upper.hole, long_axis_deg=0.0))
    turned_upper = replace(upper, hole=replace(upper.hole, long_axis_deg=40.0))
    straight, turned = (
        replace(made, arbor=replace(made.arbor, upper=each)) for each in (upper, turned_upper)
    )
    places = ("centre_wheel_deg", "click_deg", "crown_wheel_deg")
    by_40 = replace(parts, **{each: Measured(getattr(parts, each).value + 40.0) for each in places})
    one = slope_now(straight, under_way(parts, straight).worst)
    other = slope_now(turned, under_way(by_40, turned).worst)
    assert other == pytest.approx(one * np.exp(1j * np.radians(40.0)), rel=1e-4)
