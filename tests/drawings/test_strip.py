from dataclasses import replace

import numpy as np
import pytest

from sideshake.drawings.shapes import Circle, DrawnLine, Named
from sideshake.drawings.strip import (
    MOST_STEMS,
    even_beat_u_s,
    slope_u,
    stems_of,
    stretch,
    strip_drawing,
    time_scale,
)
from sideshake.drawings.svg import svg_text
from sideshake.timing.middle import unseen_u


def noise(count, sigma_s=20e-6):
    return np.random.default_rng(7).normal(0, sigma_s, count)


def stems_drawn(drawing):
    return [shape for shape in drawing.shapes if isinstance(shape, Named)]


def heights(drawing):
    """Return how high each stem reaches over its foot, mm."""
    lines = [each.shapes[0] for each in stems_drawn(drawing)]
    return np.array([line.end[1] - line.start[1] for line in lines])


def test_a_stem_for_each_beat_as_high_as_it_is_late(reading):
    drawn = heights(strip_drawing(reading))
    late_s = reading.lateness_s
    assert drawn.size == late_s.size
    scale = drawn @ late_s / (late_s @ late_s)
    assert scale > 0
    assert drawn == pytest.approx(scale * late_s, abs=1e-6)


def test_tick_and_tock_differ_by_more_than_colour(reading):
    roles = {
        word: {each.shapes[0].role for each in stems_drawn(strip_drawing(reading))
               if each.words.startswith(word)}
        for word in ("tick", "tock")
    }  # fmt: skip
    assert roles["tick"].isdisjoint(roles["tock"])
    assert all(len(each) == 1 for each in roles.values())


def test_there_are_no_dots_of_beats(reading):
    assert not [part for each in stems_drawn(strip_drawing(reading)) for part in each.shapes[1:]]


def test_the_same_reading_gives_the_same_picture(reading):
    assert svg_text(strip_drawing(reading)) == svg_text(strip_drawing(reading))


def test_the_band_is_the_textbooks_for_independent_scatter(hand_made):
    """Draper & Smith, par. 1.4 (from memory): s^2 (1/n + (t - m)^2 / Sxx); within the 15 % by
    which an estimated order and degrees of freedom may move the slope's uncertainty. No noise is
    placed here, so the slope is also open by what the amplitude may have drifted (unseen_u)."""
    late_s = noise(400)
    reading = hand_made(late_s)
    t, at = reading.lateness_at_s, np.array([0.0, 40.0, 80.0])
    sxx = np.sum((t - t.mean()) ** 2)
    slope2 = late_s.var(ddof=2) / sxx + unseen_u(reading.heard.beats, 0.2, placed=False) ** 2
    textbook = 2 * np.sqrt(slope2 * (sxx / t.size + (at - t.mean()) ** 2))
    assert even_beat_u_s(reading, at) == pytest.approx(textbook, rel=0.15)


def test_the_slope_is_as_well_known_without_a_rate_as_with_one(hand_made):
    reading = hand_made(noise(200))
    unnamed = replace(reading, rate_s_per_day=None, rate_alone_s_per_day=None)
    assert slope_u(unnamed) == pytest.approx(slope_u(reading), rel=1e-3)


def test_a_beat_too_far_off_has_a_ring_at_the_edge(hand_made):
    late_s = noise(100)
    late_s[40] += 5e-3
    reading = hand_made(late_s)
    assert stems_of(reading).half_s < 5e-4  # the outlier does not squeeze the others
    drawing = strip_drawing(reading)
    ringed = [k for k, each in enumerate(stems_drawn(drawing)) if len(each.shapes) > 1]
    assert ringed == [40]
    assert isinstance(stems_drawn(drawing)[40].shapes[1], Circle)
    assert heights(drawing)[40] == pytest.approx(heights(drawing).max())
    assert "1 with a ring" in drawing.description


def test_without_outliers_nothing_is_said_of_them(reading):
    assert "ring" not in strip_drawing(reading).description


@pytest.mark.parametrize("teeth", [None, 15])
def test_many_beats_make_a_few_medians_that_keep_the_course(hand_made, teeth):
    at = np.arange(6000)
    course_s = 2e-4 * np.sin(at / 900)
    reading = hand_made(noise(6000) + course_s)
    stems = stems_of(reading, teeth)
    assert 60 <= stems.side.size <= MOST_STEMS + 2
    drift = np.interp(stems.at_s, 0.05 + 0.2 * at, reading.lateness_s - noise(6000))
    assert stems.late_s == pytest.approx(drift, abs=40e-6)
    assert f"median of {stems.each} beats" in strip_drawing(reading, teeth).description


def test_what_comes_back_each_turn_is_not_unrolled_over_a_long_time(hand_made):
    """A stem of whole turns holds every tooth as often: one late tooth makes no wave."""
    late_s = np.zeros(9000)
    late_s[np.arange(9000) % 30 == 13] = 2e-4
    stems = stems_of(hand_made(late_s), 15)
    assert stems.each % 15 == 0
    whole = stems.late_s[2:-2]
    assert np.ptp(whole[stems.side[2:-2] == 1]) < 1e-6


@pytest.mark.parametrize(("beats", "size"), [(160, 1), (161, 4), (18000, 240), (5000, 90)])
def test_a_stretch_is_a_whole_number_of_turns_when_turns_are_many(beats, size):
    assert stretch(beats, 15) in (size, 2 * -(-beats // MOST_STEMS))


def test_a_watch_without_scatter_can_be_drawn(hand_made):
    drawing = strip_drawing(hand_made(np.zeros(50)))
    assert np.abs(heights(drawing)).max() < 0.01


@pytest.mark.parametrize(("duration_s", "unit"), [(30, "s"), (600, "min"), (36000, "h")])
def test_the_unit_of_time_follows_the_length(duration_s, unit):
    assert time_scale(duration_s)[0] == unit


def test_every_line_lies_on_the_sheet(reading):
    drawing = strip_drawing(reading)
    lines = [part for each in stems_drawn(drawing) for part in each.shapes]
    lines += [shape for shape in drawing.shapes if isinstance(shape, DrawnLine)]
    for line in lines:
        for x, y in (line.start, line.end):
            assert 0 <= x <= drawing.width
            assert 0 <= y <= drawing.height
