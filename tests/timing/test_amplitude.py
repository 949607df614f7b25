"""Sources: trade-facts 3.3 and 3.4 (derived from simple harmonic motion, recomputed here by another
route: the balance's angle at the two moments); tests/outside has the tables as published."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hand_made_ticks import onsets
from hypothesis import given, settings
from hypothesis import strategies as st

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.listener import SegmentNote
from sideshake.sound.onset import DRAWS
from sideshake.timing.amplitude import (
    DRAWN_SHARE,
    amplitude,
    amplitude_deg,
    chance_of,
    drawn,
    mean_of,
    out_of_beat_deg,
    page_swing,
    require_lift_angle,
    unequal_s,
)


def test_half_the_lift_angle_in_a_twelfth_of_the_beat_is_by_hand():
    """sin 30 degrees is 1/2: the span t = beat/3 gives A = lift / (2 * 1/2) = lift."""
    assert amplitude_deg(0.2 / 3, beat_s=0.2, lift_angle_deg=52) == pytest.approx(52)


@settings(max_examples=40, derandomize=True, deadline=None)
@given(st.floats(100, 350), st.floats(38, 60), st.sampled_from([0.1, 0.125, 0.2, 0.25]))
def test_the_balance_stands_at_half_the_lift_angle_at_both_moments(swing, lift, beat_s):
    """A sin(pi t / beat) at t = +- span/2 is +- lift/2."""
    span_s = 2 * beat_s / math.pi * math.asin(lift / 2 / swing)
    found = amplitude_deg(span_s, beat_s=beat_s, lift_angle_deg=lift)
    assert found * math.sin(math.pi * span_s / 2 / beat_s) == pytest.approx(lift / 2)
    assert found == pytest.approx(swing)


def test_amplitude_is_proportional_to_the_lift_angle():
    """trade-facts 3.2.4."""
    one, two = (amplitude_deg(7.7e-3, beat_s=0.125, lift_angle_deg=lift) for lift in (26, 52))
    assert two == pytest.approx(2 * one)


@pytest.mark.parametrize("span_s", [0.0, -1e-3, 0.125, 0.3])
def test_a_span_outside_the_beat_is_refused(span_s):
    with pytest.raises(InputError, match="unlocking to drop"):
        amplitude_deg(span_s, beat_s=0.125, lift_angle_deg=52)


@pytest.mark.parametrize("lift", [0, -52, 9.9, 90.1, 200, math.nan, math.inf])
def test_a_lift_angle_that_cannot_be_is_refused(lift):
    with pytest.raises(InputError, match="lift angle"):
        require_lift_angle(lift)


@pytest.mark.parametrize("lift", [10, 38, 52, 90])
def test_a_lift_angle_that_can_be_is_taken(lift):
    require_lift_angle(lift)


def test_uncertainty_of_time_goes_by_the_sensitivity_of_the_table():
    """trade-facts 3.2.5: at 28800 an hour and 270 degrees, 0.1 ms is 3.5 degrees."""
    found = amplitude(Measured(7.675e-3, 0.1e-3), beat_s=0.125, lift_angle_deg=Measured(52.0))
    assert found.u == pytest.approx(3.5, abs=0.05)


def test_uncertainty_of_the_lift_angle_carries_through():
    """trade-facts 3.2.4: one degree of lift is 5.2 degrees at 270."""
    found = amplitude(Measured(7.675e-3), beat_s=0.125, lift_angle_deg=Measured(52.0, 1.0))
    assert found.u == pytest.approx(5.19, abs=0.01)


def test_both_uncertainties_are_those_of_drawn_values():
    """10 000 draws: the standard deviation is open by 0.7 %, first order by less."""
    random = np.random.default_rng(5)
    spans, lifts = random.normal(10e-3, 60e-6, 10_000), random.normal(52, 0.7, 10_000)
    drawn = lifts / 2 / np.sin(np.pi * spans / 2 / (1 / 6))
    found = amplitude(Measured(10e-3, 60e-6), beat_s=1 / 6, lift_angle_deg=Measured(52.0, 0.7))
    assert found.u == pytest.approx(np.std(drawn), rel=0.03)


def test_more_than_a_full_turn_is_no_amplitude():
    with pytest.raises(NotEnough, match="too close"):
        amplitude(Measured(5e-3, 1e-6), beat_s=0.125, lift_angle_deg=Measured(52.0))


def test_a_blurred_portrait_is_no_amplitude():
    with pytest.raises(NotEnough, match="blurred"):
        amplitude(Measured(7.7e-3, 0.5e-3), beat_s=0.125, lift_angle_deg=Measured(52.0))


def test_out_of_beat_angle_comes_back_as_beat_error():
    """trade-facts 3.4: at 18000 and 270 degrees, one degree is 0.472 ms."""
    assert out_of_beat_deg(0.472e-3, beat_s=0.2, amplitude=270) == pytest.approx(1.0, abs=2e-3)


def test_the_mean_of_equal_independent_parts():
    """Two parts of 5 each: sqrt(50) / 2."""
    found = mean_of([Measured(10.0, 5.0), Measured(11.0, 5.0)])
    assert (found.value, found.u) == (10.5, pytest.approx(math.sqrt(12.5)))


def test_parts_that_scatter_too_much_widen_the_mean():
    """Values 0 and 10: variance 50, of the mean 25."""
    found = mean_of([Measured(0.0, 0.1), Measured(10.0, 0.1)])
    assert found.u == pytest.approx(5.0)


def note(tick, tock):
    return SegmentNote(start_s=0.0, end_s=30.0, heard=140, expected=150, onsets=(tick, tock))


def test_planted_onsets_give_their_span_and_offset():
    """Tick -4 to 6 ms, tock -3 to 7.2 ms: span 10.1 ms; tock unlocks 1 ms later."""
    found = page_swing(note(onsets(-4e-3, 6e-3), onsets(-3e-3, 7.2e-3)))
    assert found.time_s.value == pytest.approx(10.1e-3)
    assert found.offset_s.value == pytest.approx(1.0e-3)
    assert found.groups_s == pytest.approx([10.1e-3, 10.1e-3])


def test_a_share_of_the_draws_scatter_is_in_the_uncertainty():
    """Four onsets of 100 us each: the span's mean over two sides scatters by 100 us, of which 0.3
    is an error of these beats' mean; what other beats would tell is open by all of it.
    Counter-case: draws that agree add nothing."""
    tick, tock = (onsets(-4e-3, 6e-3, scatter_s=1e-4, seed=seed) for seed in (1, 2))
    found = page_swing(note(tick, tock))
    assert found.time_s.u == pytest.approx(0.3e-4, rel=0.5)  # 16 draws: 18 %
    assert found.offset_s.u == pytest.approx(0.3 * math.sqrt(2) * 1e-4, rel=0.5)
    assert found.scatter_u_s == pytest.approx(1e-4, rel=0.5)
    assert chance_of(Measured(8e-3, 5e-5)) == Measured(8e-3, DRAWN_SHARE * 5e-5)
    assert chance_of(Measured(8e-3)).u == 0.0


def test_what_the_shapes_leave_open_is_that_of_four_onsets():
    """30 and 40 us on tick, 120 us twice on tock: the mean of two differences is open by half of
    sqrt(30^2 + 40^2 + 120^2 + 120^2) = 177 us, the offset of unlocking by sqrt(30^2 + 120^2), of
    these the 85 and 70 % that two noises, and those of two sides, do not share."""
    tick = onsets(-4e-3, 6e-3, shape_u_s=(30e-6, 40e-6))
    tock = onsets(-4e-3, 6e-3, shape_u_s=(120e-6, 120e-6))
    found = page_swing(note(tick, tock))
    assert found.shape_u_s == pytest.approx(0.85 * math.sqrt(30**2 + 40**2 + 2 * 120**2) / 2e6)
    assert found.offset_shape_u_s == pytest.approx(0.7 * math.hypot(30, 120) * 1e-6)


def told_alone(onsets_, alone_s, *, by_wave):
    return replace(onsets_, alone_s=np.full(onsets_.unlock_s.size, alone_s), by_wave=by_wave)


def test_where_one_side_is_told_by_powers_alone_so_is_the_other_for_the_beat_error():
    """Powers alone put tick 40 us later than waves did, and tock where it is put anyhow."""
    tick, tock = onsets(-4e-3, 6e-3), onsets(-3.95e-3, 6e-3)
    alone = told_alone(tick, -3.96e-3, by_wave=True), told_alone(tock, -3.95e-3, by_wave=False)
    assert page_swing(note(*alone)).offset_s.value == pytest.approx(10e-6)
    assert page_swing(note(*alone)).time_s.value == pytest.approx(9.975e-3)


def test_where_waves_tell_both_sides_or_powers_find_one_of_them_not_at_all_they_stay():
    """Counter-cases: 50 us, as by the onsets themselves."""
    tick, tock = onsets(-4e-3, 6e-3), onsets(-3.95e-3, 6e-3)
    both = told_alone(tick, -3.9e-3, by_wave=True), told_alone(tock, -3.9e-3, by_wave=True)
    lost = told_alone(tick, math.nan, by_wave=True), told_alone(tock, -3.95e-3, by_wave=False)
    for sides in (both, lost):
        assert page_swing(note(*sides)).offset_s.value == pytest.approx(50e-6)


def test_which_beats_a_draw_holds_is_no_uncertainty_of_these_beats_mean():
    """All that the draws scatter by is in `own_s`: the time over these beats is sure; how far other
    beats' mean would lie off is kept beside it."""
    plain = onsets(-4e-3, 6e-3)
    own = np.random.default_rng(4).normal(0, 1e-4, plain.unlock_s.size)
    own[0] = 0.0
    moved = replace(plain, unlock_s=plain.unlock_s + own, own_s=np.stack([own, np.zeros(own.size)]))
    found = page_swing(note(moved, moved))
    assert found.time_s.u == pytest.approx(0.0, abs=1e-12)
    assert found.offset_s.u == pytest.approx(0.0, abs=1e-12)
    assert found.scatter_u_s == pytest.approx(1e-4, rel=0.5)


