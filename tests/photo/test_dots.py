"""The card found in rendered photographs, and not found where there is none."""

from dataclasses import replace

import numpy as np
import pytest

from sideshake.core.errors import NotEnough
from sideshake.photo.card import ScaleCardSize, dots
from sideshake.photo.dots import find_card
from tests.photo.rendered import Camera, Card, Scene, picture_of

PLAIN = Scene(um_a_pixel=26.0, wide_px=900, high_px=860, grain=0.0)
WIDE = {ScaleCardSize.SMALL: 1.0, ScaleCardSize.MIDDLE: 2.4, ScaleCardSize.LARGE: 5.0}


@pytest.mark.parametrize(
    ("size", "turn", "tilt"),
    [(ScaleCardSize.SMALL, 200, 6), (ScaleCardSize.MIDDLE, 75, 0), (ScaleCardSize.LARGE, 310, 3)],
)
def test_every_size_is_found_however_it_lies(size, turn, tilt):
    scene = replace(
        PLAIN, card=size, card_deg=turn, tilt_deg=tilt, um_a_pixel=26.0 * WIDE[size],
        distance_mm=80.0 * WIDE[size], long_mm=1.5 * WIDE[size], short_mm=1.5 * WIDE[size],
    )  # fmt: skip
    seen = find_card(picture_of(scene))
    camera, card = Camera(scene), Card(scene)
    true = np.array([camera.seen(x, y, 0.0) for x, y in zip(*card.dots_in_world(), strict=True)])
    assert seen.size is size
    assert len(seen.which) == len(dots(size))
    assert np.abs(seen.middles - true[seen.which]).max() < 0.12


def test_a_mirrored_card_is_refused():
    with pytest.raises(NotEnough, match="mirrored"):
        find_card(picture_of(replace(PLAIN, mirrored=True)))


def test_where_there_is_no_card_none_is_found():
    with pytest.raises(NotEnough, match="no card"):
        find_card(picture_of(replace(PLAIN, card=None)))


def test_a_card_that_is_half_outside_is_not_found():
    with pytest.raises(NotEnough, match="no card"):
        find_card(picture_of(replace(PLAIN, card_mm=(9.0, 0.0))))
