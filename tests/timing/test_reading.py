"""Readings of planted beats, without any sound; the formulas are worked by hand.

Sources: trade-facts 3.2.6 (beat error), 3.2.10 (rate), 3.2.11 (1 ppm is 0.0864 s a day).
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from hand_made_ticks import explain, surely, tick

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.beats import Beats
from sideshake.sound.clock import SampleClock
from sideshake.sound.listener import Heard, SegmentNote
from sideshake.sound.template import DRAWS, Onsets
from sideshake.timing.nominal import BeatSource, Nominal
from sideshake.timing.reading import rate, read

PERFECT = SampleClock(fast_ppm=Measured(0.0), checked=True)
LIFT = Measured(52.0)


SHAPE_U_S = 10e-6


def onsets(unlock_s, drop_s):
    rows = 1 + DRAWS + 3
    return Onsets(
        unlock_s=np.full(rows, unlock_s), drop_s=np.full(rows, drop_s), unlock_u_s=SHAPE_U_S,
        drop_u_s=SHAPE_U_S, middle_late_s=np.zeros(75),
        unlock_late_s=np.zeros(75), beats=75,
    )  # fmt: skip


def heard(
    *, beat_s=0.2, count=150, apart_s=0.0, scatter_s=1e-6, missing=(), sides=(0, 1), span_s=None
):
    """Return planted beats: side 1 comes `apart_s` late; unlocking 2 ms before each arrival."""
    index = np.array([k for k in range(count) if k not in missing and k % 2 in sides])
    noise = np.random.default_rng(2).normal(0, scatter_s, index.size)
    arrival_s = 0.3 + beat_s * index + apart_s * (index % 2) + noise
    span_s = 12.28e-3 if span_s is None else span_s
    portrait = onsets(-2e-3, -2e-3 + span_s)
    both = tuple(portrait if side in sides else None for side in (0, 1))
    note = SegmentNote(
        start_s=0.0, end_s=30.0, heard=index.size, expected=count, clearness_db=20.0, onsets=both,
        explanation=surely(span_s) if len(sides) == 2 else None,
    )  # fmt: skip
    return Heard(
        rate_hz=48000, duration_s=30.0, beats=Beats(arrival_s, index, np.ones(index.size, "f4")),
        notes=(note,), portraits=(None, None), beats_per_hour=3600 / beat_s, sides=2, told=False,
        clipped_share=0.0, other_beats_per_hour=None,
    )  # fmt: skip


def test_a_short_beat_gains():
    """trade-facts 3.2.10: full period 0.399 953 71 s at 18000 an hour is +10.00 s/day."""
    reading = read(heard(beat_s=0.39995371 / 2), lift_angle_deg=LIFT, clock=PERFECT)
    assert reading.beats_per_hour == 18000
    assert reading.rate_s_per_day.value == pytest.approx(10.0, abs=0.02)
    assert reading.rate_s_per_day.holds(10.0)


def test_a_long_beat_loses():
    reading = read(heard(beat_s=0.2 * (1 + 30 / 86400)), clock=PERFECT)
    assert reading.rate_s_per_day.value == pytest.approx(-30, abs=0.05)


@pytest.mark.parametrize("ppm", [1.0, -40.0])
def test_a_fast_clock_is_taken_off_with_0_0864_seconds_a_day_per_ppm(ppm):
    """A clock that counts too much makes the watch seem slow: the rate rises."""
    fast = SampleClock(fast_ppm=Measured(ppm), checked=True)
    plain, right = (read(heard(), clock=clock) for clock in (PERFECT, fast))
    found = right.rate_s_per_day.value - plain.rate_s_per_day.value
    assert found == pytest.approx(0.0864 * ppm, abs=1e-4 * abs(ppm))


def test_the_clock_s_uncertainty_is_in_the_rate_and_not_in_the_rate_alone():
    """5 ppm is 0.432 s/day."""
    clock = SampleClock(fast_ppm=Measured(0.0, 5.0), checked=True)
    reading = read(heard(), clock=clock)
    alone = reading.rate_alone_s_per_day.u
    assert reading.rate_s_per_day.u == pytest.approx(math.hypot(alone, 0.432), rel=1e-3)
    assert reading.beat_s.u == pytest.approx(5e-6 * 0.2, rel=0.01)


def test_without_a_checked_clock_the_rate_is_open_by_50_ppm():
    """Uniform within 50 ppm, 4.32 s/day: standard uncertainty 2.49."""
    reading = read(heard())
    assert not reading.clock.checked
    assert reading.rate_s_per_day.u == pytest.approx(4.32 / math.sqrt(3), rel=0.01)


def test_the_scatter_gives_the_textbook_uncertainty_of_the_rate():
    """trade-facts 3.2.12: 0.1 ms, 18000 an hour, 30 s: about 0.08 s/day."""
    reading = read(heard(scatter_s=1e-4), clock=PERFECT)
    assert reading.rate_alone_s_per_day.u == pytest.approx(0.08, rel=0.2)  # 150 beats: 6 %
    assert reading.scatter_ms == pytest.approx(0.1, rel=0.25)


@pytest.mark.parametrize("apart_ms", [0.0, 0.6, -0.6, 2.4])
def test_beat_error_is_half_the_difference_of_alternate_intervals(apart_ms):
    """Side 1 late by d: intervals beat + d and beat - d, half their difference is d (trade-facts
    3.2.6), between unlockings."""
    reading = read(heard(apart_s=apart_ms * 1e-3), clock=PERFECT)
    assert reading.beat_error_ms.value == pytest.approx(abs(apart_ms), abs=1e-3)


@pytest.mark.parametrize("later_ms", [0.4, -0.4])
def test_a_drop_that_comes_later_on_one_side_is_no_beat_error(later_ms):
    """The intervals are between unlockings (3.1.1); tock's drop 0.4 ms late leaves them alone."""
    planted = heard(apart_s=0.6e-3)
    later = onsets(-2e-3, -2e-3 + 12.28e-3 + later_ms * 1e-3)
    found = read(with_onsets(planted, planted.notes[0].onsets[0], later), clock=PERFECT)
    assert found.beat_error_ms.value == pytest.approx(0.6, abs=1e-3)
    assert found.beat_error_ms.holds(0.6)