def test_sides_that_differ_by_more_than_a_sound_watch_s_widen_the_uncertainty():
    """Spans 10 and 11 ms: 6 % of 10.5 are allowed, 0.37 of the 1 ms are an error, half of it of the
    mean. Spans of 10 and 10.5 ms are within what lifts and drops may do and widen nothing."""
    plain = onsets(-4e-3, 6e-3)
    apart, near = (page_swing(note(plain, onsets(-4e-3, each))) for each in (7e-3, 6.5e-3))
    assert apart.shape_u_s == pytest.approx((1e-3 - 0.06 * 10.5e-3) / 2)
    assert near.shape_u_s == 0.0
    assert unequal_s(np.array([11e-3, 10e-3])) == unequal_s(np.array([10e-3, 11e-3]))


def test_one_side_alone_is_no_swing():
    with pytest.raises(NotEnough, match="only one"):
        page_swing(note(onsets(-4e-3, 6e-3), None))


def test_an_onset_that_is_not_there_is_no_swing():
    with pytest.raises(NotEnough, match="clearly"):
        page_swing(note(onsets(-4e-3, 6e-3), onsets(np.nan, 6e-3)))


def test_an_onset_that_a_fifth_of_the_draws_do_not_find_is_no_swing():
    """Counter-case: where one of sixteen does not find it, the others still tell its scatter."""
    for missing, kept in ((1, True), (5, False)):
        tock = onsets(-4e-3, 6e-3, scatter_s=1e-5)
        tock.unlock_s[1 : 1 + missing] = np.nan
        tick = onsets(-4e-3, 6e-3)
        tick.unlock_s[1 : 1 + missing] = np.nan
        if kept:
            assert 0 < page_swing(note(tick, tock)).time_s.u < 2e-5
        else:
            with pytest.raises(NotEnough, match="clearly"):
                page_swing(note(tick, tock))


def test_the_scatter_of_the_draws_by_hand():
    """Draws at 1 to 5, the others missing: the middle 68.26 % span 2.73, from 1.635 to 4.365 (a
    quarter of the way is a step of 1); the value is that over all beats, and the groups do not
    count."""
    rows = np.concatenate(
        [[7.0], [3.0, 1.0, 5.0, 2.0, 4.0], np.full(DRAWS - 5, np.nan), [50.0, 60.0]]
    )
    found = drawn(rows)
    assert (found.value, found.u) == (7.0, pytest.approx(1.365, abs=1e-3))


def test_one_draw_that_took_another_noise_is_no_scatter():
    rows = np.concatenate([[7.0], np.linspace(6.9, 7.1, DRAWS)])
    astray = rows.copy()
    astray[1] = 300.0
    assert drawn(astray).u == pytest.approx(drawn(rows).u, rel=0.2)
