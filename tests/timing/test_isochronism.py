import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError, NotEnough
from sideshake.movement.sheet import CalibreSheet
from sideshake.timing.diagnosis.limits import RoundLimits, held_against
from sideshake.timing.isochronism import Sign, isochronism, wound_after
from sideshake.timing.positions.summary import Position, summary
from sideshake.timing.repeatability import AS_HEARD
from sideshake.timing.tolerance import ToleranceOutcome
from tests.timing.rounds import round_of

FULL = {"CH": (4, 285), "FH": (6, 283), "3H": (2, 245), "9H": (-2, 241)}
DAY = {"CH": (10, 250), "FH": (10, 248), "3H": (7, 212), "9H": (3, 206)}
SURE = {"rate_u": 0.3, "swing_u": 1.5, "lift_share_u": 0.0}


def compared(full=FULL, day=DAY, *, sheet=None, same_clock=True, **more):
    more = {**SURE, **more}
    return isochronism(
        round_of(full, wound="full", **more),
        round_of(day, wound="24h", **more),
        sheet=sheet,
        same_clock=same_clock,
        again=AS_HEARD,
    )


def test_by_hand():
    """Rates +6, +4, +5, +5: mean +5; falls 35, 35, 33, 35: mean 34.5."""
    said = compared()
    assert said.mean.rate_s_per_day.value == pytest.approx(5.0)
    assert said.mean.rate_s_per_day.u == pytest.approx(0.3 * 2**0.5 / 2)
    assert said.mean.fall_deg.value == pytest.approx(34.5)
    assert [each.rate_s_per_day.value for each in said.by_position] == [6, 4, 5, 5]
    assert (said.lying.fall_deg.value, said.hanging.fall_deg.value) == (35.0, 34.0)
    assert said.least_hanging_24h.position is Position.H9
    assert said.sentence == (
        "From full wind to 24 h the rate changes by +5.0 ± 0.4 s a day and the amplitude falls by "
        "34.5 ± 2.1° (mean of 4 positions)."
    )


def test_gaining_in_short_arcs_is_usual_in_old_watches():
    """Secondary trade page (trade-facts 4.11)."""
    said = compared()
    assert said.sign is Sign.GAINS
    assert "pins close" in said.hint
    assert "poise" not in said.hint


def test_losing_in_short_arcs_looks_at_wide_pins():
    """Secondary trade page (trade-facts 4.3.2)."""
    day = {p: (rate - 14, swing) for p, (rate, swing) in DAY.items()}
    assert "Pins too far apart" in compared(day=day).hint


def test_a_change_only_hanging_speaks_of_poise():
    """The heavy spot acts only hanging, and turns its sign at 220 degrees (trade-facts 4.2.7)."""
    said = compared(day={**DAY, "CH": (4, 250), "FH": (6, 248)})
    assert said.sign is Sign.STEADY
    assert "poise" in said.hint


def test_one_position_that_falls_too_far_is_told_even_if_the_mean_does_not():
    mean, largest, _ = compared(day={**DAY, "9H": (3, 185)}).limits
    assert mean.outcome is ToleranceOutcome.KEPT
    assert largest.outcome is ToleranceOutcome.BEYOND
    assert "largest, in 9H" in largest.what


def test_the_factorys_limits():
    """A fall of at most 50 degrees, at least 180 hanging after 24 h (secondary trade page,
    trade-facts 3.5.9)."""
    assert [each.outcome for each in compared().limits] == [ToleranceOutcome.KEPT] * 3
    weak = {p: (rate, swing - 35) for p, (rate, swing) in DAY.items()}
    assert [each.outcome for each in compared(day=weak).limits] == [ToleranceOutcome.BEYOND] * 3


def test_the_sheets_limit_goes_first():
    sheet = CalibreSheet.model_validate(
        {"name": "Invented 12", "nominal": {"least_hanging_24h_deg": 215.0}}
    )
    hanging = compared(sheet=sheet).limits[-1]
    assert (hanging.outcome, hanging.at_least) == (ToleranceOutcome.BEYOND, 215.0)
    assert hanging.source == "calibre sheet of Invented 12"


def test_one_clock_cancels_and_two_do_not():
    assert compared(clock_u=2.0).mean.rate_s_per_day.u == compared().mean.rate_s_per_day.u
    two = compared(clock_u=2.0, same_clock=False).mean.rate_s_per_day.u
    assert two == pytest.approx((0.3**2 / 2 + 8.0) ** 0.5)


