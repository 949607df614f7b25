"""A wheel and a pivot in the card's window: millimetres against what was drawn."""

import math
from dataclasses import replace

import numpy as np
import pytest
from drawn_wheels import Drawn, covered, tooth_form
from scipy.ndimage import gaussian_filter

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.lengths import scaled
from sideshake.photo.light import linear
from sideshake.photo.part_scale import pivot_scale, wheel_scale
from sideshake.photo.scale import ByCard, ByPoints
from sideshake.photo.wheel_in import pivot_in, wheel_in
from tests.photo.hostile import LINES
from tests.photo.rendered import PLATE, Camera, Card, Scene, codes, photographed, where_px

BY_CARD = ByCard(printed=LINES)
TEETH, TIP_MM, ROOT_MM, PIVOT_MM = 31, 3.9, 3.3, 0.8
SCENE = Scene(um_a_pixel=30.0, wide_px=720, high_px=720, card_deg=20.0, distance_mm=80.0)
FINE = 2


def taken(scene, metal):
    """Return a photograph of metal in the window of the card; all of it sampled finely."""
    camera, card = Camera(scene), Card(scene)
    size = (scene.high_px * FINE, scene.wide_px * FINE)
    y, x = (np.indices(size, dtype=float) + 0.5) / FINE - 0.5
    across, up = camera.on_plane(x, y, 0.0)
    light = card.over(np.where(metal(across, up), 0.05, 0.7), across, up)
    for number, place in enumerate(zip(*card.dots_in_world(), strict=True)):
        left, top = (int(FINE * each) for each in camera.seen(*place, 0.0))
        reach = int(1.3 * FINE * card.radius[number] * 1000 / scene.um_a_pixel) + 3
        box = np.s_[max(top - reach, 0) : top + reach, max(left - reach, 0) : left + reach]
        own_x, own_y = card.own(across[box], up[box])
        near = np.hypot(own_x - card.x[number], own_y - card.y[number]) < card.radius[number]
        light[box][near] = 0.04
    light = light.reshape(scene.high_px, FINE, scene.wide_px, FINE).mean((1, 3))
    light = gaussian_filter(light, 0.8)
    light += np.random.default_rng(4).normal(0, 0.004, light.shape)
    return photographed(light)


def toothed(x, y):
    turn = np.arctan2(y, x) * TEETH / (2 * np.pi)
    tooth = tooth_form("involute", turn - np.round(turn))
    return np.hypot(x, y) < ROOT_MM + (TIP_MM - ROOT_MM) * tooth


@pytest.fixture(scope="module", params=[0.0, 6.0])
def wheel_seen(request):
    scene = replace(SCENE, tilt_deg=request.param, tilt_towards_deg=40.0, bending=0.02)
    photo = taken(scene, toothed)
    middle = ((scene.wide_px - 1) / 2 + 8, (scene.high_px - 1) / 2)
    return photo, wheel_in(photo, middle)


def test_a_wheel_is_as_wide_as_drawn_within_half_a_percent(wheel_seen):
    photo, found = wheel_seen
    sized = replace(found, mm_per_px=wheel_scale(photo, found, BY_CARD))
    assert sized.teeth == TEETH
    assert sized.tip_mm.value == pytest.approx(2 * TIP_MM, rel=0.005)
    assert sized.tip_mm.holds(2 * TIP_MM)
    assert sized.tip_mm.expanded < 0.02 * sized.tip_mm.value


def test_a_rule_in_place_of_the_card_has_the_larger_doubt(wheel_seen):
    photo, found = wheel_seen
    rule = ByPoints(first_px=(200.0, 360.0), second_px=(500.0, 360.0),
                    length_mm=Measured(300 * 0.030, 0.01))  # fmt: skip
    by_card, by_rule = (wheel_scale(photo, found, scale) for scale in (BY_CARD, rule))
    assert by_rule.u > 3 * by_card.u
    assert by_rule.holds(by_card.value)


def test_a_card_seen_too_far_askew_gives_no_scale(wheel_seen):
    _, found = wheel_seen
    askew = taken(replace(SCENE, tilt_deg=14.0), toothed)
    with pytest.raises(NotEnough, match="14° askew at the card, 10° is the most"):
        wheel_scale(askew, found, BY_CARD)


def test_a_wheel_within_the_card_is_measured_over_its_tips_to_half_a_percent():
    """A wheel of 240 pixels of 17.5 µm in the card's window of 10 mm, all of it 4 degrees askew."""
    scene = Scene(
        um_a_pixel=17.5, wide_px=1150, high_px=1150, long_mm=0.3, short_mm=0.3, tilt_deg=4.0,
        tilt_towards_deg=30.0,
    )  # fmt: skip
    middle = where_px(scene)
    drawn = Drawn(
        teeth=31, tip=120.0, centre=middle, size=(1150, 1150), lost={3: 0.0, 4: 0.0},
        tilt_deg=4.0, tilt_axis=math.radians(120),
    )  # fmt: skip
    light = linear(codes(scene) / 255)
    y, x = np.mgrid[:1150, :1150]
    light = np.where(np.hypot(x - middle[0], y - middle[1]) < 14, PLATE, light)  # no hole there
    share = gaussian_filter(covered(drawn), 0.9)
    photo = photographed(light * (1 - share) + 0.03 * share)
    found = wheel_in(photo, middle)
    across = scaled(found.tip_px, wheel_scale(photo, found, BY_CARD))
    assert found.teeth == 31
    assert across.holds(4.2)
    assert across.expanded < 0.005 * across.value


@pytest.mark.parametrize("tilt_deg", [0.0, 6.0])
def test_a_pivot_is_as_thick_as_drawn(tilt_deg):
    lies = math.radians(25.0)
    scene = replace(SCENE, tilt_deg=tilt_deg, tilt_towards_deg=70.0)

    def metal(x, y):
        off = -x * math.sin(lies) + y * math.cos(lies)
        along = x * math.cos(lies) + y * math.sin(lies)
        return (np.abs(off) < PIVOT_MM / 2) & (np.abs(along) < 4.2)

    photo = taken(scene, metal)
    found = pivot_in(photo, ((scene.wide_px - 1) / 2, (scene.high_px - 1) / 2))
    sized = replace(found, mm_per_px=pivot_scale(photo, found, BY_CARD))
    assert sized.diameter_mm.value == pytest.approx(PIVOT_MM, rel=0.006)
    assert sized.diameter_mm.holds(PIVOT_MM)
