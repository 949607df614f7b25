from dataclasses import replace

import numpy as np
import pytest

from sideshake.pictures.lateness import (
    MOST_POINTS,
    course_of,
    even_beat_u_s,
    lateness_chart,
    rate_words,
    running_median,
    scatter_words,
    slope_u,
    thinned,
    time_scale,
)
from sideshake.pictures.page import svg_text


@pytest.fixture(scope="module")
def svg(reading):
    return svg_text(lateness_chart(reading))


def noise(count, sigma_s=20e-6):
    return np.random.default_rng(7).normal(0, sigma_s, count)


def symbols(svg):
    """Return the outlines of the symbols drawn for beats: circles hold arcs, diamonds do not."""
    group = svg.split('class="mark-symbol')[1].split("</g>")[0]
    return [part.split('"')[0] for part in group.split(' d="')[1:]]


def test_the_picture_says_the_figures_of_the_reading(reading, svg, words):
    said = words(svg)
    for figure in (
        reading.rate_s_per_day.text(sign=True),
        reading.rate_alone_s_per_day.text(sign=True),
        reading.beat_error_ms.text(),
        reading.amplitude_deg.text(),
        scatter_words(reading.scatter_ms),
    ):
        assert figure in said


def test_tick_and_tock_are_two_shapes(reading, svg):
    round_ones = sum("A" in outline for outline in symbols(svg))
    sides = np.bincount(reading.heard.beats.side)
    assert (round_ones, len(symbols(svg)) - round_ones) == tuple(sides)


def test_the_same_reading_gives_the_same_picture(reading, svg):
    assert svg_text(lateness_chart(reading)) == svg


def test_the_band_is_the_textbooks_for_independent_scatter(hand_made):
    """Draper & Smith, par. 1.4 (from memory): s^2 (1/n + (t - m)^2 / Sxx); within the 15 % by
    which an estimated order and degrees of freedom may move the slope's uncertainty."""
    late_s = noise(400)
    reading = hand_made(late_s)
    t, at = reading.lateness_at_s, np.array([0.0, 40.0, 80.0])
    sxx = np.sum((t - t.mean()) ** 2)
    textbook = 2 * late_s.std(ddof=2) * np.sqrt(1 / t.size + (at - t.mean()) ** 2 / sxx)
    assert even_beat_u_s(reading, at) == pytest.approx(textbook, rel=0.15)


def test_the_slope_is_as_well_known_without_a_rate_as_with_one(hand_made):
    reading = hand_made(noise(200))
    unnamed = replace(reading, rate_s_per_day=None, rate_alone_s_per_day=None)
    assert slope_u(unnamed) == pytest.approx(slope_u(reading), rel=1e-3)


def test_a_beat_of_unknown_nominal_is_said_itself(hand_made):
    reading = hand_made(noise(200), beat_s=0.23)
    assert "one beat is 230.0" in rate_words(reading)
    assert "±" in rate_words(reading)


def test_a_bad_wheel_waves_in_the_median(hand_made):
    at = 0.05 + 0.2 * np.arange(300)
    reading = hand_made(noise(300) + 300e-6 * np.sin(2 * np.pi * at / 6))
    course = course_of(reading)
    when, late, _, _ = running_median(course, 0)
    wave = 2 * np.mean(late * np.sin(2 * np.pi * when / 6))
    assert wave == pytest.approx(300, abs=45)  # µs; smoothing over 1.6 s of 6 s costs a tenth


def test_an_outlier_stays_and_is_marked(hand_made, words):
    late_s = noise(100)
    late_s[40] += 5e-3
    reading = hand_made(late_s)
    course = course_of(reading)
    assert course.far[40]
    assert course.half < 500  # µs: the outlier does not squeeze the others
    said = words(svg_text(lateness_chart(reading)))
    assert "1 ringed" in said
    assert "1 of them beyond the frame" in said


def test_many_beats_are_thinned_and_the_picture_says_so(hand_made, words):
    late_s = noise(6000)
    late_s[[1234, 4321]] += 4e-3
    reading = hand_made(late_s)
    course = course_of(reading)
    drawn = thinned(course)
    assert {1234, 4321} <= set(drawn)
    assert drawn.size <= MOST_POINTS + course.far.sum() + 2
    assert f"{drawn.size} of 6000 beats are drawn" in words(svg_text(lateness_chart(reading)))


def test_thinning_falls_in_step_with_no_wheel(hand_made):
    """Every beat of a wheel's turn is drawn, none much too rarely, whatever the turn's length."""
    drawn = thinned(course_of(hand_made(noise(12000))))
    for turn in range(5, 61):
        seen = np.bincount(drawn % turn, minlength=turn)
        assert seen.min() > 0.25 * drawn.size / turn, turn


def test_each_side_is_thinned_for_itself_however_few_it_has(hand_made):
    course = course_of(hand_made(noise(6000)))
    side = np.zeros(6000, np.int8)
    side[::20] = 1
    drawn = thinned(replace(course, side=side, far=np.zeros(6000, bool)))
    assert np.bincount(side[drawn]) == pytest.approx([1140, 60], abs=1)


def test_few_beats_are_all_drawn(reading):
    assert thinned(course_of(reading)).size == reading.lateness_s.size


def test_without_an_amplitude_there_is_no_panel_of_it_but_the_reason(hand_made):
    reading = hand_made(noise(100))
    assert reading.amplitude_deg is None
    chart = lateness_chart(reading).to_dict()
    assert len(chart["vconcat"]) == 1
    assert any("no amplitude" in line for line in chart["title"]["subtitle"])


def test_a_watch_without_scatter_can_be_drawn(hand_made):
    assert course_of(hand_made(np.zeros(50))).half == pytest.approx(5.0)  # µs


@pytest.mark.parametrize(("scale", "unit"), [(20e-6, "µs"), (2e-3, "ms")])
def test_the_unit_follows_the_size(hand_made, scale, unit):
    assert course_of(hand_made(noise(100, scale))).late_unit == unit


@pytest.mark.parametrize(
    ("duration_s", "unit"), [(30, "seconds"), (600, "minutes"), (36000, "hours")]
)
def test_the_unit_of_time_follows_the_length(duration_s, unit):
    assert time_scale(duration_s)[0] == unit