def test_what_the_next_laying_changes_is_in_the_uncertainty():
    """1 s a day and 2 degrees for each laying (common practice, no source)."""
    said = isochronism(round_of(FULL, wound="full", **SURE), round_of(DAY, wound="24h", **SURE))
    assert said.mean.rate_s_per_day.u == pytest.approx(((0.3**2 + 1.0) * 2 / 4) ** 0.5)
    assert said.mean.fall_deg.u == pytest.approx(((1.5**2 + 4.0) * 2 / 4) ** 0.5)


def test_only_positions_heard_both_times_count():
    said = compared(full={"CH": (4, 285), "FH": (99, 10)}, day={"CH": (5, 250), "3H": (50, 150)})
    assert said.mean.positions == (Position.CH,)
    assert said.mean.rate_s_per_day.value == 1.0
    assert said.hanging is None
    assert said.sentence.endswith("(in CH).")
    with pytest.raises(NotEnough, match="no position"):
        compared(full={"CH": (4, 285)}, day={"FH": (4, 285)})


def test_without_rates_there_is_still_the_fall():
    said = compared(full={"CH": (None, 285)}, day={"CH": (None, 250)})
    assert said.sign is None
    assert said.hint == ""
    assert said.mean.fall_deg.value == 35.0


def test_two_rounds_in_the_wrong_order_are_refused():
    with pytest.raises(InputError, match="fully wound"):
        isochronism(round_of(DAY, wound="24h"), round_of(FULL, wound="full"))


@given(shift=st.floats(-300, 300))
def test_regulation_changes_nothing(shift):
    moved = [
        {p: (rate + shift, swing) for p, (rate, swing) in each.items()} for each in (FULL, DAY)
    ]
    said = compared(*moved)
    assert said.mean.rate_s_per_day.value == pytest.approx(5.0)
    assert said.sign is Sign.GAINS


@pytest.mark.parametrize(
    ("hours", "state"),
    [(0.4, ""), (0.5, "full"), (1.5, "full"), (2, ""), (23.5, "24h"), (25, "24h"), (26, "")],
)
def test_when_to_read(hours, state):
    """One maker's instruction: 30 to 90 minutes, 23.5 to 25 hours (trade-facts 3.5.11)."""
    assert wound_after(hours) == state


def test_no_watch_is_read_before_it_is_wound():
    with pytest.raises(InputError, match="0 or more"):
        wound_after(-1)


INSTRUCTION = {"source": "one maker's instruction", "mean_s_per_day": (0.0, 10.0)}
AT_0H = RoundLimits(**INSTRUCTION, spread_s_per_day=15.0, chronograph_deg=40.0)
AT_24H = RoundLimits(**INSTRUCTION, spread_s_per_day=20.0, hanging_deg=190.0)


def test_a_published_instruction_for_a_chronograph():
    """Mean of three positions 0 to +10 at 0 h and 24 h, spread 15 and 20, hanging 190 after 24 h,
    loss with the chronograph at most 40 degrees (secondary trade page, trade-facts 3.5.10)."""
    three = {"CH": (3, 290), "FH": (5, 288), "9H": (-3, 250)}
    full = summary(round_of(three, running={"CH": (2, 265)}, **SURE))
    assert [each.outcome for each in held_against(full, AT_0H)] == [ToleranceOutcome.KEPT] * 3
    day = {"CH": (14, 240), "FH": (12, 236), "9H": (-9, 180)}
    late = held_against(summary(round_of(day, **SURE)), AT_24H)
    assert [each.outcome for each in late] == [
        ToleranceOutcome.KEPT,
        ToleranceOutcome.BEYOND,
        ToleranceOutcome.BEYOND,
    ]
    assert late[1].sentence == (
        "Spread, CH minus 9H, 23.0 ± 1.0 s a day (at most 20 s a day): beyond the limit. "
        "Limit: one maker's instruction."
    )
    shifted = {p: (rate + 8.3, swing) for p, (rate, swing) in three.items()}
    mean = held_against(summary(round_of(shifted, **SURE)), AT_0H)[0]
    assert mean.value.value == pytest.approx(8.3 + 5 / 3)
    assert mean.outcome is ToleranceOutcome.NEAR


def test_an_instruction_that_says_nothing_asks_nothing():
    nothing = RoundLimits(source="silence")
    assert held_against(summary(round_of(FULL, **SURE)), nothing) == ()
    assert held_against(summary(round_of({}, **SURE)), AT_24H) == ()
