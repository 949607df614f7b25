"""Edges against discs whose blurred image is known exactly."""

import numpy as np
import pytest
from scipy.special import erf

from sideshake.core.errors import NotEnough
from sideshake.photo.band import ring_of
from sideshake.photo.edge import find_edge
from sideshake.photo.ellipse import Ellipse, fitted
from sideshake.photo.trace import half_height_px

RADIUS, MIDDLE = 41.3, (60.2, 58.7)
NEAR = Ellipse(x=60.6, y=58.4, r=40.5)


def disc(*, inner=0.02, outer=0.4, blur=1.1, seed=1, noise=0.004):
    """Return a disc with a blurred rim; the bend of the rim over a blur is left out (0.01 px)."""
    y, x = np.mgrid[:120, :120]
    outside = np.hypot(x - MIDDLE[0], y - MIDDLE[1]) - RADIUS
    light = inner + (outer - inner) * 0.5 * (1 + erf(outside / (np.sqrt(2) * blur)))
    light = light + np.random.default_rng(seed).normal(0, noise, light.shape)
    return np.clip(light, 0, 1).astype(np.float32)


def radius_of(light, *, passes=3):
    ellipse, blur = NEAR, 1.5
    for _ in range(passes):
        edge = find_edge(ring_of(light, ellipse, 10.0), ellipse, blur_px=blur)
        ellipse = fitted(edge.points, ellipse, believed=edge.believed).ellipse
        blur = edge.curve.seen_blur_px
    return ellipse, edge


@pytest.mark.parametrize(("inner", "outer"), [(0.02, 0.4), (0.7, 0.1)])
def test_the_rim_of_a_disc_is_found_whether_it_is_dark_or_bright(inner, outer):
    ellipse, edge = radius_of(disc(inner=inner, outer=outer))
    assert ellipse.r == pytest.approx(RADIUS, abs=0.015)
    assert (ellipse.x, ellipse.y) == pytest.approx(MIDDLE, abs=0.02)
    assert edge.curve.blur_px == pytest.approx(1.1, abs=0.05)
    assert edge.believed.all()
    assert edge.burnt == 0.0


def test_uneven_light_does_not_move_the_rim():
    slope = np.linspace(0.5, 1.5, 120)[None, :]
    ellipse, _ = radius_of((disc() * slope).astype(np.float32))
    assert ellipse.numbers == pytest.approx([*MIDDLE, RADIUS, 0, 0], abs=0.05)


def test_most_of_what_burning_out_does_is_taken_back():
    """Half the step that is seen lies towards the dark; seven tenths at least are undone."""
    ellipse, edge = radius_of(disc(inner=0.02, outer=1.6))
    moved = half_height_px(edge.curve)
    naive = ellipse.r - moved
    assert edge.curve.cut
    assert edge.burnt > 0.9
    assert abs(naive - RADIUS) > 0.2
    assert abs(ellipse.r - RADIUS) < 0.3 * abs(naive - RADIUS)


def test_part_of_a_rim_without_a_step_is_not_believed():
    light = disc()
    light[:, 75:] = 0.4
    _, edge = radius_of(light)
    angles = np.degrees(np.arctan2(edge.points[:, 1] - MIDDLE[1], edge.points[:, 0] - MIDDLE[0]))
    assert not edge.believed[np.abs(angles) < 45].any()
    assert edge.believed[np.abs(angles) > 90].all()


@pytest.mark.parametrize("level", [0.0, 0.5, 1.0])
def test_where_there_is_no_step_there_is_no_edge(level):
    flat = np.full((120, 120), level, np.float32)
    with pytest.raises(NotEnough, match="no edge"):
        find_edge(ring_of(flat, NEAR, 10.0), NEAR)


def test_a_ring_outside_the_picture_is_refused():
    with pytest.raises(NotEnough, match="outside"):
        ring_of(np.zeros((20, 20), np.float32), NEAR, 3.0)
