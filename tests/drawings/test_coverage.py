"""The curve of a batch: each point at its cost and its share, and joined by steps."""

import pytest

from sideshake.core.quantities import Measured
from sideshake.drawings.coverage import LOWER_LEFT, UPPER_RIGHT, coverage_drawing
from sideshake.drawings.shapes import Circle, DrawnLine, ShapeRole, Text
from sideshake.drawings.svg import svg_text
from sideshake.fit.batch import JewelBatch
from sideshake.fit.jewel import Part

PART = Part(outside_mm=1.5, hole_mm=0.92, thickness_mm=0.5)


def batch(sizes, served, cost):
    return JewelBatch(
        sizes=(PART,) * sizes, served=served, repairs=20, right=Measured(served), cost=cost
    )


CURVE = (batch(1, 5, 250.0), batch(2, 10, 500.0), batch(3, 20, 1000.0))


def points(drawing):
    return [each.centre for each in drawing.shapes if isinstance(each, Circle)]


def test_the_last_point_of_full_coverage_is_the_upper_right_corner():
    found = points(coverage_drawing(CURVE))
    (left, bottom), (right, top) = LOWER_LEFT, UPPER_RIGHT
    assert found[-1] == pytest.approx((right, top))
    assert found[0] == pytest.approx((left + (right - left) / 4, bottom + (top - bottom) / 4))


def test_the_steps_go_right_and_then_up():
    shapes = coverage_drawing(CURVE).shapes
    outline = [s for s in shapes if isinstance(s, DrawnLine) and s.role is ShapeRole.OUTLINE]
    ways = ["right" if one.start[1] == one.end[1] else "up" for one in outline]
    assert ways == ["right", "up"] * 2


@pytest.mark.parametrize("curve", [CURVE, CURVE[:1], (batch(1, 1, 0.0),)])
def test_the_sheet_holds_everything_and_is_drawn(curve):
    drawing = coverage_drawing(curve)
    for shape in drawing.shapes:
        if isinstance(shape, Text):
            assert 0 <= shape.at[0] <= drawing.width
            assert 0 <= shape.at[1] <= drawing.height
    assert svg_text(drawing).startswith("<svg")
