"""Points pressed in photographs made by physics: where they lie, held against where they were put.

The truth is the scene's own geometry (tests/photo/rendered.py: a pinhole, no code of the program).
"""

import io
import math

import numpy as np
import pytest
from PIL import Image

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.card import Print
from sideshake.photo.hole import PhotoView, SeenSide
from sideshake.photo.kinds import PictureKind
from sideshake.photo.light import LightPhotograph, photograph
from sideshake.photo.pressed import LEAST_PX, mark_sentences, marks_from
from sideshake.photo.scale import ByCard, ByPoints
from tests.photo.rendered import Scene, file_of, photographed, where_px

PRINTED = Print(across_mm=Measured(100.0, 0.017), along_mm=Measured(100.0, 0.017))
SQUARE = Scene(um_a_pixel=14.0, wide_px=1500, high_px=1500)
TILTED = Scene(
    um_a_pixel=14.0, wide_px=1500, high_px=1500, tilt_deg=6.0, tilt_towards_deg=40.0, card_deg=25.0
)
PLACES_MM = ((2.0, 1.0), (-1.5, 2.5), (0.5, -3.0))
MIDDLE_MM = (0.3, -0.2)


@pytest.fixture(scope="module")
def photographs():
    return {each: photograph(io.BytesIO(file_of(each))) for each in (SQUARE, TILTED)}


@pytest.fixture
def plain():
    """A photograph of nothing, 800 by 600."""
    return photographed(np.full((600, 800), 0.2))


def pressed(scene):
    return where_px(scene, MIDDLE_MM), tuple(where_px(scene, each) for each in PLACES_MM)


@pytest.mark.parametrize("scene", [SQUARE, TILTED], ids=["square", "tilted"])
def test_with_the_card_radius_and_direction_hold_where_the_points_were_put(photographs, scene):
    middle, places = pressed(scene)
    found = marks_from(
        photographs[scene], middle, places, scale=ByCard(printed=PRINTED), view=PhotoView()
    )
    for mark, place in zip(found, PLACES_MM, strict=True):
        x, y = place[0] - MIDDLE_MM[0], place[1] - MIDDLE_MM[1]
        turned = 0.0 if scene is SQUARE else picture_turn(scene)
        true_deg = (math.degrees(math.atan2(y, x)) + turned) % 360
        assert mark.radius_mm.holds(math.hypot(x, y))
        assert mark.radius_mm.expanded < 0.1
        off = (mark.direction_deg.value - true_deg + 180) % 360 - 180
        assert abs(off) <= mark.direction_deg.expanded + 0.5
        assert mark.direction_deg.expanded < 3


def picture_turn(scene):
    """Return by how much the picture's right is turned against the plate's +x there, degrees."""
    (x1, y1), (x2, y2) = (where_px(scene, (MIDDLE_MM[0] + dx, MIDDLE_MM[1])) for dx in (-0.5, 0.5))
    return math.degrees(math.atan2(y1 - y2, x2 - x1))


def test_without_a_scale_only_the_direction_is_told(plain):
    (mark,) = marks_from(plain, (400.0, 300.0), ((400.0, 100.0),), scale=None, view=PhotoView())
    assert mark.radius_mm is None
    assert mark.direction_deg.value == pytest.approx(90)
    # two places each pressed to 3 pixels either way (GUM 4.3.7: a limit a is a / sqrt 3)
    assert mark.direction_deg.u == pytest.approx(math.degrees(math.sqrt(6) / 200), rel=0.02)


def test_two_points_on_a_rule_give_a_radius_by_proportion(plain):
    rule = ByPoints(
        first_px=(300.0, 300.0), second_px=(500.0, 300.0), length_mm=Measured(10.0, 0.01)
    )
    (mark,) = marks_from(plain, (400.0, 300.0), ((500.0, 300.0),), scale=rule, view=PhotoView())
    assert mark.radius_mm.value == pytest.approx(5.0)
    assert 0.02 < mark.radius_mm.u / 5.0 < 0.04
    assert "Point 1 lies 5.0 ± 0.3 mm from the middle at 0 ± 3°" in mark_sentences((mark,))[0]


@pytest.mark.parametrize("tilt_deg", [0.0, 5.0, 10.0])
@pytest.mark.parametrize("towards_deg", [0.0, 45.0, 180.0])
def test_a_long_radius_by_a_rule_at_the_middle_holds_askew(tilt_deg, towards_deg):
    """40 mm in a telephone's picture: 10 degrees askew the far end seems 3 mm nearer or further."""
    scene = Scene(
        um_a_pixel=30.0, wide_px=4000, high_px=3000, distance_mm=90.0, tilt_deg=tilt_deg,
        tilt_towards_deg=towards_deg,
    )  # fmt: skip
    photo = LightPhotograph(picture=Image.new("L", (4000, 3000)), turn=1, kind=PictureKind.PNG)
    rule = ByPoints(
        first_px=where_px(scene, (-5.0, -3.0)), second_px=where_px(scene, (5.0, -3.0)),
        length_mm=Measured(10.0, 0.02),
    )  # fmt: skip
    (far,) = marks_from(
        photo, where_px(scene, (0.0, 0.0)), (where_px(scene, (40.0, 0.0)),), scale=rule,
        view=PhotoView(),
    )  # fmt: skip
    assert far.radius_mm.holds(40.0)
    assert far.radius_mm.expanded < 4.5


@pytest.mark.parametrize(
    ("picture_deg", "view", "part_deg"),
    [
        (0.0, PhotoView(), 0.0),
        (0.0, PhotoView(side=SeenSide.PLATE), 180.0),
        (90.0, PhotoView(side=SeenSide.PLATE), 90.0),
        (10.0, PhotoView(turned_deg=30), 340.0),
        (75.0, PhotoView(side=SeenSide.PLATE, turned_deg=30), 135.0),
    ],
)
def test_directions_are_those_seen_from_the_bridge(picture_deg, view, part_deg):
    assert view.towards_deg(picture_deg) == pytest.approx(part_deg)
    assert view.part_deg(picture_deg) == pytest.approx(part_deg % 180)


def test_only_the_first_sentence_says_how_directions_are_counted(plain):
    found = marks_from(
        plain, (400.0, 300.0), ((400.0, 100.0), (500.0, 300.0)), scale=None, view=PhotoView()
    )
    first, second = mark_sentences(found)
    assert first.endswith("(from 3 o'clock, counter-clockwise, seen from the bridge).")
    assert second == "Point 2 lies at 0 ± 3° seen from the middle."


def test_a_point_on_the_middle_is_refused_with_its_cure(plain):
    at = (400.0 + 0.9 * LEAST_PX, 300.0)
    with pytest.raises(NotEnough, match="press further out"):
        marks_from(plain, (400.0, 300.0), (at,), scale=None, view=PhotoView())
