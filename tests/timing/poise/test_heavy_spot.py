"""The heavy spot: planted truth through the poise formula, published cases, laws, refusals."""

from math import cos, radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import j1, jn_zeros

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.timing.poise.heavy_spot import (
    UP_DEG,
    Hanging,
    HangingRate,
    blind_deg,
    find_poise,
    shows,
    unbalance_ug_cm,
)
from tests.timing.poise.cases import K, hanging, planted


def test_a_spot_worked_by_hand():
    # Above 220° the slowest position has the spot at the bottom (trade-facts 4.2.8): slowest with 9
    # o'clock up, so it points to 3 o'clock; 10 s a day is half the difference of 9H and 3H.
    poise = find_poise(hanging({"3H": 10.0, "6H": 0.0, "9H": -10.0, "12H": 0.0}))
    assert poise.size_s_per_day.value == pytest.approx(10.0)
    assert poise.dial_deg.value == pytest.approx(90.0)
    assert poise.back_deg.value == pytest.approx(270.0)
    assert poise.lowest_in == "9H"


def test_below_220_the_fastest_position_has_the_spot_at_the_bottom():
    rates = {"3H": 10.0, "6H": 0.0, "9H": -10.0, "12H": 0.0}
    poise = find_poise(hanging(rates, amplitude=170.0))
    assert poise.lowest_in == "3H"
    assert poise.dial_deg.value == pytest.approx(270.0)


@pytest.mark.parametrize("amplitude", [150.0, 200.0, 240.0, 270.0, 310.0])
@pytest.mark.parametrize("spot", [0.0, 30.0, 90.0, 135.0, 200.0, 345.0])
def test_a_planted_spot_is_found(spot, amplitude):
    poise = find_poise(hanging(planted(spot, amplitude=amplitude), amplitude=amplitude))
    assert (poise.dial_deg.value - spot + 180) % 360 - 180 == pytest.approx(0.0, abs=1e-6)
    assert unbalance_ug_cm(poise, stiffness_nm=K).value == pytest.approx(23.8, rel=1e-9)


def test_the_published_balance_gives_its_published_unbalance():
    # A published worksheet on the poise defect: 23.8e-6 g cm make -19.081 s a day at 270°.
    rates = {"3H": 0.0, "6H": 19.081, "9H": 0.0, "12H": -19.081}
    found = unbalance_ug_cm(find_poise(hanging(rates)), stiffness_nm=K)
    assert found.value == pytest.approx(23.8, abs=0.001)


def test_a_published_vintage_watch_is_fitted_when_its_pairs_are_doubted_enough():
    # Secondary trade page (trade-facts 4.2.10): pendant up -11, down -27, left +14, right -68.
    # Pendant at 3 o'clock: up is 3H, down 9H, left 6H, right 12H. a = 8, b = 41, size 41.8.
    rates = {"3H": -11.0, "9H": -27.0, "6H": 14.0, "12H": -68.0}
    poise = find_poise(hanging(rates, amplitude=250.0, u=5.0))
    assert poise.size_s_per_day.value == pytest.approx(41.8, abs=0.05)


def test_the_same_watch_read_sharply_is_not_only_poise_and_says_so_with_figures():
    # Its pair means are -19 and -27.
    rates = {"3H": -11.0, "9H": -27.0, "6H": 14.0, "12H": -68.0}
    with pytest.raises(NotEnough, match=r"not only poise.*−27\.0 .*−19\.0 .*differ by 8\.0"):
        find_poise(hanging(rates, amplitude=250.0, u=0.3))


@given(st.floats(0, 359), st.floats(-60, 60))
def test_the_mean_rate_does_not_move_the_spot(spot, mean):
    poise = find_poise(hanging(planted(spot, amplitude=270.0, mean=mean)))
    assert poise.size_s_per_day.value == pytest.approx(19.081, abs=0.001)


@given(st.floats(0, 359))
def test_turning_the_balance_in_its_spring_turns_the_spot(spot):
    one, other = (
        find_poise(hanging(planted(spot + turn, amplitude=280.0))).dial_deg.value
        for turn in (0.0, 77.0)
    )
    assert (other - one - 77.0 + 180) % 360 - 180 == pytest.approx(0.0, abs=1e-6)


