"""Portraits of simulated watches whose truth is known, and their parts by hand."""

import math

import numpy as np
import pytest

from sideshake.sound.noise import RoomNoise
from sideshake.sound.onset import NoiseOnset
from sideshake.sound.segment import hear_segment
from sideshake.sound.simulate import DisturbingWheel, SimulatedWatch, simulate
from sideshake.sound.template import (
    DRAWS,
    LEAST_U_S,
    clearness_db,
    group_edges,
    row_weights,
    shape_u_s,
)
from sideshake.timing.amplitude import amplitude_deg


def test_clearness_is_the_loudest_millisecond_over_the_background():
    """1 ms of 100 above a background of 1 is 20 dB; half of it in silence is 17."""
    above = np.zeros(2000)
    above[500:524] = 100
    assert clearness_db(above, 1e-3 / 24) == pytest.approx(20)
    above[512:] = 0
    assert clearness_db(above, 1e-3 / 24) == pytest.approx(16.99, abs=0.01)


def test_rows_are_all_draws_and_groups_of_ten_seconds():
    times_s = np.linspace(0, 29.9, 75)
    weights = row_weights(times_s, group_edges(times_s), 1)
    assert weights.shape == (1 + DRAWS + 3, 75)
    assert np.all(weights[0] == 1)
    assert np.mean(weights[1 : 1 + DRAWS]) == pytest.approx(1, abs=0.1)  # Poisson, 1200 of them
    assert np.array_equal(weights[1 + DRAWS :].sum(axis=0), np.ones(75))
    assert weights[1 + DRAWS, :25].all()


def onset(*, rise_s=0.0, smear_s=0.0, apart_s=0.0):
    nothing = np.zeros(1)
    return NoiseOnset(
        at_s=nothing, own_s=nothing, alone_s=nothing, by_wave=True, rise_s=rise_s, smear_s=smear_s,
        apart_s=apart_s, late_s=np.zeros(5),
    )  # fmt: skip


def test_the_uncertainty_of_a_shape_grows_with_each_of_its_causes():
    """Each alone, and together as a root of squares; never less than the least."""
    least = shape_u_s(onset())
    assert least == pytest.approx(LEAST_U_S)
    alone = [shape_u_s(onset(**{name: 1e-3})) for name in ("rise_s", "smear_s", "apart_s")]
    assert all(each > 50e-6 for each in alone)
    whole = shape_u_s(onset(rise_s=1e-3, smear_s=1e-3, apart_s=1e-3))
    assert whole == pytest.approx(math.sqrt(sum(each**2 - least**2 for each in alone) + least**2))


@pytest.mark.parametrize(
    ("per_hour", "swing"), [(18000, 270), (18000, 190), (28800, 300), (21600, 230)]
)
def test_the_simulated_watch_s_onsets_are_found(per_hour, swing):
    """Each time from unlocking to drop within three of the stated uncertainty of its shapes, and
    that is at most 60 us (1.3 degrees at 18000 and 270)."""
    watch = SimulatedWatch(beats_per_hour=per_hour, amplitude_deg=swing, beat_error_ms=0.4)
    truth = simulate(watch, duration_s=30, room=RoomNoise(snr_db=25), seed=per_hour)
    page = hear_segment(truth.samples, truth.rate_hz, start_s=0.0)
    arrival_s, side = page.beats.arrival_s, page.beats.side
    true = np.rint(np.interp(arrival_s, truth.centre_s, np.arange(truth.centre_s.size))).astype(int)
    for one in (0, 1):
        onsets, some = page.portraits.sides[one].onsets, side == one
        unlock_s = np.mean(truth.unlock_s[true[some]] - arrival_s[some])
        drop_s = np.mean(truth.drop_s[true[some]] - arrival_s[some])
        u_s = math.hypot(onsets.unlock_u_s, onsets.drop_u_s)
        assert u_s < 60e-6
        assert onsets.drop_s[0] - onsets.unlock_s[0] == pytest.approx(
            drop_s - unlock_s, abs=3 * u_s
        )
        assert onsets.beats == np.count_nonzero(some)


