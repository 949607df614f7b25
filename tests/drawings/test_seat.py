"""The part in its seat: every length at the stated scale, the face where the depth says."""

from dataclasses import replace

import pytest

from sideshake.core.quantities import Measured
from sideshake.drawings.seat import CUT_Y, MIDDLE, Seated, part_heights, seat_drawing
from sideshake.drawings.shapes import Circle, Fill, Polyline
from sideshake.drawings.svg import svg_text
from sideshake.fit.jewel import Part, Seat

SEAT = Seat(
    pivot_mm=Measured(0.9, 0.002), play_mm=(0.017, 0.033), old_hole_mm=1.0, plate_thickness_mm=0.8
)


def seated(**changes):
    how = {
        "name": "bridge",
        "seat": SEAT,
        "part": Part(outside_mm=1.5, hole_mm=0.92, thickness_mm=0.6),
        "depth_mm": 0.1,
        "reamers_mm": (1.09, 1.49),
        "inner_is_up": False,
    }
    return Seated(**{**how, **changes})


def test_every_circle_is_drawn_to_the_stated_scale():
    drawing = seat_drawing(seated())
    radii = {round(2 * each.radius / drawing.scale, 6) for each in drawing.shapes
             if isinstance(each, Circle)}  # fmt: skip
    assert radii == {1.5, 1.0, 1.09, 1.49, 0.92}


def test_the_jewel_fills_its_seat_and_leaves_its_hole():
    drawing = seat_drawing(seated())
    halves = [each for each in drawing.shapes
              if isinstance(each, Polyline) and each.fill is Fill.JEWEL]  # fmt: skip
    reaches = sorted({round(abs(x - MIDDLE) / drawing.scale, 6)
                      for half in halves for x, _y in half.points})  # fmt: skip
    assert reaches == [0.46, 0.75]


@pytest.mark.parametrize(("inner_is_up", "face"), [(True, 0.4 - 0.1), (False, -0.4 + 0.1)])
def test_the_inner_face_lies_as_deep_as_stated(inner_is_up, face):
    # plate 0.8 thick about the middle: inner surface at 0.4, face a tenth below it
    told = seated(inner_is_up=inner_is_up)
    low, high = part_heights(told)
    inner = high if inner_is_up else low
    assert (inner - CUT_Y) / told.scale == pytest.approx(face)
    assert (high - low) / told.scale == pytest.approx(0.6)


@pytest.mark.parametrize(
    ("outside", "plate", "scale"),
    [(0.8, 0.44, 50), (0.81, 0.44, 20), (0.8, 0.45, 20), (2.0, 0.8, 20), (2.1, 0.8, 10), (1, 3, 5)],
)
def test_the_scale_is_the_largest_of_the_standard_that_has_room(outside, plate, scale):
    # ISO 5455:1979, enlargements: 50:1, 20:1, 10:1, 5:1, 2:1; room for 40 mm across and 22 high
    part = Part(outside_mm=outside, hole_mm=0.4, thickness_mm=0.3)
    told = seated(part=part, seat=replace(SEAT, plate_thickness_mm=plate), reamers_mm=())
    assert told.scale == scale


@pytest.mark.parametrize("outside", [0.7, 1.5, 3.0, 6.0])
def test_the_drawing_stays_on_its_sheet(outside):
    part = Part(outside_mm=outside, hole_mm=outside / 2, thickness_mm=0.4)
    drawing = seat_drawing(seated(part=part, reamers_mm=()))
    circles = [each for each in drawing.shapes if isinstance(each, Circle)]
    assert all(each.radius < min(each.centre[0], drawing.width - each.centre[0])
               for each in circles)  # fmt: skip
    assert f"{drawing.scale:g}:1" in svg_text(drawing)
