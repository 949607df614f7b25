"""Sizes and shapes elsewhere in a tilted picture, against circles projected point by point."""

import math

import numpy as np
import pytest

from sideshake.photo.askew import RoundSeenAskew, dot, elsewhere, lens_of, possible_tilts, shape_at
from sideshake.photo.ellipse import Ellipse, direct_ellipse

LENS = lens_of((4000, 3000))


def seen_circle(tilt_deg, towards_deg, x, y, radius=0.03):
    """Return the ellipse of a circle on a plane 1 away, seen by a pinhole of focal length 1.

    Its middle is seen at (x, y); the plane recedes by the tilt in a direction. From scratch: rays
    and a plane, no homography.
    """
    slope = math.tan(math.radians(tilt_deg))
    way = np.array([math.cos(math.radians(towards_deg)), math.sin(math.radians(towards_deg))])
    gx, gy = slope * way  # z = 1 + gx X + gy Y
    normal = np.array([-gx, -gy, 1.0])
    one = np.cross(normal, [0.0, 1.0, 0.0])
    one /= np.linalg.norm(one)
    two = np.cross(normal, one) / np.linalg.norm(normal)
    ray = np.array([x, y, 1.0])
    middle = ray / (ray @ normal)
    turn = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    rim = middle + radius * (np.outer(np.cos(turn), one) + np.outer(np.sin(turn), two))
    return direct_ellipse(rim[:, :2] / rim[:, 2:]), complex(gx, gy)


@pytest.mark.parametrize("tilt_deg", [0.0, 2.0, 6.0, 10.0])
@pytest.mark.parametrize(("x", "y"), [(0.0, 0.0), (0.4, 0.1), (-0.3, 0.35)])
def test_size_and_shape_are_those_of_a_projected_circle(tilt_deg, x, y):
    middle, _ = seen_circle(tilt_deg, 30, 0.0, 0.0)
    seen, g = seen_circle(tilt_deg, 30, x, y)
    grown = 1.5 * math.log(1 - float(dot(np.array([g]), complex(x, y))[0]))
    assert math.log(seen.r / middle.r) == pytest.approx(grown, abs=0.004)
    shape = complex(seen.p, seen.q) / seen.r
    told = complex(shape_at(np.array([g]), complex(x, y))[0])
    assert abs(shape - told) < 0.004  # second order in tilt and place


def as_px(ellipse):
    return Ellipse(
        x=LENS.middle[0] + ellipse.x * LENS.focal_px,
        y=LENS.middle[1] + ellipse.y * LENS.focal_px,
        r=ellipse.r * LENS.focal_px,
        p=ellipse.p * LENS.focal_px,
        q=ellipse.q * LENS.focal_px,
    )


def change(tilt_deg, shape_u):
    """Return how the scale is said to change between two coins, and how it does."""
    known, there = (as_px(seen_circle(tilt_deg, 20, *at)[0]) for at in ((0.35, 0.1), (-0.3, 0.2)))
    rounds = [RoundSeenAskew(ellipse=each, shape_u=shape_u) for each in (known, there)]
    places = [(each.x, each.y) for each in (known, there)]
    return elsewhere(LENS, *places, rounds), elsewhere(LENS, *places, []), known.r / there.r


@pytest.mark.parametrize("tilt_deg", [0.0, 4.0, 8.0])
def test_round_things_tell_the_tilt_by_their_shape(tilt_deg):
    told, untold, true = change(tilt_deg, 0.003)
    assert math.log(told.factor) == pytest.approx(math.log(true), abs=2 * told.relative_u)
    assert told.relative_u < 0.3 * untold.relative_u
    assert untold.factor == pytest.approx(1.0, abs=0.01)
    assert abs(math.log(true)) < 2 * untold.relative_u


def test_a_thing_whose_shape_is_not_known_tells_nothing():
    told, untold, _ = change(6.0, 10.0)
    assert told.relative_u == pytest.approx(untold.relative_u, rel=0.01)


def test_every_tilt_up_to_the_limit_is_possible_and_none_beyond():
    tilts = np.degrees(np.arctan(np.abs(possible_tilts())))
    assert tilts.max() == pytest.approx(10.0, abs=0.2)
    assert tilts.min() == 0.0


def test_the_side_of_a_thing_shows_off_the_middle_only():
    assert LENS.side(LENS.middle) == 0.0
    assert LENS.side((LENS.middle[0] + 0.4 * LENS.focal_px, LENS.middle[1])) == pytest.approx(0.02)
