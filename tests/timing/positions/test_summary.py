import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.timing.positions.summary import HeardRound, InPosition, Position, summary
from tests.timing.rounds import MENDED, PITTED, VINTAGE, one, round_of


def test_positions_in_words():
    """ISO 3158 for a watch with its crown at 3 (secondary pages, trade-facts 2.1)."""
    words = {each.value: each.words for each in Position}
    assert words == {
        "CH": "dial up", "FH": "dial down", "3H": "crown up", "6H": "crown left",
        "9H": "crown down", "12H": "crown right",
    }  # fmt: skip
    assert [each.value for each in Position if each.lying] == ["CH", "FH"]
    assert [each.value for each in Position if each.hanging] == ["3H", "6H", "9H", "12H"]


def test_the_published_vintage_example():
    """Secondary trade page (trade-facts 4.2.10): lying less hanging 33, hanging spread 82."""
    said = summary(round_of(VINTAGE))
    assert said.lying_s_per_day == Measured(10.0)
    assert said.hanging_s_per_day == Measured(-23.0)
    assert said.hanging_minus_lying_s_per_day == Measured(-33.0)
    assert said.dial_up_minus_down_s_per_day == Measured(22.0)
    hanging = summary(round_of({p: VINTAGE[p] for p in ("3H", "6H", "9H", "12H")}))
    assert hanging.spread.value == Measured(82.0)
    assert (hanging.spread.largest, hanging.spread.smallest) == (Position.H6, Position.H12)
    for pair, mean in ((("3H", "9H"), -19.0), (("6H", "12H"), -27.0)):
        of_pair = summary(round_of({p: VINTAGE[p] for p in pair}))
        assert of_pair.hanging_s_per_day == Measured(mean)


def test_the_published_average_deviation_is_no_mean_rate():
    """The page's "average deviation 14.8" is the mean size of five rates (without 12H); their mean
    is -0.8."""
    five = {p: VINTAGE[p] for p in VINTAGE if p != "12H"}
    assert sum(abs(rate) for rate, _ in five.values()) / 5 == pytest.approx(14.8)
    said = summary(round_of(five))
    assert said.mean_s_per_day.value == pytest.approx(-0.8)
    assert Position.H12 not in said.rates_in


def test_the_classic_quarter_turn():
    """Kleinlein 1920 (trade-facts 3.5.8): lying 270, hanging 225 degrees, a fall of 45."""
    said = summary(round_of({"CH": (0, 270), "FH": (0, 270), "3H": (0, 225), "9H": (0, 225)}))
    assert (said.lying_deg, said.hanging_deg) == (Measured(270.0), Measured(225.0))
    assert said.fall_deg == Measured(45.0)


def test_a_public_data_set_compared_by_iso_3159():
    """Public data of ten days (trade-facts 1.4 A): 6H on days 1 and 2, CH on days 9 and 10;
    D = vertical minus horizontal = -8.9."""
    six, dial_up = (0.3 + 1.3) / 2, (9.9 + 9.5) / 2
    said = summary(round_of({"6H": (six, None), "CH": (dial_up, None)}))
    assert said.hanging_minus_lying_s_per_day.value == pytest.approx(-8.9)


def test_the_cap_jewel_example():
    """Secondary trade page (trade-facts 3.5.17)."""
    before, after = summary(round_of(PITTED)), summary(round_of(MENDED))
    assert before.dial_up_minus_down_s_per_day == Measured(-8.0)
    assert before.dial_up_minus_down_deg == Measured(20.0)
    assert after.dial_up_minus_down_s_per_day == Measured(0.0)


def test_uncertainties_by_hand():
    said = summary(round_of(VINTAGE, rate_u=0.4, swing_u=2.0, clock_u=1.5, lift_share_u=0.0))
    assert said.mean_s_per_day.u == pytest.approx(math.hypot(0.4 / math.sqrt(6), 1.5))
    assert said.lying_s_per_day.u == pytest.approx(math.hypot(0.4 / math.sqrt(2), 1.5))
    assert said.hanging_minus_lying_s_per_day.u == pytest.approx(0.4 * math.sqrt(1 / 2 + 1 / 4))
    assert said.dial_up_minus_down_s_per_day.u == pytest.approx(0.4 * math.sqrt(2))
    assert said.fall_deg.u == pytest.approx(2.0 * math.sqrt(1 / 2 + 1 / 4))
    assert said.spread.value.u == pytest.approx(4.030 * 0.4 / 2)


