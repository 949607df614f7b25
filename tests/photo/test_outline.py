"""The outline of drawn coins: shining here, dark there, with shadows and lines of relief."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from sideshake.core.errors import NotEnough
from sideshake.photo.outline import find_outline
from sideshake.photo.trace import trace
from tests.photo.rendered import photographed

SIZE, RADIUS = 460, 120.0
MIDDLE = (231.0, 226.5)


def coin(*, shadow=0.0, border=0.0, ring=0.0, sharp_deg=360.0, shade=0.2, colour=True):
    """Return a photograph of a disc brighter than its ground on one side and darker on the other.

    A soft shadow lies right of it; `border` darkens a line within, `ring` one along 60 % of the
    way round without; beyond `sharp_deg` the disc is like the ground.
    """
    y, x = np.mgrid[: 2 * SIZE, : 2 * SIZE] / 2.0 - 0.25
    across, down = x - MIDDLE[0], y - MIDDLE[1]
    out, way = np.hypot(across, down), np.degrees(np.arctan2(down, across)) % 360
    ground = np.full(out.shape, 0.35)
    cast = np.hypot(across - 8, down - 5)
    ground *= 1 - shadow / (1 + np.exp((cast - RADIUS - 4) / 4.0))
    ground *= 1 - ring * ((np.abs(out - 1.07 * RADIUS) < 2.5) & (way < 216))
    face = 0.35 - shade * across / RADIUS
    face *= 1 - border * (np.abs(out - 0.93 * RADIUS) < 2.5)
    shares = [(1.0, 1.0), (1.0, 0.8), (1.0, 0.5)] if colour else [(1.0, 1.0)]
    planes = []
    for on_ground, on_face in shares:
        light = np.where((out < RADIUS) & (way < sharp_deg), on_face * face, on_ground * ground)
        small = gaussian_filter(light.reshape(SIZE, 2, SIZE, 2).mean((1, 3)), 1.0)
        noise = np.random.default_rng(3).normal(0, 0.004, small.shape)
        planes.append(small + noise)
    return photographed(planes[0] if len(planes) == 1 else np.stack(planes, -1))


@pytest.mark.parametrize("given", [{}, {"shadow": 0.3}, {"border": 0.25}, {"colour": False}])
def test_an_edge_bright_here_and_dark_there_is_followed_all_round(given):
    rim = trace(coin(**given), (220.0, 240.0), outline=True)
    assert rim.fit.ellipse.r == pytest.approx(RADIUS, rel=0.003)
    assert (rim.fit.ellipse.x, rim.fit.ellipse.y) == pytest.approx(MIDDLE, abs=0.4)
    assert rim.lost < 0.3


def test_a_second_line_further_out_is_refused_and_none_further_in():
    with pytest.raises(NotEnough, match=r"two lines could be the edge.*light it from all sides"):
        find_outline(coin(ring=0.4), (220.0, 240.0))
    assert find_outline(coin(border=0.25), (220.0, 240.0)).r == pytest.approx(RADIUS, rel=0.01)


def test_an_edge_that_stands_out_on_half_the_rim_only_is_refused():
    with pytest.raises(NotEnough, match=r"stands out sharply.*another colour"):
        find_outline(coin(sharp_deg=230.0, shade=0.0), (220.0, 240.0))


def test_nothing_is_found_on_bare_ground():
    bare = photographed(np.full((300, 300), 0.1))
    with pytest.raises(NotEnough, match="no round rim"):
        find_outline(bare, (150.0, 150.0))
