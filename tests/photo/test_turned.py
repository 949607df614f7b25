"""Photographs with the part turned between: wear and camera told apart."""

from dataclasses import replace

import numpy as np
import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.photo.hole import HoleOval, PhotoView, SeenSide, measure_hole
from sideshake.photo.scale import ByCard
from sideshake.photo.told import hole_sentence, notes_of, turned_sentences
from sideshake.photo.turned import combined
from tests.photo.hostile import LINES
from tests.photo.rendered import Scene, picture_of, where_px

SCENE = Scene(um_a_pixel=26.0, wide_px=880, high_px=860, long_mm=2.03, short_mm=2.0)
TURNS = (0.0, 60.0, 120.0)


@pytest.fixture(scope="module")
def one():
    return measure_hole(picture_of(SCENE), where_px(SCENE), ByCard(printed=LINES))


def turned(one, *, wear=0j, camera=0j, turns=TURNS, side=SeenSide.BRIDGE, u_mm=0.0003, seed=1):
    """Return holes as they would be seen, with planted wear and camera (pairs, mm of radius)."""
    random = np.random.default_rng(seed)
    holes = []
    for turn in turns:
        pair = wear * np.exp(2j * np.radians(turn)) + camera
        pair += complex(*random.normal(0, u_mm, 2))
        oval = HoleOval(p_mm=pair.real, q_mm=pair.imag, covariance=np.eye(2) * u_mm**2,
                    edge_u_mm=u_mm, chance=0.5)  # fmt: skip
        holes.append(replace(one, oval=oval, view=PhotoView(side=side, turned_deg=turn)))
    return holes


def pair(oval_mm, direction_deg):
    return oval_mm / 4 * np.exp(2j * np.radians(direction_deg))


def test_what_turns_is_wear_and_what_stays_is_the_camera(one):
    found = combined(turned(one, wear=pair(0.04, 70), camera=pair(0.02, 10)))
    assert found.wear.oval_mm.holds(0.04)
    assert found.wear.direction_deg.holds(70)
    assert found.camera.oval_mm.holds(0.02)
    assert found.camera.direction_deg.holds(10)
    assert not found.contradict
    told = turned_sentences(found)
    assert told[0].startswith("Turning with the part, so wear: oval by 0.0")
    assert told[1].startswith("Staying, so the camera's: 0.0")


def test_a_camera_s_oval_alone_is_not_called_wear(one):
    found = combined(turned(one, camera=pair(0.03, 45)))
    assert found.wear.direction_deg is None
    assert found.camera.direction_deg.holds(45)
    told = turned_sentences(found)
    assert told[0].startswith("Nothing turns with the part: worn oval by 0.00")
    assert "wear:" not in told[0]


def test_a_round_hole_under_a_good_camera_has_neither(one):
    found = combined(turned(one))
    assert found.wear.direction_deg is None
    assert turned_sentences(found)[1].startswith("Nothing stays")


def test_seen_from_the_plate_wear_is_told_as_from_the_bridge(one):
    seen = combined(turned(one, wear=pair(0.04, 70), side=SeenSide.PLATE))
    assert seen.wear.direction_deg.holds(110)


def test_intervals_of_wear_hold(one):
    draws = [combined(turned(one, wear=pair(0.02, 30), camera=pair(0.01, 80), seed=seed))
             for seed in range(200)]  # fmt: skip
    assert np.mean([each.wear.oval_mm.holds(0.02) for each in draws]) > 0.9
    assert np.mean([each.contradict for each in draws]) < 0.05


def test_a_turn_that_was_mistaken_is_a_contradiction(one):
    holes = turned(one, wear=pair(0.04, 70), turns=(0.0, 60.0, 120.0, 150.0))
    wrong = [*holes[:3], replace(holes[3], view=PhotoView(turned_deg=105.0))]
    found = combined(wrong)
    assert found.contradict
    assert "contradict" in turned_sentences(found)[0]


def test_too_few_too_alike_or_different_sides_are_refused(one):
    with pytest.raises(InputError, match="3 photographs"):
        combined(turned(one, turns=(0.0, 60.0)))
    with pytest.raises(InputError, match="half turn"):
        combined(turned(one, turns=(0.0, 180.0, 2.0)))
    mixed = turned(one)
    with pytest.raises(InputError, match="same side"):
        combined(
            [*mixed[:2], replace(mixed[2], view=PhotoView(side=SeenSide.PLATE, turned_deg=120))]
        )
    with pytest.raises(NotEnough, match="behind"):
        combined([replace(each, oval=None) for each in mixed])


def test_one_hole_is_told_in_a_sentence(one):
    assert hole_sentence(one).startswith("Oval by 0.03")
    assert "seen from the bridge" in hole_sentence(one)
    still = replace(one, oval=replace(one.oval, chance=0.6))
    assert hole_sentence(still).startswith("Round, as far as this photograph can tell: 2.01")
    behind = replace(one, oval=None, behind=True)
    assert hole_sentence(behind).startswith("The hole is 2.01")
    assert any("no oval" in note for note in notes_of(behind))
    assert not any("no oval" in note for note in notes_of(one))
    assert any("Without the card" in note for note in notes_of(replace(one, card=None)))
    assert not any("Without the card" in note for note in notes_of(one))
    burnt = replace(one, rim=replace(one.rim, burnt=0.5, cut_px=0.4))
    assert any("burnt out" in note for note in notes_of(burnt))
    assert not any("burnt out" in note for note in notes_of(one))