@pytest.mark.parametrize("per_hour", [18000, 28800])
@pytest.mark.parametrize("swing", [90, 120, 150, 330])
def test_the_window_holds_unlocking_at_every_amplitude(per_hour, swing):
    """At 90 degrees unlocking comes 0.19 beats before the drop, at 330 0.05 (exact sine formula);
    it is named, and the amplitude is the planted one to 1 %."""
    watch = SimulatedWatch(beats_per_hour=per_hour, amplitude_deg=swing)
    truth = simulate(watch, duration_s=15, room=RoomNoise(snr_db=30), seed=5)
    page = hear_segment(truth.samples, truth.rate_hz, start_s=0.0)
    assert page.portraits.explanation.sure
    spans_s = [each.onsets.drop_s[0] - each.onsets.unlock_s[0] for each in page.portraits.sides]
    found = amplitude_deg(float(np.mean(spans_s)), beat_s=watch.beat_s, lift_angle_deg=52)
    assert found == pytest.approx(swing, rel=0.01)


@pytest.mark.parametrize("swing", [120, 270])
def test_there_is_silence_before_the_first_noise_and_after_the_last(swing):
    """4 ms before unlocking and after the drop's ringing the portrait is at the background."""
    truth = simulate(
        SimulatedWatch(amplitude_deg=swing), duration_s=15, room=RoomNoise(snr_db=25), seed=6
    )
    page = hear_segment(truth.samples, truth.rate_hz, start_s=0.0)
    for portrait in page.portraits.sides:
        at_s = portrait.start_s + portrait.step_s * np.arange(portrait.power.size)
        before = portrait.power[at_s < portrait.onsets.unlock_s[0] - 1e-3]
        after = portrait.power[at_s > portrait.onsets.drop_s[0] + 10e-3]
        loudest = portrait.power.max()
        assert before.size * portrait.step_s > 3e-3
        assert after.size * portrait.step_s > 3e-3
        assert max(before.mean(), after.mean()) < 1e-3 * loudest


def test_a_side_of_three_beats_has_no_portrait_and_nothing_is_explained():
    """Seven beats: four a side are the least; the other side's noises stay without a name."""
    truth = simulate(SimulatedWatch(), duration_s=1.4, room=RoomNoise(snr_db=40), seed=1)
    page = hear_segment(truth.samples, truth.rate_hz, start_s=0.0, beats_per_hour=18000)
    four, three = page.portraits.sides
    assert (four.onsets.beats, three) == (4, None)
    assert np.isnan(four.onsets.unlock_s).all()
    assert page.portraits.explanation is None


def test_each_beat_s_middle_is_the_planted_one():
    """A wheel takes 4 degrees and gives them back every 6 s: unlocking comes earlier and the drop
    later by the same, so against the arrival, which follows the loud drop, the middle moves by half
    of what the time from unlocking to drop does."""
    wheel = DisturbingWheel(period_s=6, amplitude_deg=4)
    truth = simulate(
        SimulatedWatch(wheels=(wheel,)), duration_s=30, room=RoomNoise(snr_db=30), seed=2
    )
    beats = hear_segment(truth.samples, truth.rate_hz, start_s=0.0).beats
    true = np.rint(
        np.interp(beats.arrival_s, truth.centre_s, np.arange(truth.centre_s.size))
    ).astype(int)
    middle_s = (truth.unlock_s + truth.drop_s)[true] / 2
    for side in (0, 1):
        some = beats.side == side
        rest = (beats.arrival_s + beats.middle_s - middle_s)[some]
        alone = (beats.arrival_s - middle_s)[some]
        assert np.std(rest) < 0.25 * np.std(alone)
        assert np.std(rest) < 15e-6


def test_a_steady_swing_has_hardly_any_middle_of_its_own():
    """Counter-case: where the noises keep their distance hardly anything is added to the arrivals:
    less than a third of a sample."""
    truth = simulate(SimulatedWatch(), duration_s=15, room=RoomNoise(snr_db=30), seed=2)
    beats = hear_segment(truth.samples, truth.rate_hz, start_s=0.0).beats
    assert np.std(beats.middle_s) < 7e-6
