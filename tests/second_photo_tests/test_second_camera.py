"""The second camera against geometry and optics worked by hand."""

import numpy as np
import pytest
from scipy import ndimage
from second_photo import Camera, Hole, Lamp, Plate, Sensor, shoot

from sideshake.photo.card import ScaleCardSize
from sideshake.photo.light import photograph

QUIET = {"electrons": 1e7, "read_noise": 0.0, "flare": 0.0, "exposure": 1.0}


def shot(plate=None, camera=None, **sensor):
    return shoot(
        plate or Plate(card=None, brushed=0.0),
        camera or Camera(wide=160, high=160, falls_off=False),
        Sensor(**QUIET | sensor),
    )


def dark_area_px(light, metal=0.45, depth=0.015):
    return float(((metal - light) / (metal - depth)).sum())


def test_a_hole_covers_the_area_of_its_ellipse():
    hole = Hole(long_mm=1.1, short_mm=0.9, direction_deg=35)
    seen = shot(Plate(hole=hole, card=None, brushed=0.0))
    assert dark_area_px(seen.light) * 0.012**2 == pytest.approx(np.pi * 1.1 * 0.9 / 4, rel=2e-3)


def test_the_long_axis_lies_where_the_truth_says():
    seen = shot(Plate(hole=Hole(long_mm=1.2, short_mm=0.8, direction_deg=35), card=None))
    dark = np.clip(0.45 - seen.light, 0.2, None) - 0.2
    y, x = np.mgrid[:160, :160] - 79.5
    cross = (dark * x * -y).sum()
    lean = 0.5 * np.arctan2(2 * cross, (dark * (x**2 - y**2)).sum())
    assert np.degrees(lean) == pytest.approx(seen.truth.direction_deg, abs=0.5)


def test_light_from_behind_leaves_the_lens_between_both_rims():
    """Two circles of radius r whose middles are d apart: 2 r² acos(d/2r) − d/2 √(4r² − d²)."""
    camera = Camera(wide=120, high=120, tilt_deg=4.0, falls_off=False, distance_mm=4000.0)
    plate = Plate(lamp=Lamp(behind=True), card=None, thick_mm=1.0)
    light = shot(plate, camera, exposure=0.8).light / 0.8
    r, d = 0.5, np.tan(np.radians(4.0))
    lens = 2 * r**2 * np.arccos(d / (2 * r)) - d / 2 * np.sqrt(4 * r**2 - d**2)
    seen_mm2 = (light > 0.5).sum() * 0.012**2 / np.cos(np.radians(4.0))
    assert seen_mm2 == pytest.approx(lens, rel=0.01)
    assert seen_mm2 < 0.95 * np.pi * r**2


def test_the_middle_of_each_dot_is_where_the_truth_says():
    camera = Camera(wide=460, high=460, um_a_pixel=48.0, tilt_deg=3.0, barrel=-0.02)
    plate = Plate(card=ScaleCardSize.SMALL, card_turn_deg=17.0, above_mm=0.3, brushed=0.0)
    seen = shot(plate, camera)
    for x, y in seen.truth.dots_px[::5]:
        top, left = round(y) - 10, round(x) - 10
        dark = np.clip(0.6 - seen.light[top : top + 21, left : left + 21], 0, None)
        row, column = ndimage.center_of_mass(dark)
        assert (left + column, top + row) == pytest.approx((x, y), abs=0.06)


def test_light_falls_off_by_the_fourth_power_of_the_cosine():
    camera = Camera(wide=101, high=101, um_a_pixel=400.0, distance_mm=40.0)
    seen = shot(Plate(hole=Hole(long_mm=0.1, short_mm=0.1), card=None, brushed=0.0), camera)
    angle = np.arctan(50 * 0.4 / 40.0)
    assert seen.light[50, 100] / seen.light[50, 55] == pytest.approx(
        np.cos(angle) ** 4 / np.cos(np.arctan(5 * 0.4 / 40)) ** 4, rel=0.01
    )


def test_defocus_spreads_an_edge_by_half_the_disc_s_radius():
    """The line spread of an even disc of radius r has the standard deviation r / 2."""

    def spread(radius):
        light = shot(camera=Camera(wide=160, high=160, falls_off=False), defocus_px=radius).light
        slope = np.abs(np.diff(light[79:81, 80:].mean(axis=0)))
        place = np.arange(len(slope))
        middle = (slope * place).sum() / slope.sum()
        near = np.abs(place - middle) < 12
        return (slope * (place - middle) ** 2)[near].sum() / slope[near].sum()

    assert spread(6.0) - spread(0.0) == pytest.approx(9.0, rel=0.12)


def test_the_chamfer_shines_across_from_the_lamp_and_nowhere_without_one():
    plate = Plate(hole=Hole(chamfer_mm=0.12), card=None, brushed=0.0, lamp=Lamp(azimuth_deg=90))
    light = shot(plate, defocus_px=0.0).light
    ring = round(0.55 / 0.012)
    assert light[79 + ring, 79] > 0.6
    assert light[80 - ring, 79] < 0.2
    plain = shot(defocus_px=0.0).light
    assert plain.max() < 0.5


def test_barrel_distortion_is_its_share_at_the_corner():
    bent, straight = (Camera(barrel=share) for share in (-0.02, 0.0))
    corner = [[-4.2, 4.2, 0.0]]
    ratio = (bent.seen(corner) - 349.5) / (straight.seen(corner) - 349.5)
    assert ratio[0] == pytest.approx([0.98, 0.98], abs=1e-3)
    start, ways, _ = bent.rays(*bent.seen(corner)[0])
    assert (start + ways * (-start[2] / ways[2]))[:2] == pytest.approx([-4.2, 4.2], abs=1e-6)


@pytest.mark.parametrize("jpeg", [None, 95])
def test_the_file_holds_the_light(jpeg):
    seen = shot(jpeg=jpeg)
    again = photograph(seen.file).small().light
    assert np.abs(again - seen.light).mean() < 0.005
    linear = shot(camera_curve=False)
    assert np.abs(photograph(linear.file).small().light - linear.light).mean() > 0.1


def test_the_same_seed_gives_the_same_file_and_another_does_not():
    assert shot(electrons=5000).file == shot(electrons=5000).file
    assert shot(electrons=5000, seed=8).file != shot(electrons=5000).file
