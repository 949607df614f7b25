"""The second mechanic's search against other means: scipy's SLSQP and linear programming, brute
force.

And against what must hold for any barrel: statics, turning the watch, a stronger spring.
"""

from math import cos, pi, radians

import numpy as np
import pytest
from scipy.optimize import linprog, minimize
from second_mechanics import over_click_places, over_crown_places, random_barrels, read, rest, solve
from second_mechanics.stances import mesh_force, running_loads, winding_loads

BARRELS = random_barrels(16, seed=5)


def slsqp(line, load):
    """The greatest work found by sequential quadratic programming, in play-sized units."""
    bounds, size = line.bounds(), np.array([0.05, 0.05, 0.02, 0.02])

    def room(q):
        return 1 - np.sum((bounds @ (q * size)) ** 2, axis=1)

    def room_slopes(q):
        return -2 * np.einsum("kij,ki->kj", bounds, bounds @ (q * size)) * size

    pull = load * size / np.linalg.norm(load * size)
    found = minimize(
        lambda q: -pull @ q,
        np.zeros(4),
        jac=lambda _: -pull,
        constraints={"type": "ineq", "fun": room, "jac": room_slopes},
        method="SLSQP",
        options={"ftol": 1e-14, "maxiter": 500},
    )
    return found.x * size


def polygon_work(line, load, sides=360):
    """The greatest work in bounds whose circles are polygons around them, by linear programming."""
    angle = np.arange(sides) * 2 * pi / sides
    normals = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    rows = np.concatenate([normals @ bound for bound in line.bounds()])
    found = linprog(-load, A_ub=rows, b_ub=np.ones(len(rows)), bounds=[(None, None)] * 4)
    return -found.fun


def problems():
    for given in BARRELS:
        barrel = read(given)
        for loads in (running_loads(barrel), winding_loads(barrel)):
            yield barrel.arbor, loads[0]
            if barrel.inner is not None:
                yield barrel.inner, loads[1]


def test_the_search_is_within_a_billionth_of_the_greatest_work():
    """The proven doubt; and each rest within its bounds, its reactions balancing the loads."""
    for line, load in problems():
        found = rest(line, load)
        assert 0 < found.doubt[0] < 1e-9
        reach = np.linalg.norm(line.bounds() @ found.q[0], axis=1)
        assert reach.max() <= 1 + 1e-12
        held = found.reactions[0]
        heights = [z for hole in (line.lower, line.upper) for z in hole.mouths_mm()]
        forces = held[: len(heights)]
        couple = held[len(heights) :].sum(axis=0)
        assert forces.sum(axis=0) == pytest.approx(-load[:2], abs=1e-8)
        assert heights @ forces + couple == pytest.approx(-load[2:], abs=1e-8)


def test_a_wall_pushes_only_where_it_is_touched_and_inward():
    for line, load in problems():
        found = rest(line, load)
        for hole in (line.lower, line.upper):
            for z in hole.mouths_mm():
                k = [*line.lower.mouths_mm(), *line.upper.mouths_mm()].index(z)
                outward = np.linalg.inv(hole.room() @ hole.room()) @ found.moved(z)[0]
                force, size = found.reactions[0][k], np.linalg.norm(load[:2])
                touches = np.linalg.norm(np.linalg.inv(hole.room()) @ found.moved(z)[0]) > 1 - 1e-6
                assert touches or np.linalg.norm(force) < 1e-4 * size
                along = force @ outward / np.linalg.norm(outward)
                assert along == pytest.approx(-np.linalg.norm(force), abs=1e-3 * size)


def test_sequential_quadratic_programming_comes_to_rest_at_the_same_place():
    for line, load in problems():
        assert rest(line, load).q[0] == pytest.approx(slsqp(line, load), abs=2e-6)


def test_linear_programming_in_polygons_finds_the_same_work():
    """A polygon of 360 sides around a circle is larger by 1 / cos(pi / 360) at its corners."""
    for line, load in list(problems())[:16]:
        work, around = load @ rest(line, load).q[0], polygon_work(line, load)
        assert work <= around * (1 + 1e-9)
        assert around <= work / cos(pi / 360) * (1 + 1e-9)


def test_no_random_line_in_the_holes_leans_more_than_the_free_lean():
    """Brute force: random lines scaled until they touch, then ever closer to the best."""
    rng = np.random.default_rng(3)
    for given in BARRELS[:8]:
        bounds = read(given).arbor.bounds()
        best, spread = np.zeros(4), np.array([0.05, 0.05, 0.02, 0.02])
        for _ in range(16):
            q = best + spread * rng.normal(size=(4000, 4))
            reach = np.linalg.norm(np.einsum("kij,nj->nki", bounds, q), axis=2).max(axis=1)
            q /= reach[:, None]
            best = q[np.argmax(np.linalg.norm(q[:, 2:], axis=1))]
            spread = spread / 2
        most = np.degrees(np.arctan(np.linalg.norm(best[2:])))
        free = solve(given | {"inner": None}).free.lean_deg
        assert free * 0.999 <= most <= free * (1 + 1e-7)