def test_the_beat_error_carries_what_the_unlockings_shapes_leave_open():
    """10 us twice: 14 us but for the 30 % that both share; the drops' are not in it."""
    reading = read(heard(), clock=PERFECT)
    assert reading.beat_error_ms.u == pytest.approx(0.7 * math.sqrt(2) * 10e-3, rel=0.01)


def with_onsets(planted, tick_onsets, tock_onsets):
    note = replace(planted.notes[0], onsets=(tick_onsets, tock_onsets))
    return replace(planted, notes=(note,))


def test_a_different_moment_on_tick_and_tock_is_no_beat_error():
    """Side 1's arrival is read 1.5 ms later in its tick: its onsets lie 1.5 ms earlier."""
    planted = heard(apart_s=1.5e-3)
    first = planted.notes[0].onsets[0]
    second = onsets(first.unlock_s[0] - 1.5e-3, first.drop_s[0] - 1.5e-3)
    same = with_onsets(planted, first, second)
    assert read(same, clock=PERFECT).beat_error_ms.value == pytest.approx(0.0, abs=2e-3)


def test_the_out_of_beat_angle_follows_from_beat_error_and_amplitude():
    """trade-facts 3.4: 1 ms at 18000 and 270 degrees is 2.121 degrees."""
    reading = read(heard(apart_s=1e-3), lift_angle_deg=LIFT, clock=PERFECT)
    assert reading.amplitude_deg.value == pytest.approx(270, abs=0.3)
    assert reading.out_of_beat_deg.value == pytest.approx(2.121, rel=2e-3)


