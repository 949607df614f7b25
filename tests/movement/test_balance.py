"""Balance and spring: hand-worked cases and laws; published values are in tests/outside."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.balance import (
    Hairspring,
    beats_per_hour,
    inertia_rate,
    period_s,
    poise_rate,
    regulator_rate,
)
from sideshake.movement.energy import stiffness


def test_a_period_worked_by_hand():
    # J 1e-9 kg m² on k = 1e-9 (2 pi)² N m swings once a second.
    assert period_s(Measured(10.0), Measured(1e-9 * (2 * pi) ** 2)).value == pytest.approx(1.0)


@given(st.floats(1, 500), st.sampled_from([14400, 18000, 21600, 28800, 36000]))
def test_stiffness_and_period_are_each_others_inverse(inertia, beats):
    swing = period_s(Measured(inertia), stiffness(Measured(inertia), beats))
    assert beats_per_hour(swing).value == pytest.approx(beats)


def test_a_hairsprings_stiffness_is_worked_by_hand():
    spring = Hairspring(
        elastic_gpa=Measured(180.0),
        height_mm=Measured(0.12),
        thickness_mm=Measured(0.03),
        length_mm=Measured(100.0),
    )
    # 180e9 x 0.12e-3 x (0.03e-3)³ / (12 x 0.1)
    assert spring.stiffness_nm.value == pytest.approx(4.86e-7, rel=1e-9)


def test_the_regulators_first_order_agrees_with_the_period_itself():
    length, shortened = 100.0, 0.01
    exact = ((length / (length - shortened)) ** 0.5 - 1) * 86400
    first = regulator_rate(Measured(shortened), length_mm=Measured(length)).value
    assert first == pytest.approx(exact, rel=1e-4)


def test_more_inertia_loses():
    assert inertia_rate(Measured(1e-4)).value == pytest.approx(-4.32, rel=1e-3)


@given(st.floats(20, 350), st.floats(0, 360))
def test_a_heavy_spot_on_the_other_side_has_the_other_sign(amplitude, spot):
    pull, k = Measured(0.238), Measured(6.317e-7)
    one, other = (
        poise_rate(
            pull, Measured(amplitude), stiffness_nm=k, spot_from_down_deg=Measured(spot + turn)
        ).value
        for turn in (0, 180)
    )
    assert one == pytest.approx(-other, abs=1e-9)


def test_a_spot_sixty_degrees_aside_does_half_as_much():
    pull, at, k = Measured(0.238), Measured(180.0), Measured(6.317e-7)
    down = poise_rate(pull, at, stiffness_nm=k).value
    aside = poise_rate(pull, at, stiffness_nm=k, spot_from_down_deg=Measured(60.0)).value
    assert aside == pytest.approx(down / 2)


def test_doubt_about_amplitude_reaches_the_poise_rate():
    at, step, k = 200.0, 0.01, Measured(6.317e-7)
    rates = [
        poise_rate(Measured(0.238), Measured(at + d), stiffness_nm=k).value for d in (-step, step)
    ]
    slope = (rates[1] - rates[0]) / (2 * step)
    assert poise_rate(Measured(0.238), Measured(at, 3.0), stiffness_nm=k).u == pytest.approx(
        3 * abs(slope), rel=1e-5
    )


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: period_s(Measured(0.0), Measured(1e-7)),
        lambda: beats_per_hour(Measured(0.0)),
        lambda: regulator_rate(Measured(0.1), length_mm=Measured(0.0)),
        lambda: poise_rate(Measured(0.1), Measured(0.0), stiffness_nm=Measured(1e-7)),
        lambda: Hairspring(
            elastic_gpa=Measured(0.0),
            height_mm=Measured(0.12),
            thickness_mm=Measured(0.03),
            length_mm=Measured(100.0),
        ),
    ],
)
def test_the_impossible_is_refused(wrong):
    with pytest.raises(InputError, match=r"above 0|more than 0"):
        wrong()
