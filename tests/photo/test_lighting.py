"""Light from behind, a ring of lamps, a chessboard for a ground: held, or refused in words."""

from dataclasses import replace

import pytest

from sideshake.core.errors import NotEnough
from sideshake.photo.hole import PhotoView, measure_hole
from sideshake.photo.scale import ByCard
from tests.photo.hostile import LINES
from tests.photo.rendered import Scene, picture_of, where_px

SMALL = Scene(um_a_pixel=24.0, wide_px=960, high_px=930, long_mm=2.06, short_mm=2.0, angle_deg=25.0)
BY_CARD = ByCard(printed=LINES)
TRUE_MM = 2.03


def measured(scene, **view):
    return measure_hole(picture_of(scene), where_px(scene), BY_CARD, view=PhotoView(**view))


@pytest.mark.parametrize("given", [{"behind": 0.6}, {"behind": 1.5, "tilt_deg": 2.5}])
def test_light_from_behind_is_held_through_the_thickness_and_tells_no_oval(given):
    """The far rim of a plate of 0.5 mm, 80 mm away, looks smaller by 0.6 %; a tilt cuts more."""
    hole = measured(replace(SMALL, **given))
    assert hole.behind
    assert hole.mean_mm.holds(TRUE_MM)
    assert hole.mean_mm.value < TRUE_MM
    assert hole.mean_mm.expanded < 0.035
    assert (hole.oval, hole.direction_deg) == (None, None)


def test_light_from_behind_too_much_askew_is_refused():
    with pytest.raises(NotEnough, match="5° askew at the card, 3° is the most"):
        measured(replace(SMALL, behind=0.7, tilt_deg=5.0))


@pytest.mark.parametrize("light", [0.9, 1.5])
@pytest.mark.parametrize("rounded", [False, True])
def test_a_shining_chamfer_narrower_than_the_blur_is_in_the_doubt(light, rounded):
    """30 um are 1.2 pixels here, as wide as the blur: a bright line that draws the edge inwards."""
    hole = measured(replace(SMALL, chamfer_mm=0.03, chamfer_light=light), rounded=rounded)
    assert hole.mean_mm.holds(TRUE_MM)
    assert hole.rim.curve.crest_px > 0.1


def test_a_broad_shining_chamfer_is_told_from_the_hole_and_a_burnt_out_one_is_refused():
    broad = measured(replace(SMALL, chamfer_mm=0.1, chamfer_light=0.9), rounded=True)
    assert broad.mean_mm.holds(TRUE_MM)
    assert broad.mean_mm.expanded < 0.03
    with pytest.raises(NotEnough, match="the metal round the hole is burnt out: expose less"):
        measured(replace(SMALL, chamfer_mm=0.1, chamfer_light=1.5), rounded=True)


def test_a_plain_rim_has_no_crest_and_no_doubt_for_it():
    plain = measured(SMALL)
    assert plain.rim.curve.crest_px < 0.02
    assert plain.mean_mm.expanded < 0.01


@pytest.mark.parametrize(
    ("squares_mm", "share", "why"),
    [
        (1.3, 0.2, ""),
        (1.3, 0.5, ""),
        (0.5, 0.2, ""),
        (1.3, 0.9, "51 % of the rim is not seen, 26 % in one piece"),
        (0.2, 0.5, "the rim is no ellipse"),
        (0.5, 0.5, "no card is found"),
    ],
)
def test_on_a_chessboard_a_hole_is_right_or_refused(squares_mm, share, why):
    scene = replace(SMALL, squares_mm=squares_mm, squares=share)
    if why:
        with pytest.raises(NotEnough, match=why):
            measured(scene)
        return
    hole = measured(scene)
    assert hole.mean_mm.holds(TRUE_MM)
    assert hole.oval.real
    assert hole.oval_mm.value == pytest.approx(0.06, abs=0.014)
