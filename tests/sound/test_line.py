"""Sources: exact cases worked by hand; published: tests/outside/test_nist_line.py."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sideshake.sound.line import bisquare, fit_line, robust_sigma


def beats(count, *, start=(0.0, 0.0), beat=0.2):
    index = np.arange(count, dtype=np.float64)
    side = (np.arange(count) % 2).astype(np.int8)
    return index, side, np.array(start)[side] + beat * index


def test_an_exact_line_is_found_exactly():
    index, side, value = beats(20, start=(3.0, 3.01), beat=0.125)
    line = fit_line(index, side, value)
    assert line.beat == pytest.approx(0.125, abs=1e-13)
    assert line.start == pytest.approx([3.0, 3.01], abs=1e-12)
    assert line.sigma < 1e-12


def test_four_beats_by_hand():
    """Rests +1, -1, -1, +1 on one side are square to any line, so 10 + 2 x stays the answer."""
    index, side = np.array([0.0, 2.0, 4.0, 6.0]), np.zeros(4, np.int8)
    line = fit_line(index, side, 10 + 2 * index + np.array([1.0, -1.0, -1.0, 1.0]))
    assert (line.start[0], line.beat) == (pytest.approx(10), pytest.approx(2))
    assert line.sigma == pytest.approx(1.4826)


def test_a_side_that_is_not_there_has_no_start():
    index = np.arange(0, 20, 2, dtype=np.float64)
    line = fit_line(index, np.zeros(10, np.int8), 5 + 0.3 * index)
    assert np.isnan(line.start[1])
    assert (line.start[0], line.beat) == (pytest.approx(5), pytest.approx(0.3))


def test_beat_error_does_not_bend_the_beat():
    """80 ms of difference between the sides leaves the beat where it is."""
    index, side, value = beats(41, start=(0.0, 0.08))
    line = fit_line(index, side, value)
    assert line.beat == pytest.approx(0.2, abs=1e-12)
    assert line.start[1] - line.start[0] == pytest.approx(0.08, abs=1e-12)


def test_a_quarter_of_wild_beats_is_shed():
    """25 % outliers of 5 to 40 ms against 10 us: the clean beats' own least squares comes out."""
    random = np.random.default_rng(7)
    index, side, value = beats(400)
    value = value + random.normal(0, 10e-6, 400)
    wild = random.random(400) < 0.25
    value[wild] += random.uniform(5e-3, 40e-3, int(wild.sum()))
    line = fit_line(index, side, value)
    columns = np.stack([index, side == 0, side == 1], axis=1)[~wild].astype(float)
    clean, *_ = np.linalg.lstsq(columns, value[~wild], rcond=None)
    u = 10e-6 * np.sqrt(12 / 300) / 400
    assert line.beat == pytest.approx(clean[0], abs=u)  # 5 % less efficient: 0.23 u is usual
    assert np.all(line.weight[wild] < 1e-6)
    # the median of all is the clean beats' 2/3 quantile: 0.967 sigma, not 0.674
    assert line.sigma == pytest.approx(10e-6 * 0.967 / 0.674, rel=0.15)


def test_the_scatter_of_the_slope_is_that_of_least_squares_over_95_percent():
    """Holland & Welsch (1977): the bisquare at 4.685 sigma has 95 % efficiency."""
    random = np.random.default_rng(8)
    index, side, value = beats(200, beat=0.0)
    slopes = [fit_line(index, side, value + random.normal(0, 1, 200)).beat for _ in range(400)]
    theory = np.sqrt(12 / 200) / 200 / np.sqrt(0.95)
    assert np.std(slopes) == pytest.approx(theory, rel=0.12)  # 400 draws: 3.5 %, three times that


@settings(max_examples=25, derandomize=True, deadline=None)
@given(st.floats(-1e3, 1e3), st.floats(0.05, 1.0), st.floats(1e-3, 1e3))
def test_shift_slope_and_scale_carry_through(shift, slope, scale):
    random = np.random.default_rng(9)
    index, side, _ = beats(60)
    value = random.standard_t(3, 60)
    before = fit_line(index, side, value)
    after = fit_line(index, side, scale * value + shift + slope * index)
    room = 1e-9 * (scale + abs(shift) + 60 * slope)
    assert after.beat == pytest.approx(scale * before.beat + slope, abs=room)
    assert after.start == pytest.approx(scale * before.start + shift, abs=60 * room)


def test_robust_sigma_by_hand():
    assert robust_sigma(np.array([-3.0, 0.0, 1.0, 2.0, -100.0])) == pytest.approx(2 * 1.4826)


def test_bisquare_by_hand():
    """At half the cut-off (1 - 1/4)^2 = 9/16; nothing beyond it."""
    weights = bisquare(np.array([0.0, 4.685 / 2, 4.685, 50.0]), 1.0)
    assert weights == pytest.approx([1, 9 / 16, 0, 0], abs=1e-8)
