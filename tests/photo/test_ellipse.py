"""The ellipse and its covariance, against exact points and against repeated draws."""

import numpy as np
import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.photo.ellipse import Ellipse, direct_ellipse, fitted

ANGLES = np.linspace(0, 2 * np.pi, 120, endpoint=False)
OVAL = Ellipse(x=40.0, y=-7.0, r=50.0, p=1.5, q=-0.8)


def noisy(ellipse, random, *, sd=0.2, alike=1):
    """Return points moved outwards by noise of which `alike` neighbours share much."""
    noise = random.normal(0, 1, len(ANGLES))
    kernel = np.ones(alike) / np.sqrt(alike)
    ring = np.fft.irfft(np.fft.rfft(noise) * np.fft.rfft(kernel, len(ANGLES)), len(ANGLES))
    points = ellipse.points(ANGLES)
    _, _, normals = ellipse.seen(points)
    return points + sd * ring[:, None] * normals


def test_exact_points_give_the_ellipse_back():
    start = direct_ellipse(OVAL.points(ANGLES))
    found = fitted(OVAL.points(ANGLES), start).ellipse
    assert found.numbers == pytest.approx(OVAL.numbers, abs=1e-9)


def test_axes_and_direction_are_those_of_the_points_farthest_out():
    points = OVAL.points(np.linspace(0, 2 * np.pi, 20000)) - (OVAL.x, OVAL.y)
    reach = np.linalg.norm(points, axis=1)
    far = points[np.argmax(reach)]
    assert OVAL.long == pytest.approx(reach.max(), rel=1e-6)
    assert OVAL.short == pytest.approx(reach.min(), rel=1e-6)
    assert np.tan(OVAL.angle_rad) == pytest.approx(far[1] / far[0], abs=1e-3)


def test_the_distance_from_a_circle_is_exact():
    circle = Ellipse(x=1.0, y=2.0, r=10.0)
    distance, angle, normal = circle.seen(np.array([[1.0, 15.0], [-4.0, 2.0]]))
    assert distance == pytest.approx([3.0, -5.0])
    assert normal[0] == pytest.approx([0.0, 1.0])
    assert angle[0] == pytest.approx(np.pi / 2)


@pytest.mark.parametrize("alike", [1, 9])
def test_the_covariance_is_the_scatter_of_repeated_draws(alike):
    random = np.random.default_rng(3)
    fits = [fitted(noisy(OVAL, random, alike=alike), OVAL) for _ in range(80)]
    drawn = np.array([fit.ellipse.numbers for fit in fits])
    told = np.sqrt(np.median([np.diag(fit.covariance) for fit in fits], axis=0))
    assert told == pytest.approx(drawn.std(axis=0), rel=0.35)
    assert drawn.mean(axis=0) == pytest.approx(OVAL.numbers, abs=0.03)
    assert (np.median([fit.alike for fit in fits]) > 4) == (alike == 9)


def test_a_burr_is_left_out():
    points = OVAL.points(ANGLES)
    points[10:22] += 3.0
    fit = fitted(points, direct_ellipse(points))
    assert fit.ellipse.numbers == pytest.approx(OVAL.numbers, abs=1e-6)
    assert (fit.weights[10:22] == 0).all()


def test_what_is_no_ellipse_is_refused():
    line = np.column_stack([ANGLES, 2 * ANGLES])
    with pytest.raises(NotEnough, match="no ellipse"):
        direct_ellipse(line)
    with pytest.raises(NotEnough, match="12 points"):
        fitted(OVAL.points(ANGLES), OVAL, believed=np.zeros(len(ANGLES)))
    with pytest.raises(InputError, match="above 0"):
        Ellipse(x=0, y=0, r=1.0, p=2.0)
