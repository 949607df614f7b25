"""The plane of the card, against a pinhole and against another program's lens."""

from dataclasses import replace

import numpy as np
import pytest

from sideshake.core.errors import NotEnough
from sideshake.photo.card import ScaleCardSize, dot_pitch_mm, places_mm
from sideshake.photo.plane import fitted_plane, straight_start
from tests.photo.rendered import Camera, Scene

SIZE = ScaleCardSize.SMALL
PLACES = places_mm(SIZE)
PITCH = dot_pitch_mm(SIZE)
PICTURE = (1100, 1100)


def seen(scene, places=PLACES):
    camera = Camera(scene)
    return np.array([camera.seen(x, y, 0.0) for x, y in places])


def plane_of(scene, *, noise_px=0.0, random=None):
    middles = seen(scene)
    if random is not None:
        middles = middles + random.normal(0, noise_px, middles.shape)
    return fitted_plane(PLACES, middles, PICTURE, pitch_mm=PITCH)


ASKEW = Scene(tilt_deg=5, tilt_towards_deg=70, bending=-0.03)


def test_places_go_to_pixels_and_back():
    plane = plane_of(ASKEW)
    inside = np.array([[0.0, 0.0], [1.2, -3.1], [-4.0, 2.0]])
    assert plane.to_px(inside) == pytest.approx(seen(ASKEW, inside), abs=1e-4)
    assert plane.to_mm(seen(ASKEW, inside)) == pytest.approx(inside, abs=1e-6)
    assert plane.bending == pytest.approx(-0.03, abs=1e-4)
    assert np.degrees(plane.tilt_rad(Camera(ASKEW).middle)) == pytest.approx(5.0, abs=0.05)


def test_a_bent_lens_costs_microns_where_it_is_not_fitted():
    """2 % of barrel distortion, a hole of 1 mm in the middle of the card."""
    bent = Scene(bending=-0.02)
    plane = plane_of(bent)
    own, image = PLACES / plane.unit_mm, (seen(bent) - plane.middle) / plane.half_px
    straight = replace(plane, numbers=straight_start(own, image))
    ends = seen(bent, np.array([[-0.5, 0.0], [0.5, 0.0]]))
    told, naive = (float(np.linalg.norm(np.diff(each.to_mm(ends), axis=0)))
                   for each in (plane, straight))  # fmt: skip
    assert told == pytest.approx(1.0, abs=1e-5)
    assert abs(naive - 1.0) > 3e-3


def test_the_doubt_of_the_plane_is_the_scatter_of_repeated_draws():
    random = np.random.default_rng(8)
    planes = [plane_of(ASKEW, noise_px=0.1, random=random) for _ in range(60)]
    drawn = np.std([plane.numbers for plane in planes], axis=0)
    told = np.sqrt(np.median([np.diag(plane.covariance) for plane in planes], axis=0))
    assert told == pytest.approx(drawn, rel=0.4)
    assert np.median([plane.scatter_px for plane in planes]) == pytest.approx(0.1, rel=0.15)


def test_a_dot_under_dirt_is_left_out():
    middles = seen(ASKEW)
    middles[7] += (4.0, -3.0)
    plane = fitted_plane(PLACES, middles, PICTURE, pitch_mm=PITCH)
    assert plane.dots == 47
    assert plane.to_px(np.zeros((1, 2))) == pytest.approx(seen(ASKEW, [(0, 0)]), abs=1e-3)


def test_a_card_that_is_not_flat_is_refused():
    random = np.random.default_rng(2)
    with pytest.raises(NotEnough, match="not flat"):
        plane_of(Scene(), noise_px=4.0, random=random)


def test_one_term_is_enough_for_the_strongest_lens_at_hand():
    """The lens of a published calibration: five coefficients by another program.

    OpenCV 4.6 on its own chessboard pictures (left_intrinsics.yml, Debian opencv-doc): radial
    k1 -0.266, k2 -0.039, k3 0.238 and tangential terms, focal length 535.9 px of 640 by 480. The
    card fills two thirds of the height; in its window what is left is below a thousandth.
    """
    focal, middle = 535.916, np.array([342.283, 235.571])
    k1, k2, p1, p2, k3 = -0.26637, -0.038589, 0.0017832, -0.00028122, 0.23839

    def lens(places_mm):
        x, y = (places_mm * (1, -1) / 30.0 * 0.48).T
        square = x * x + y * y
        out = 1 + k1 * square + k2 * square**2 + k3 * square**3
        u = x * out + 2 * p1 * x * y + p2 * (square + 2 * x * x)
        v = y * out + p1 * (square + 2 * y * y) + 2 * p2 * x * y
        return focal * np.column_stack([u, v]) + middle

    plane = fitted_plane(PLACES, lens(PLACES), (640, 480), pitch_mm=PITCH)
    angles = np.linspace(0, 2 * np.pi, 60)
    hole = 1.5 * np.column_stack([np.cos(angles), np.sin(angles)])
    told = plane.to_mm(lens(hole))
    radii = np.linalg.norm(told - told[:-1].mean(axis=0), axis=1)
    assert radii.mean() == pytest.approx(1.5, rel=1e-3)
    assert plane.scatter_px < 0.1
