"""Holes photographed by the second camera, which shares no code with what measures them."""

import numpy as np
import pytest
from second_photo import drawn_plate, shoot

from sideshake.core.quantities import Measured
from sideshake.photo.card import Print
from sideshake.photo.hole import PhotoView, measure_hole
from sideshake.photo.light import photograph
from sideshake.photo.scale import ByCard

EXACT = Measured(100.0, 0.01)


def measured(plate, camera, sensor):
    seen = shoot(plate, camera, sensor)
    card = ByCard(
        printed=Print(across_mm=EXACT, along_mm=EXACT), distance_mm=0.9 * camera.distance_mm
    )
    found = measure_hole(photograph(seen.file), seen.truth.middle_px, card, view=PhotoView())
    return found, seen.truth


@pytest.mark.parametrize("seed", [1, 5])
def test_a_hole_of_the_second_camera_is_measured_as_it_is(seed):
    found, truth = measured(*drawn_plate(np.random.default_rng(seed), um_a_pixel=20.0, rays=16))
    mean = 0.5 * (truth.long_mm + truth.short_mm)
    assert found.mean_mm.value == pytest.approx(mean, abs=0.008)
    assert found.mean_mm.holds(mean)
    assert found.long_mm.value - found.short_mm.value == pytest.approx(
        truth.long_mm - truth.short_mm, abs=0.006
    )
    if truth.long_mm - truth.short_mm > 0.03:
        off = (found.direction_deg.value - truth.direction_deg + 90) % 180 - 90
        assert abs(off) < 5
