"""A heavy spot is found wherever it points, also between two positions."""

import math

import numpy as np
import pytest

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.timing.diagnosis.causes import CauseKind, causes, stands_out
from sideshake.timing.diagnosis.evidence import odd_one, seen
from sideshake.timing.positions.harmonic import first_harmonic
from sideshake.timing.positions.summary import Position
from sideshake.timing.repeatability import AS_HEARD
from tests.swinging_balance import rate_s_per_day, swing_s, weight_torque
from tests.timing.rounds import round_of

INERTIA, STIFFNESS = 10e-10, 6.317e-7
UP = {"12H": 0.0, "3H": 90.0, "6H": 180.0, "9H": 270.0}
LYING = {"CH": (4, 285), "FH": (5, 284)}


def swung(spot_deg, *, unbalance=0.26, amplitude=250.0):
    """Return the hanging rates of a balance whose spot points so, swung step by step."""
    usual = swing_s(INERTIA, STIFFNESS, amplitude)
    return {
        position: rate_s_per_day(
            swing_s(
                INERTIA,
                STIFFNESS,
                amplitude,
                # straight down on the dial is the direction opposite to the one that is up
                torque_nm=weight_torque(unbalance, spot_deg - up - 180.0),
            ),
            usual,
        )
        for position, up in UP.items()
    }


def hanging_round(rates, amplitude=250):
    return round_of(
        {**LYING, **{p: (rate, amplitude) for p, rate in rates.items()}},
        rate_u=0.3, swing_u=1.5, lift_share_u=0.0, wound="full",
    )  # fmt: skip


def wave(size, up_deg, u=0.3, positions=UP):
    return {
        Position(p): Measured(4 + size * math.cos(math.radians(up_deg - UP[p])), u)
        for p in positions
    }


@pytest.mark.parametrize("spot_deg", range(0, 360, 15))
def test_a_swung_balance_s_spot_is_named_wherever_it_points(spot_deg):
    # trade-facts 4.2.1 for the size: 86400 (m g a / k) J1(θ)/θ; swung, not computed
    rates = swung(spot_deg)
    found = first_harmonic({Position(p): Measured(rate, 0.3) for p, rate in rates.items()})
    assert found.size_s_per_day.value == pytest.approx(15.34, rel=0.01)
    # above 219.5 degrees the slowest has the spot at the bottom: fastest is the way it points
    off = (found.fastest_up_deg.value - spot_deg + 180) % 360 - 180
    assert abs(off) < 0.5
    assert CauseKind.POISE in [each.kind for each in causes(hanging_round(rates), again=AS_HEARD)]


def test_the_odd_position_alone_misses_the_one_in_between():
    rates = swung(45.0)
    _, off = odd_one(seen(hanging_round(rates)))
    assert abs(off.value) < 15.0
    said = causes(hanging_round(rates), again=AS_HEARD)[-1]
    assert said.sentence.startswith("Hanging, its rate turns with the watch by 15.3 ± 0.4 s a day")
    assert "fastest with the dial's 1:30 up" in said.sentence


@pytest.mark.parametrize("spot_deg", [0.0, 45.0, 100.0])
def test_a_natural_wave_is_not_named(spot_deg):
    rates = swung(spot_deg, unbalance=0.17)  # 10 s a day
    said = stands_out(hanging_round(rates), again=AS_HEARD)
    assert said.causes == ()


def test_a_single_odd_position_is_not_called_a_wave():
    odd = {"3H": 0.0, "6H": 0.0, "9H": 0.0, "12H": 30.0}
    (cause,) = causes(hanging_round(odd), again=AS_HEARD)
    assert cause.sentence.startswith("In 12H, crown right, it gains against the other hanging")
    assert "turns with the watch" not in cause.sentence


@pytest.mark.parametrize("left_out", UP)
def test_three_positions_tell_it_exactly(left_out):
    found = first_harmonic(wave(20.0, 63.0, positions=[p for p in UP if p != left_out]))
    assert found.size_s_per_day.value == pytest.approx(20.0, abs=0.01)
    assert found.fastest_up_deg.value == pytest.approx(63.0)
    assert found.left_s_per_day is None


def test_two_positions_tell_nothing():
    with pytest.raises(NotEnough, match="three hanging positions, got 2"):
        first_harmonic(wave(20.0, 63.0, positions=("3H", "12H")))


def test_what_is_no_wave_is_left_over():
    pairs = {Position("12H"): 5.0, Position("6H"): 5.0, Position("3H"): -5.0, Position("9H"): -5.0}
    found = first_harmonic({p: Measured(rate, 0.5) for p, rate in pairs.items()})
    assert found.size_s_per_day.value == 0.0
    assert found.left_s_per_day.value == pytest.approx(5.0)
    assert not found.is_all
    assert first_harmonic(wave(20.0, 10.0)).is_all


@pytest.mark.parametrize(("size", "up_deg"), [(4.0, 30.0), (12.0, 45.0), (30.0, 200.0)])
def test_size_and_direction_keep_their_95_percent_in_scattered_rates(size, up_deg):
    random, u, hits, turned, sizes = np.random.default_rng(12), 1.0, [], [], []
    for _ in range(1500):
        heard = {
            p: Measured(rate.value + random.normal(0, u), u)
            for p, rate in wave(size, up_deg).items()
        }
        found = first_harmonic(heard)
        hits.append(found.size_s_per_day.holds(size))
        off = (found.fastest_up_deg.value - up_deg + 180) % 360 - 180
        turned.append(abs(off) <= found.fastest_up_deg.expanded)
        sizes.append(found.size_s_per_day.value)
    assert np.mean(hits) == pytest.approx(0.954, abs=0.02)
    assert np.mean(turned) == pytest.approx(0.954, abs=0.02)
    assert np.mean(sizes) == pytest.approx(size, abs=0.05)