def test_size_and_direction_are_as_open_as_repeated_readings_scatter():
    # 400 sets: a standard deviation is known within 3.5 %; four of those are allowed.
    random = np.random.default_rng(5)
    true = np.array(list(planted(120.0, amplitude=270.0).values()))
    arrows = []
    for noise in random.normal(0, 0.8, (400, 4)):
        rates = dict(zip(UP_DEG, true + noise, strict=True))
        arrows.append(hanging(rates, u=0.8).gain)
    stated = hanging(dict(zip(UP_DEG, true, strict=True)), u=0.8).gain
    sizes = np.std([arrow.size.value for arrow in arrows])
    turns = np.std([arrow.dial_deg.value for arrow in arrows])
    assert stated.size.u == pytest.approx(sizes, rel=0.14)
    assert stated.dial_deg.u == pytest.approx(turns, rel=0.14)


def test_nothing_is_called_a_spot_more_than_once_in_twenty_times():
    # No poise error at all: 95 % of sets must be refused, within four standard errors of 400 sets.
    random = np.random.default_rng(6)
    told = [
        hanging(dict(zip(UP_DEG, noise, strict=True)), u=0.8).gain.is_told
        for noise in random.normal(0, 0.8, (400, 4))
    ]
    assert np.mean(told) == pytest.approx(0.05, abs=0.044)


def test_what_turning_the_watch_adds_is_part_of_the_uncertainty():
    assert hanging(planted(0.0, amplitude=270.0), u=0.3, again=0.4).rates["3H"].u == 0.5


def test_no_poise_error_is_said_when_the_rates_hardly_differ():
    with pytest.raises(NotEnough, match="no poise error to be told"):
        find_poise(hanging({"3H": 1.0, "6H": 0.0, "9H": -1.0, "12H": 2.0}, u=1.0))


def test_exactly_equal_rates_tell_of_no_spot():
    with pytest.raises(NotEnough, match="no poise error"):
        find_poise(hanging(dict.fromkeys(UP_DEG, 4.0), u=0.0))


def test_the_spot_does_not_show_at_the_first_zero_of_j1():
    zero_deg = np.degrees(jn_zeros(1, 1)[0])
    assert shows(Measured(float(zero_deg))).value == pytest.approx(0.0, abs=1e-12)
    assert zero_deg == pytest.approx(219.541, abs=0.001)  # published worksheet


def test_how_near_is_too_near_follows_from_j1():
    def share(angle_deg):
        return j1(radians(angle_deg)) / radians(angle_deg)

    for edge in blind_deg():
        assert abs(share(edge) / share(270.0)) == pytest.approx(1 / 3, rel=1e-9)


@pytest.mark.parametrize("amplitude", [212.0, 219.5, 225.0, 230.0])
def test_near_220_nothing_can_be_told(amplitude):
    # Kleinlein (1920): at one turn and a quarter, 225°, a poise error does not show.
    with pytest.raises(NotEnough, match="between 209° and 231°"):
        find_poise(hanging({"3H": 30.0, "6H": 0.0, "9H": -30.0, "12H": 0.0}, amplitude=amplitude))


def test_an_amplitude_that_may_lie_on_either_side_tells_no_direction():
    with pytest.raises(NotEnough, match="does not show"):
        find_poise(hanging(planted(40.0, amplitude=240.0), amplitude=240.0, amplitude_u=11.0))


def test_positions_on_both_sides_of_220_are_not_mixed():
    read = hanging(planted(40.0, amplitude=250.0), amplitude=250.0)
    low = HangingRate(rate_s_per_day=Measured(1.0, 0.1), amplitude_deg=Measured(190.0, 1.0))
    mixed = Hanging(up_3=read.up_3, up_6=read.up_6, up_9=low, up_12=read.up_12)
    with pytest.raises(NotEnough, match="190"):
        find_poise(mixed)


def test_a_spot_aside_by_60_degrees_of_a_position_makes_half_there():
    rates = planted(60.0, amplitude=270.0, mean=0.0)
    assert rates["6H"] == pytest.approx(-19.081 * cos(radians(60.0)), abs=0.001)
    assert find_poise(hanging(rates)).from_down_deg("6H") == pytest.approx(60.0)


@pytest.mark.parametrize("amplitude", [0.0, 59.0, 360.0])
def test_an_amplitude_that_cannot_be_is_refused(amplitude):
    with pytest.raises(InputError, match="amplitude"):
        hanging(dict.fromkeys(UP_DEG, 0.0), amplitude=amplitude)
