"""What readings share, by hand after the GUM (5.2.2): once in a mean, never in a difference."""

import pytest

from sideshake.analysis.rounds import clocks_of
from sideshake.timing.positions.summary import summary
from sideshake.web.models import Reading
from sideshake.web.readings.kept_figures import round_read


def heard_round(rows, wound):
    return round_read(rows, wound).heard


LIFT = {"lift_angle_deg": 50.0, "lift_angle_u_deg": 0.5}


def reading(position="CH", rate=4.0, swing=280.0, **more):
    kept = {"recorder": "this computer", "clock": "", **LIFT, **more.pop("figures", {})}
    return Reading(
        position=position, state=more.pop("state", "heard"), rate_s_per_day=rate,
        rate_u_s_per_day=more.pop("u", 0.5), rate_alone_u_s_per_day=more.pop("alone", 0.3),
        amplitude_deg=swing, amplitude_u_deg=3.5, figures=kept, **more,
    )  # fmt: skip


def test_the_sound_clock_counts_once_in_a_mean_and_cancels_in_a_difference():
    """u 0.5 of which the clock has 0.4: mean of two sqrt(0.3²/2 + 0.4²), difference 0.3 sqrt 2."""
    said = summary(heard_round([reading("CH"), reading("FH", 6.0)], "full"))
    assert said.lying_s_per_day.value == pytest.approx(5.0)
    assert said.lying_s_per_day.u == pytest.approx((0.3**2 / 2 + 0.4**2) ** 0.5)
    assert said.dial_up_minus_down_s_per_day.u == pytest.approx(0.3 * 2**0.5)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ({"alone": None}, {"alone": None}),
        ({"figures": {"recorder": "phone"}}, {}),
        ({"figures": {"clock": "2026-02-01"}}, {}),
    ],
)
def test_where_the_clock_s_share_is_not_known_or_not_common_nothing_cancels(first, second):
    said = summary(heard_round([reading("CH", **first), reading("FH", **second)], "full"))
    assert said.dial_up_minus_down_s_per_day.u == pytest.approx(0.5 * 2**0.5)
    assert said.lying_s_per_day.u >= 0.5


def test_the_lift_angle_s_share_counts_once_in_a_mean_and_nearly_cancels_in_a_fall():
    """1 % of 280° is 2.8°: what is left of 3.5° is 2.1°; mean of two sqrt(2.1²/2 + 2.8²)."""
    said = summary(heard_round([reading("CH"), reading("FH")], "full"))
    assert said.lying_deg.u == pytest.approx((2.1**2 / 2 + 2.8**2) ** 0.5)
    assert said.dial_up_minus_down_deg.u == pytest.approx(2.1 * 2**0.5)


@pytest.mark.parametrize("figures", [{"lift_angle_deg": 52.0}, {"lift_angle_deg": None}])
def test_two_lift_angles_or_none_share_nothing_that_is_known(figures):
    heard = heard_round([reading("CH"), reading("FH", figures=figures)], "full")
    assert heard.lift_share_u is None


def test_what_was_not_heard_or_has_no_position_does_not_count():
    rows = [reading("CH"), reading("", 99.0), reading("FH", 99.0, state="no-reading")]
    assert [each.position for each in heard_round(rows, "").readings] == ["CH"]


def test_of_one_position_the_newest_reading_counts():
    said = summary(heard_round([reading("CH", 1.0), reading("CH", 7.0)], "full"))
    assert said.lying_s_per_day.value == 7.0


def test_a_reading_that_has_no_rate_keeps_its_amplitude():
    said = summary(heard_round([reading("CH", None, u=None, alone=None)], "full"))
    assert said.lying_s_per_day is None
    assert said.lying_deg.value == 280.0


def test_readings_are_of_one_clock_only_by_the_same_microphone_and_check():
    rows = [reading(), reading(figures={"clock": "2026-02-01"}), reading(state="live")]
    assert clocks_of(round_read(rows, "").readings) == {
        ("this computer", ""),
        ("this computer", "2026-02-01"),
    }
