"""A heavy spot out of a round, and when a round cannot tell one."""

import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.timing.poise.heavy_spot import find_poise
from sideshake.timing.poise.of_round import hanging_of
from tests.timing.poise.cases import planted
from tests.timing.rounds import VINTAGE, round_of


def test_a_planted_spot_is_found_in_a_round_that_also_lies():
    """Planted through the published poise formula (`movement.balance.poise_rate`)."""
    rates = planted(130.0, amplitude=270.0)
    figures = {"CH": (3, 285), "FH": (3, 286), **{p: (rate, 270) for p, rate in rates.items()}}
    poise = find_poise(hanging_of(round_of(figures, rate_u=0.1, swing_u=1.0)))
    assert poise.dial_deg.value == pytest.approx(130.0, abs=0.1)


def test_each_position_keeps_its_own_rate_and_amplitude():
    hanging = hanging_of(round_of(VINTAGE))
    rates = {p: each.rate_s_per_day.value for p, each in hanging.positions.items()}
    assert rates == {"3H": -11, "6H": 14, "9H": -27, "12H": -68}


def test_a_missing_position_is_named():
    three = {p: each for p, each in VINTAGE.items() if p != "12H"}
    with pytest.raises(NotEnough, match=r"not heard: 12H$"):
        hanging_of(round_of(three))


def test_a_position_without_amplitude_is_missing():
    with pytest.raises(NotEnough, match=r"not heard: 6H$"):
        hanging_of(round_of({**VINTAGE, "6H": (14, None)}))


def test_with_the_chronograph_running_only_nothing_is_told():
    with pytest.raises(NotEnough, match="3H, 6H, 9H, 12H"):
        hanging_of(round_of({}, running=VINTAGE))


def test_an_amplitude_at_which_no_watch_runs_is_refused():
    with pytest.raises(InputError, match="60 to 360"):
        hanging_of(round_of({**VINTAGE, "6H": (14, 40)}))