def test_the_amplitude_carries_the_shape_of_the_onsets_and_the_lift_angle():
    """Without scatter the onsets' shapes remain: four of 10 us, half their root sum of squares is
    10 us, of which two noises do not share 85 %; 52 +- 1.73 is 3.3 %. The slope is a little less
    than proportional (exact sine)."""
    known = read(heard(), lift_angle_deg=LIFT, clock=PERFECT).amplitude_deg
    assumed = read(heard(), clock=PERFECT).amplitude_deg
    shape = 270 / 12.28e-3 * 0.85 * SHAPE_U_S
    assert known.u == pytest.approx(shape, rel=0.01)
    assert assumed.u == pytest.approx(math.hypot(known.u, 270 * math.sqrt(3) / 52), rel=0.01)


def test_missing_beats_leave_the_rate():
    reading = read(heard(missing=set(range(40, 85)) | {3, 4, 100}), clock=PERFECT)
    assert reading.rate_s_per_day.value == pytest.approx(0, abs=0.02)


def test_lateness_holds_what_was_planted():
    """One beat 3 ms late is 3 ms late, and it counts nothing in the fit."""
    planted = heard(apart_s=0.5e-3)
    planted.beats.arrival_s[60] += 3e-3
    reading = read(planted, clock=PERFECT)
    # beat error parts tick and tock by half its size to either side
    assert reading.lateness_s[60] == pytest.approx(3e-3 - 0.25e-3, abs=2e-5)
    assert reading.lateness_s[61] == pytest.approx(0.25e-3, abs=2e-5)
    assert reading.weight[60] < 1e-6


def test_a_series_of_amplitudes_comes_for_every_group():
    reading = read(heard(), lift_angle_deg=LIFT, clock=PERFECT)
    assert reading.amplitudes_deg == pytest.approx([270, 270, 270], abs=0.1)
    assert reading.amplitudes_at_s == pytest.approx([5, 15, 25])


def test_unknown_beats_per_hour_give_no_rate():
    reading = read(heard(beat_s=3600 / 17000), clock=PERFECT)
    assert reading.beats_per_hour is None
    assert reading.rate_s_per_day is None
    assert reading.rate_alone_s_per_day is None
    assert reading.beat_s.value == pytest.approx(3600 / 17000, rel=1e-6)


def test_told_beats_per_hour_give_the_rate():
    reading = read(heard(beat_s=3600 / 17000), beats_per_hour=17000, clock=PERFECT)
    assert reading.rate_s_per_day.value == pytest.approx(0, abs=0.02)


def test_the_reading_says_who_told_the_beats_per_hour():
    sheet = Nominal(per_hour=18000.0, source=BeatSource.CALIBRE)
    told = [read(heard(), beats_per_hour=each, clock=PERFECT) for each in (None, 18000, sheet)]
    assert [each.beats_per_hour_from for each in told] == [
        BeatSource.NEAREST, BeatSource.TOLD, BeatSource.CALIBRE,
    ]  # fmt: skip
    assert len({each.rate_s_per_day for each in told}) == 1
    assert read(heard(beat_s=3600 / 16269), clock=PERFECT).beats_per_hour_from is None


def test_told_beats_per_hour_that_are_not_heard_are_refused():
    with pytest.raises(InputError, match=r"21600.*18000"):
        read(heard(), beats_per_hour=21600)


@pytest.mark.parametrize("told", [0.0, -18000.0, 1e-3, math.nan])
def test_impossible_beats_per_hour_are_refused(told):
    with pytest.raises(InputError):
        read(heard(), beats_per_hour=told)


@pytest.mark.parametrize("lift", [0.0, 200.0])
def test_an_impossible_lift_angle_is_refused(lift):
    with pytest.raises(InputError, match="lift angle"):
        read(heard(), lift_angle_deg=Measured(lift))


