"""Two hundred random barrels: the statics of `sideshake.wear` against a second mind's.

`tests/second_mechanics` was written from the physics by somebody who had not read `sideshake.wear`:
there the loads do the most work that the holes allow, found by a search that bounds its own error.
Without friction the two must agree to 1 % (and 0.001 degree near no lean at all). Both take the
drum's own pair to stand in the middle of the span, as the wear page says.
"""

from functools import cache

import numpy as np
import pytest
from second_mechanics import random_barrels, solve

from sideshake.core.quantities import Measured
from sideshake.wear.arbor_pose import leaning
from sideshake.wear.barrel import Barrel, BearingPair, Shoulders
from sideshake.wear.bearing import Bearing, Hole
from sideshake.wear.loads import KnownParts, under_way, while_winding
from sideshake.wear.mesh import Turns
from sideshake.wear.tilt import middles, most_free_direction, slope_now, standing

COUNT, AGREE, AGREE_DEG, AGREE_MM = 200, 0.01, 1e-3, 2e-4


@cache
def drawn():
    """Each barrel as a dict, its drum's own pair in the middle of the span, and both answers."""
    barrels = []
    for given in random_barrels(COUNT):
        inner = given["inner"] and given["inner"] | {"floor_height_mm": None}
        barrels.append(given | {"inner": inner})
    return [(given, solve(given), ours(given)) for given in barrels]


def bearing(hole):
    long, short = (hole.get(f"hole_{axis}_mm") for axis in ("long", "short"))
    length = hole.get("length_mm")
    return Bearing(
        hole=Hole(
            long_mm=Measured(long or hole["hole_mm"]),
            short_mm=Measured(short) if short else None,
            long_axis_deg=hole.get("long_axis_deg", 0.0),
        ),
        pivot_mm=Measured(hole["pivot_mm"]),
        thickness_mm=Measured(length) if length else None,
        bell_mouthed=hole.get("mouth") == "bell",
    )


def ours(given):
    """Return the same barrel as `sideshake.wear` takes it, and what is known of its partners."""
    inner, shoulders = given["inner"], given["shoulders"]
    barrel = Barrel(
        arbor=BearingPair(
            lower=bearing(given["lower"]),
            upper=bearing(given["upper"]),
            span_mm=Measured(given["span_mm"]),
        ),
        endshake_mm=Measured(given["endshake_mm"]),
        gaps=(),
        inner=inner
        and BearingPair(
            lower=bearing(inner["floor"]),
            upper=bearing(inner["lid"]),
            span_mm=Measured(inner["lid_to_floor_mm"]),
        ),
        shoulders=shoulders
        and Shoulders(
            above_mm=Measured(shoulders["above_mm"]),
            below_mm=Measured(shoulders["below_mm"]),
            endshake_mm=Measured(given["endshake_mm"]),
        ),
    )
    known = KnownParts(
        rim_radius_mm=Measured(given["rim_radius_mm"]),
        centre_wheel_deg=Measured(given["centre_wheel_deg"]),
        click_deg=Measured(given["click_deg"]),
        crown_wheel_deg=Measured(given["crown_wheel_deg"]),
        turns=Turns(given["turns"]),
        pitch_radius_mm=Measured(given["teeth_radius_mm"]),
        toothed_plane_mm=Measured(given["teeth_height_mm"]),
        ratchet_radius_mm=Measured(given["ratchet_radius_mm"]),
        ratchet_plane_mm=Measured(given["ratchet_height_mm"]),
    )
    return barrel, known


def stances(name, given, theirs, mine):
    """Return our stance of that name and the second mind's answer to it."""
    barrel, known = mine
    if name == "free":
        return leaning(most_free_direction(barrel)), theirs.free
    found = (under_way if name == "running" else while_winding)(known, barrel)
    return found.worst, getattr(theirs, name)


@pytest.mark.parametrize("name", ["free", "running", "winding"])
def test_both_minds_lean_alike(name):
    apart = []
    for place, (given, theirs, mine) in enumerate(drawn()):
        stance, answer = stances(name, given, theirs, mine)
        lean_deg = float(np.degrees(np.arctan(abs(slope_now(mine[0], stance)))))
        if lean_deg != pytest.approx(answer.lean_deg, rel=AGREE, abs=AGREE_DEG):
            apart.append((place, lean_deg, answer.lean_deg))
    assert apart == []


@pytest.mark.parametrize("name", ["running", "winding"])
def test_both_minds_lean_to_the_same_side_and_stand_at_the_same_place(name):
    apart = []
    for place, (given, theirs, mine) in enumerate(drawn()):
        stance, answer = stances(name, given, theirs, mine)
        stands = standing(mine[0], stance, middles(mine[0], stance))
        for height in (0.0, given["teeth_height_mm"], given["span_mm"]):
            x, y = answer.moved_mm(height)
            if abs(complex(stands.at(height)[0]) - complex(x, y)) > AGREE_MM:
                apart.append((place, height, complex(stands.at(height)[0]), (x, y)))
    assert apart == []


def test_the_barrels_are_of_every_kind():
    kinds = {(bool(g["inner"]), bool(g["shoulders"]), g["lower"]["mouth"]) for g, _t, _m in drawn()}
    assert len(kinds) == 8
    oval = sum("hole_long_mm" in given["lower"] for given, _t, _m in drawn())
    assert 0.2 * COUNT < oval < 0.6 * COUNT