def test_the_chronographs_cost_comes_from_positions_heard_both_ways():
    off = {"CH": (5, 280), "9H": (0, 240), "FH": (4, 285)}
    on = {"CH": (2, 255), "9H": (1, 205), "12H": (-9, 100)}
    said = summary(round_of(off, running=on))
    assert said.chronograph_cost_deg == Measured(30.0)
    assert said.chronograph_change_s_per_day == Measured(-1.0)
    assert said.chronograph_in == (Position.CH, Position.H9)
    assert said.mean_s_per_day == Measured(3.0)  # the readings with it on do not count
    assert said.least_hanging.position is Position.H9


def test_the_last_of_two_readings_in_a_position_counts():
    again = round_of({"CH": (5, 280)}).readings + round_of({"CH": (1, None)}).readings
    said = summary(HeardRound(readings=again, clock_u_s_per_day=0.0))
    assert said.lying_s_per_day == Measured(1.0)
    assert said.lying_deg is None


def test_what_was_not_heard_is_not_guessed():
    said = summary(round_of({"CH": (5, 280, 0.4)}))
    assert said.lying_s_per_day == Measured(5.0)
    assert said.largest_beat_error.position is Position.CH
    for missing in (
        said.hanging_s_per_day, said.hanging_minus_lying_s_per_day, said.spread, said.fall_deg,
        said.least_hanging, said.dial_up_minus_down_s_per_day, said.chronograph_cost_deg,
    ):  # fmt: skip
        assert missing is None
    nothing = summary(HeardRound(readings=(), clock_u_s_per_day=0.0))
    assert nothing.mean_s_per_day is None
    assert nothing.largest_beat_error is None


@given(shift=st.floats(-500, 500), order=st.permutations(list(VINTAGE)))
def test_a_shift_moves_the_means_and_nothing_else_and_the_order_does_nothing(shift, order):
    plain = summary(round_of(VINTAGE, rate_u=0.4, clock_u=1.0))
    moved = summary(
        round_of({p: (VINTAGE[p][0] + shift, VINTAGE[p][1]) for p in order}, rate_u=0.4, clock_u=1)
    )
    assert moved.mean_s_per_day.value == pytest.approx(plain.mean_s_per_day.value + shift)
    assert moved.lying_s_per_day.value == pytest.approx(plain.lying_s_per_day.value + shift)
    assert moved.spread.value.value == pytest.approx(plain.spread.value.value)
    assert moved.spread.largest is plain.spread.largest
    change = moved.hanging_minus_lying_s_per_day
    assert change.value == pytest.approx(plain.hanging_minus_lying_s_per_day.value)
    assert moved.fall_deg == plain.fall_deg


@given(order=st.permutations(list(VINTAGE)))
def test_the_order_of_listening_changes_nothing(order):
    heard = round_of({p: VINTAGE[p] for p in order}, rate_u=0.4, swing_u=2.0, clock_u=1.0)
    assert summary(heard) == summary(round_of(VINTAGE, rate_u=0.4, swing_u=2.0, clock_u=1.0))


def test_the_impossible_is_refused():
    with pytest.raises(InputError, match="within 0 and 360 degrees, got 400"):
        one("CH", (0, 400), 0.0, 0.0, on=False)
    with pytest.raises(InputError, match="0 ms or more"):
        InPosition(
            position=Position.CH,
            rate_s_per_day=None,
            amplitude_deg=None,
            beat_error_ms=Measured(-0.1),
        )
    with pytest.raises(InputError, match="clock's uncertainty"):
        HeardRound(readings=(), clock_u_s_per_day=-1.0)
    with pytest.raises(InputError, match='"full", "24h"'):
        HeardRound(readings=(), clock_u_s_per_day=0.0, wound="half")
    with pytest.raises(InputError, match="share"):
        HeardRound(readings=(), clock_u_s_per_day=0.0, lift_share_u=2.0)
    with pytest.raises(InputError, match="holds the lift angle's uncertainty already"):
        round_of(VINTAGE, swing_u=2.0, lift_share_u=0.01)