def test_one_side_gives_a_rate_and_nothing_else():
    reading = read(heard(sides=(0,)), clock=PERFECT)
    assert reading.rate_s_per_day.value == pytest.approx(0, abs=0.02)
    assert reading.amplitude_deg is None
    assert reading.beat_error_ms is None
    assert "one of tick and tock" in reading.no_amplitude


def unsure(planted, explanation):
    return replace(planted, notes=(replace(planted.notes[0], explanation=explanation),))


def test_an_explanation_that_is_not_sure_gives_no_amplitude_but_all_else():
    """Two noises a side in a room where unlocking may hide: the rate is there, and the beat error
    from loudness alone is not made up."""
    found = explain(tick(unlock_db=None), tick(unlock_db=None), room_db=-15.0)
    reading = read(unsure(heard(), found), clock=PERFECT)
    assert reading.amplitude_deg is None
    assert reading.amplitudes_deg.size == 0
    assert reading.beat_error_ms is None
    assert "fainter unlocking could hide" in reading.no_amplitude
    assert reading.rate_s_per_day.value == pytest.approx(0, abs=0.02)


def test_a_sure_explanation_has_no_such_sentence():
    reading = read(unsure(heard(), explain(tick(), tick())), clock=PERFECT)
    assert reading.amplitude_deg.value == pytest.approx(270, abs=0.3)
    assert reading.no_amplitude == ""


def drifting(*, rate_of_drift, count=150, beat_s=0.2, told=True):
    """Return even beats timed by the drop, which comes the later after the middle of lift."""
    planted = heard(count=count, beat_s=beat_s)
    beats = planted.beats
    late_s = rate_of_drift * (beats.arrival_s - beats.arrival_s.mean())
    middle_s = -late_s if told else np.zeros(late_s.size)
    return replace(
        planted, beats=Beats(beats.arrival_s + late_s, beats.index, beats.strength, middle_s)
    )


def test_drops_that_come_later_and_later_after_the_middle_of_lift_are_no_rate():
    """100 us in 30 s would be 0.288 s a day; each beat's middle is told, so nothing is left."""
    moved = read(drifting(rate_of_drift=100e-6 / 30), clock=PERFECT)
    assert moved.rate_s_per_day.value == pytest.approx(0, abs=0.01)


def test_a_drift_that_nobody_tells_is_rate():
    """Counter-case: beats that come later and later with all their noises lose."""
    moved = read(drifting(rate_of_drift=100e-6 / 30, told=False), clock=PERFECT)
    assert moved.rate_s_per_day.value == pytest.approx(-0.288, abs=0.01)


def test_without_placed_noises_the_rate_is_open_by_what_the_amplitude_may_have_drifted():
    """66 us of a beat of 0.2 s: 0.19 s a day over half a minute, and a tenth of that over five."""
    short, long = (
        read(heard(count=count, sides=(0,), scatter_s=1e-7), clock=PERFECT) for count in (150, 1500)
    )
    assert short.rate_alone_s_per_day.u == pytest.approx(66e-6 / 30 * 86400, rel=0.05)
    assert long.rate_alone_s_per_day.u == pytest.approx(66e-6 / 300 * 86400, rel=0.05)
    placed = read(heard(scatter_s=1e-7), clock=PERFECT)
    assert placed.rate_alone_s_per_day.u < 0.01


def test_too_few_beats_are_no_reading():
    with pytest.raises(NotEnough, match="too few"):
        read(heard(count=5))


def test_onsets_too_close_are_no_amplitude_but_a_rate():
    reading = read(heard(span_s=5e-3), clock=PERFECT)
    assert reading.amplitude_deg is None
    assert reading.no_amplitude
    assert reading.rate_s_per_day is not None


def test_rate_by_hand():
    """A beat 100 ppm too short gains 8.64 s a day; 10 and 24 ppm together are 26."""
    found = rate(Measured(0.2 / 1.0001, 10e-6 * 0.2), 18000, 24.0)
    assert found.value == pytest.approx(8.64, abs=1e-6)
    assert found.u == pytest.approx(26 * 0.0864, rel=1e-3)
