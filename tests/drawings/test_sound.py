"""Which pictures a reading has, and what says why another is missing."""

from dataclasses import replace

import numpy as np
import pytest

from sideshake.core.errors import InputError
from sideshake.drawings.amplitude import amplitude_drawing
from sideshake.drawings.shapes import Fill, Named, Polyline
from sideshake.drawings.sound import sound_pictures
from sideshake.timing.amplitude_course import AmplitudeCourse

RING, STRIP = "Lateness, one turn of the escape wheel", "Lateness along time"


def noise(count):
    return np.random.default_rng(7).normal(0, 20e-6, count)


def test_with_teeth_there_is_a_ring_and_the_strip_on_demand(hand_made):
    drawn = sound_pictures(hand_made(noise(200)), 15)
    assert RING in drawn.lateness
    assert STRIP in drawn.unrolled
    assert not drawn.long


def test_without_teeth_there_is_a_strip_and_none_are_assumed(hand_made):
    drawn = sound_pictures(hand_made(noise(200)), None)
    assert STRIP in drawn.lateness
    assert "With the teeth of the escape wheel" in drawn.lateness
    assert drawn.unrolled == ""


def test_too_short_for_a_ring_is_a_strip_that_says_why(hand_made):
    drawn = sound_pictures(hand_made(noise(90)), 15)
    assert STRIP in drawn.lateness
    assert "No ring: 4 turns of" in drawn.lateness


def test_a_wheel_that_cannot_be_is_refused(hand_made):
    with pytest.raises(InputError):
        sound_pictures(hand_made(noise(200)), 3)


def test_a_long_recording_is_unrolled_unasked(hand_made):
    assert sound_pictures(hand_made(noise(1600)), 15).long
    assert not sound_pictures(hand_made(noise(1400)), 15).long


def test_without_an_amplitude_there_is_neither_its_course_nor_a_portrait(hand_made):
    drawn = sound_pictures(hand_made(noise(200)), 15)
    assert (drawn.amplitude, drawn.portrait) == ("", "")
    assert drawn.no_portrait == "too few beats for a portrait"


def test_the_course_of_the_amplitude_is_drawn_where_it_was_heard(reading):
    assert sound_pictures(reading, 15).amplitude == ""  # 12 s are one value
    longer = replace(
        reading, amplitudes_deg=np.array([250.0, 251, 252, 251]),
        amplitudes_at_s=np.array([1.0, 4, 7, 10]),
    )  # fmt: skip
    assert "Amplitude along time" in sound_pictures(longer, 15).amplitude


COURSE = AmplitudeCourse(
    at_s=np.array([5.0, 15, 25, 95, 105]), deg=np.array([250.0, 252, 251, 240, 242]),
    half_deg=3.0, common_deg=9.0,
)  # fmt: skip


def test_the_amplitudes_band_is_as_wide_as_it_says_and_broken_where_nothing_was_heard():
    drawing = amplitude_drawing(COURSE, end_s=110)
    bands = [each for each in drawing.shapes if isinstance(each, Polyline)]
    assert [each.fill for each in bands] == [Fill.BRASS] * 2
    dots = [each for each in drawing.shapes if isinstance(each, Named)]
    ys = [each.shapes[0].centre[1] for each in dots]
    per_deg = (ys[1] - ys[0]) / 2
    (_, above), (_, under) = bands[0].points[0], bands[0].points[-1]
    assert above - under == pytest.approx(2 * 3.0 * per_deg)
    assert "at 95 s: 240.0 ± 3.0°" in dots[3].words
    assert "± 3.0°" in drawing.description
    assert "by 9°" in drawing.description
