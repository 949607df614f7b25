"""The picture of slow sound: every beat enlarged, every mark at its time."""

import xml.etree.ElementTree as ET

import pytest
from heard_watches import heard

from sideshake.drawings.slow_sound import MOST_ENLARGED, scene_of, slow_drawing
from sideshake.drawings.svg import svg_text
from sideshake.sound.simulate import SimulatedWatch
from sideshake.sound.slow import loudness
from sideshake.timing.noises import Beat, beats_of


@pytest.fixture(scope="module")
def usual():
    return heard(SimulatedWatch(beat_error_ms=0.6), 3)


def drawn(sound, beats, start_s=2.0, end_s=4.0):
    part = sound.samples[round(start_s * 48000) : round(end_s * 48000)]
    scene = scene_of(loudness(part, 48000), beats, start_s=start_s, end_s=end_s)
    return scene, svg_text(slow_drawing(scene))


def test_each_beat_of_the_stretch_is_enlarged_with_its_noises_named(usual):
    sound, reading = usual
    scene, svg = drawn(sound, beats_of(reading, start_s=0.0))
    ET.fromstring(svg)
    assert len(scene.beats) == 10
    for words in (">unlocking<", ">impulse<", ">drop<"):
        assert svg.count(words) == 10


def test_a_mark_stands_where_its_time_stands_in_the_pane(usual):
    sound, reading = usual
    scene, _ = drawn(sound, beats_of(reading, start_s=0.0))
    strip, first = scene.panes[0], scene.panes[1]
    assert (strip.x(2.0), strip.x(4.0)) == (strip.left, strip.right)
    assert (
        first.left < first.x(scene.beats[0].unlock_s) < first.x(scene.beats[0].drop_s) < first.right
    )


def test_a_stretch_without_beats_is_drawn_without_marks(usual):
    sound, _ = usual
    scene, svg = drawn(sound, ())
    assert len(scene.panes) == 1
    assert "no noise is marked" in svg


def test_of_many_beats_the_first_are_enlarged_and_that_is_said(usual):
    sound, _ = usual
    many = tuple(Beat(at_s=2.05 + 0.1 * k, side=k % 2) for k in range(19))
    scene, svg = drawn(sound, many)
    assert len(scene.panes) == 1 + MOST_ENLARGED
    assert "the first 12 of 19 beats, enlarged" in svg


def test_nothing_stands_beyond_the_sheet(usual):
    sound, reading = usual
    _, svg = drawn(sound, beats_of(reading, start_s=0.0))
    root = ET.fromstring(svg)
    width, height = (float(each) for each in root.get("viewBox").split()[2:])
    for line in root.iter("{http://www.w3.org/2000/svg}polyline"):
        for pair in line.get("points").split():
            x, y = (float(each) for each in pair.split(","))
            assert 0 <= x <= width
            assert 0 <= y <= height
