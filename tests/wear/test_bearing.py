import math

import pytest
from bench_cases import bearing
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.bearing import (
    Bearing,
    Hole,
    displacement,
    least_shake,
    normal_play,
    ovality,
    probability_worn,
    repaired,
    side_shake,
)

plays = st.floats(0.001, 0.3)
angles = st.floats(0.0, 360.0)


def test_side_shake_is_hole_minus_pivot_with_both_doubts():
    shake = side_shake(bearing(0.05, u=0.003))
    assert shake.value == pytest.approx(0.05)
    assert shake.u == pytest.approx(0.003 * math.sqrt(2))


def test_an_oval_hole_shakes_along_and_across():
    oval = bearing(0.10, across=0.04)
    assert side_shake(oval).value == pytest.approx(0.10)
    assert least_shake(oval).value == pytest.approx(0.04)
    assert ovality(oval.hole).value == pytest.approx(0.06)


def test_a_round_hole_moves_half_its_play_in_every_direction():
    assert displacement(bearing(0.05), 77.0).value == pytest.approx(0.025)


@pytest.mark.parametrize(("load_deg", "moved"), [(30.0, 0.05), (120.0, 0.02), (210.0, 0.05)])
def test_an_oval_hole_moves_half_the_play_of_its_axes(load_deg, moved):
    oval = bearing(0.10, across=0.04, axis_deg=30.0)
    assert displacement(oval, load_deg).value == pytest.approx(moved)


@given(plays, angles)
def test_a_hole_with_equal_axes_is_a_round_hole(play, load_deg):
    oval = bearing(play, across=play, axis_deg=12.0)
    assert displacement(oval, load_deg).value == pytest.approx(play / 2)


@given(plays, plays, angles)
def test_an_oval_hole_lies_between_its_axes(one, other, load_deg):
    long, short = max(one, other), min(one, other)
    moved = displacement(bearing(long, across=short, axis_deg=40.0), load_deg).value
    assert short / 2 - 1e-12 <= moved <= long / 2 + 1e-12


def test_the_balance_pivot_s_normal_play_is_the_published_one():
    # Playtner 1910, and Hall, A Treatise on Staff Making and Pivoting: 0.010 mm in all
    normal = normal_play(bearing(0.01, pivot=0.10))
    assert normal.low_mm <= 0.010 <= normal.high_mm
    assert "memory" in normal.source


def test_the_sheet_s_play_wins_over_the_table():
    assert normal_play(bearing(0.03, normal=(0.02, 0.03))).source == "calibre sheet"


@pytest.mark.parametrize(
    ("play", "probability"), [(0.08, 0.5), (0.08 + 0.01, 0.8413), (0.06, 0.0228)]
)
def test_worn_is_a_probability_around_twice_the_normal(play, probability):
    # the normal distribution's 1 and 2 sigma points
    shaken = Bearing(
        hole=Hole(long_mm=Measured(1.0 + play, 0.010)),
        pivot_mm=Measured(1.0),
        normal_mm=(0.02, 0.04),
    )
    assert probability_worn(shaken) == pytest.approx(probability, abs=1e-4)


def test_a_repaired_bearing_is_round_and_in_the_middle_of_normal():
    mended = repaired(bearing(0.2, across=0.05, normal=(0.02, 0.04)))
    assert side_shake(mended).value == pytest.approx(0.03)
    assert ovality(mended.hole).value == 0


@pytest.mark.parametrize(
    ("make", "named"),
    [
        (lambda: bearing(-0.01), ("1", "0.99")),
        (lambda: bearing(0.05, across=0.08), ("1.08", "1.05")),
        (lambda: bearing(0.05, pivot=-1.0), ("-0.95",)),
    ],
)
def test_values_in_conflict_are_both_named(make, named):
    with pytest.raises(InputError) as caught:
        make()
    assert all(each in str(caught.value) for each in named)


def test_the_doubt_of_a_repair_is_the_rectangle_of_normal_plays():
    # GUM 4.3.7: half-width 0.01 over the root of 3
    assert repaired(bearing(0.2, normal=(0.02, 0.04))).hole.long_mm.u == pytest.approx(
        0.01 / math.sqrt(3)
    )