def test_no_loaded_stance_leaves_what_is_free():
    for given in BARRELS[:8]:
        answer = solve(given)
        for loaded in (answer.running, answer.winding):
            assert loaded.lean_deg <= answer.free.lean_deg * (1 + 1e-7)
            toward = answer.free.lean_toward_deg(loaded.toward_deg)
            assert loaded.lean_deg <= toward * (1 + 1e-7)
            assert loaded.gap_bridge_mm() >= answer.free.gap_bridge_mm() - 1e-7


def test_turning_the_watch_turns_the_answer():
    keys = ("centre_wheel_deg", "click_deg", "crown_wheel_deg")
    for given in BARRELS[:4]:
        turned = given | {key: given[key] + 70 for key in keys}
        for side in ("lower", "upper"):
            axis = given[side].get("long_axis_deg", 0.0) + 70
            turned[side] = given[side] | {"long_axis_deg": axis}
        before, after = solve(given), solve(turned)
        back = np.array(
            [[cos(radians(70)), -np.sin(radians(70))], [np.sin(radians(70)), cos(radians(70))]]
        )
        assert after.running.slope == pytest.approx(back @ before.running.slope, abs=1e-6)
        assert after.winding.at_zero == pytest.approx(back @ before.winding.at_zero, abs=1e-6)
        assert after.free.lean_deg == pytest.approx(before.free.lean_deg, rel=1e-6)


def test_a_stronger_spring_stands_the_same():
    """Without friction and weight only directions and shares count, not the torque."""
    for given in BARRELS[:4]:
        weak, strong = solve(given), solve(given | {"torque_nmm": 3 * given["torque_nmm"]})
        assert strong.running.slope == pytest.approx(weak.running.slope, abs=1e-6)
        three = 3 * weak.running.reactions
        assert strong.running.reactions == pytest.approx(three, abs=1e-4)


def test_forces_turn_what_they_should():
    """Mesh and click turn the drum and the arbor with the spring's torque, against each other."""
    for given in BARRELS[:4]:
        barrel = read(given)
        place = radians(given["centre_wheel_deg"])
        at = given["teeth_radius_mm"] * np.array([cos(place), np.sin(place)])
        force = mesh_force(barrel)
        turning = at[0] * force[1] - at[1] * force[0]
        assert turning == pytest.approx(-barrel.sense * given["torque_nmm"])
        assert force @ at < 0  # the teeth press the wheels apart
        click = running_loads(barrel)[0][:2] - force
        place = radians(given["click_deg"])
        at = given["ratchet_radius_mm"] * np.array([cos(place), np.sin(place)])
        assert at[0] * click[1] - at[1] * click[0] == pytest.approx(
            barrel.sense * given["torque_nmm"]
        )


def test_all_places_hold_the_one_that_is_known():
    given = BARRELS[0]
    places = np.array([10.0, given["click_deg"]])
    assert over_click_places(given, places)[1].lean_deg == pytest.approx(
        solve(given).running.lean_deg, rel=1e-5
    )
    places = np.array([10.0, given["crown_wheel_deg"]])
    assert over_crown_places(given, places)[1].lean_deg == pytest.approx(
        solve(given).winding.lean_deg, rel=1e-5
    )
    unknown = solve(given | {"click_deg": None, "crown_wheel_deg": None})
    assert unknown.running is None
    assert unknown.winding is None


def test_measured_contradictions_have_no_play_and_no_load_no_rest():
    tight = BARRELS[0] | {
        "lower": {"pivot_mm": 1.001, "hole_mm": 1.0},
        "inner": None,
        "shoulders": None,
    }
    assert np.abs(solve(tight).running.moved_mm(0)).max() < 1e-5
    with pytest.raises(ValueError, match="without a load"):
        rest(read(tight).arbor, np.zeros(4))


def test_random_barrels_are_seeded_and_of_all_kinds():
    barrels = random_barrels()
    assert len(barrels) == 200
    assert barrels == random_barrels()
    assert barrels != random_barrels(seed=13)
    kinds = {
        (each["inner"] is None, each["shoulders"] is None, each["lower"]["mouth"], each["turns"])
        for each in barrels
    }
    assert len(kinds) == 16
    ovals = ["hole_mm" not in each[side] for each in barrels for side in ("lower", "upper")]
    assert 0.3 < np.mean(ovals) < 0.5
    held = [each for each in barrels if each["shoulders"] is not None][:12]
    without = [solve(each | {"shoulders": None}).free.arbor_lean_deg for each in held]
    limited = [
        solve(each).free.arbor_lean_deg < loose * 0.999
        for each, loose in zip(held, without, strict=True)
    ]
    assert 2 <= sum(limited) <= 10
