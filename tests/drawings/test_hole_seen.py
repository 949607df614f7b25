"""The drawn edge and the deviations: every edge point is in them, at its place."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from sideshake.core.quantities import Measured
from sideshake.drawings.hole_seen import HIGHEST, RING, deviations_picture, edge_picture
from sideshake.photo.hole import measure_hole
from sideshake.photo.scale import ByPoints
from tests.photo.rendered import Scene, picture_of, where_px

SCENE = Scene(card=None, um_a_pixel=20.0, wide_px=300, high_px=280, long_mm=2.0, short_mm=1.96)


@pytest.fixture(scope="module")
def seen():
    photo = picture_of(SCENE)
    scale = ByPoints(first_px=(0.0, 0.0), second_px=(250.0, 0.0), length_mm=Measured(5.0, 0.01))
    return photo, measure_hole(photo, where_px(SCENE), scale)


def circles(svg):
    return [
        (float(x), float(y)) for x, y in re.findall(r'cx="([\d.]+)" cy="([\d.]+)" r="1.4"', svg)
    ]


def test_edge_points_lie_on_the_rim_of_the_picture(seen):
    photo, hole = seen
    svg = edge_picture(photo, hole)
    ElementTree.fromstring(svg)
    points = np.array(circles(svg))
    believed = int((hole.rim.fit.weights > 0).sum())
    assert len(points) == believed
    middle, reach = points.mean(axis=0), np.linalg.norm(points - points.mean(axis=0), axis=1)
    zoom = float(re.search(r"(\d+) : 1", svg)[1])
    assert reach.mean() == pytest.approx(hole.rim.fit.ellipse.r * zoom, rel=0.01)
    assert svg.count('stroke="#9b1b30"') == len(hole.rim.points) - believed
    assert middle[0] > 0


def test_a_point_off_the_ellipse_stands_off_the_ring(seen):
    _, hole = seen
    off = np.zeros_like(hole.off_mm)
    off[5] = 0.002
    svg = deviations_picture(replace(hole, off_mm=off))
    ElementTree.fromstring(svg)
    size = 2 * (RING + HIGHEST) + 40
    reach = np.linalg.norm(np.array(circles(svg)) - size / 2, axis=1)
    assert reach.max() == pytest.approx(RING + HIGHEST, abs=0.1)
    assert np.median(reach) == pytest.approx(RING, abs=0.1)
    assert "rings 2 µm apart" in svg
