"""The second simulator's mechanics against hand physics and the tables of the trade facts."""

import numpy as np
import pytest
from second_sound.mechanics import Beats, flight_s, half_swings, work
from second_sound.truth import Truth, amplitude_deg
from second_sound.values import Escapement

IDEAL = {
    "waver_deg": 0.0,
    "drop_wheel_deg": (0.0, 0.0),
    "quality": 1e9,
    "unlocking_jitter_us": 0.0,
}


def worked(duration_s=20.0, seed=1, **given) -> Beats:
    return work(Escapement(**given), duration_s, np.random.default_rng(seed))


def true_of(beats: Beats, escapement: Escapement) -> Truth:
    none = (float("nan"), float("nan"))
    return Truth(
        beats_per_hour=escapement.beats_per_hour,
        lift_deg=escapement.lift_deg,
        side=beats.side,
        swing_deg_by_beat=beats.swing_deg,
        centre_s=beats.centre_s,
        unlocking_s=beats.unlocking_s,
        impulse_s=beats.impulse_s,
        drop_s=beats.drop_s,
        banking_s=beats.banking_s,
        unlocking_db=none,
        impulse_db=none,
        snr_db=float("inf"),
        clock_ppm=0.0,
    )


def ideal(seed=1, **given) -> Truth:
    escapement = Escapement(**(IDEAL | given))
    return true_of(work(escapement, 20.0, np.random.default_rng(seed)), escapement)


# trade-facts 3.3 (derived from simple harmonic motion): ms from first to third noise, lift 52 deg
LIFT_TIMES_MS = {
    14400: (23.070, 18.853, 15.350, 13.811),
    18000: (18.456, 15.083, 12.280, 11.049),
    19800: (16.778, 13.711, 11.164, 10.044),
    21600: (15.380, 12.569, 10.233, 9.207),
    25200: (13.183, 10.773, 8.771, 7.892),
    28800: (11.535, 9.427, 7.675, 6.905),
    36000: (9.228, 7.541, 6.140, 5.524),
}


@pytest.mark.parametrize(("beats", "times_ms"), LIFT_TIMES_MS.items())
def test_without_flight_the_lift_takes_the_table_s_time(beats, times_ms):
    for swing, time_ms in zip((180, 220, 270, 300), times_ms, strict=True):
        true = ideal(beats_per_hour=beats, amplitude_deg=swing)
        assert true.lift_time_s * 1e3 == pytest.approx(time_ms, abs=0.00051)
        assert true.trade_amplitude_deg == pytest.approx(swing, abs=1e-6)
        assert true.swing_deg == pytest.approx(swing, abs=1e-9)


def test_the_trade_s_formula_gives_the_published_spot_values():  # trade-facts 3.3
    spots = [(52, 28800, 7.7, 269.12), (49, 18000, 11.0, 283.94), (42, 18000, 10.0, 267.66)]
    for lift, beats, time_ms, swing in spots:
        assert amplitude_deg(lift, beats, time_ms * 1e-3) == pytest.approx(swing, abs=0.006)


# trade-facts 3.4 (derived): degrees out of beat that make 1.0 ms, half-difference convention
ONE_MS_DEG = {
    14400: (1.382, 1.696, 1.885),
    18000: (1.728, 2.121, 2.356),
    19800: (1.901, 2.333, 2.592),
    21600: (2.073, 2.545, 2.827),
    28800: (2.765, 3.393, 3.770),
    36000: (3.456, 4.241, 4.712),
}


@pytest.mark.parametrize(("beats", "angles"), ONE_MS_DEG.items())
def test_an_angle_out_of_beat_makes_the_table_s_beat_error_at_the_centre(beats, angles):
    for swing, angle in zip((220, 270, 300), angles, strict=True):
        for sign in (-1, 1):
            given = {"amplitude_deg": swing, "out_of_beat_deg": sign * angle}
            true = ideal(beats_per_hour=beats, **given)
            assert true.beat_error_at_centre_ms == pytest.approx(1.0, abs=0.0004)


def test_at_unlocking_the_same_angle_makes_a_little_more():
    """By hand, 18000, 200 deg, 10 deg out of beat: unlocking at asin((+-10 - 26) / 200)."""
    true = ideal(amplitude_deg=200.0, out_of_beat_deg=10.0)
    late, early = np.arcsin(-16 / 200), np.arcsin(-36 / 200)
    assert true.beat_error_ms == pytest.approx(200 / np.pi * (late - early), rel=1e-9)
    assert true.beat_error_ms > true.beat_error_at_centre_ms + 0.03


def test_a_watch_in_beat_has_none():
    assert ideal().beat_error_ms < 1e-9


def test_unequal_lifts_look_like_a_beat_error_at_unlocking_only():
    true = ideal(lift_inequality=0.03)
    assert true.beat_error_at_centre_ms < 1e-9
    early_ms = 200 / np.pi * (np.arcsin(26 * 1.03 / 270) - np.arcsin(26 * 0.97 / 270))
    assert true.beat_error_ms == pytest.approx(early_ms, rel=1e-9)


def test_ten_seconds_a_day_is_the_handbook_s_period():
    """trade-facts 3.2.10: +10 s/day at 18000 is T = 0.399 953 71 s."""
    true = ideal(rate_s_per_day=10.0)
    both = true.unlocking_s[2:] - true.unlocking_s[:-2]
    assert both == pytest.approx(np.full(len(both), 0.39995371), abs=5e-9)
    assert true.rate_s_per_day == pytest.approx(10.0, abs=1e-6)
    assert true.rate_at_unlocking_s_per_day == pytest.approx(10.0, abs=1e-6)


def test_beat_error_does_not_enter_the_rate():
    assert ideal(rate_s_per_day=-7.0, out_of_beat_deg=5.0).rate_s_per_day == pytest.approx(-7.0)


def test_a_clock_that_runs_fast_makes_the_watch_lose():
    """trade-facts 3.2.11: 1 ppm is 0.0864 s/day."""
    true = ideal()
    fast = Truth(**{**vars_of(true), "clock_ppm": 100.0})
    assert fast.rate_in_file_s_per_day == pytest.approx(-8.64, abs=0.001)


def vars_of(true: Truth) -> dict:
    return {name: getattr(true, name) for name in Truth.__dataclass_fields__}


def test_impulses_after_the_centre_cost_what_airy_says():
    """trade-facts 4.6, Q 200, 5 deg: -7.2 s/day at 150, -6.0, -4.9, -4.0, -3.6 at 300 deg."""
    swings = np.array([150.0, 180.0, 220.0, 270.0, 300.0])
    steady = Escapement(impulse_after_deg=5.0, quality=200.0)
    halves_s = half_swings(steady, swings, np.random.default_rng(0))
    rate = 86400 * (0.2 - halves_s) / halves_s
    assert rate - rate[3] == pytest.approx(np.array([-3.2, -2.0, -0.9, 0.0, 0.4]), abs=0.06)


def test_the_free_wheel_s_flight_is_that_of_the_step_by_step_sum():
    turn, speed, acceleration = 1.5, 500.0, 1.0e6
    step_s, t, done = 1e-8, 0.0, 0.0
    while done < turn:
        done += (speed + acceleration * (t + step_s / 2)) * step_s
        t += step_s
    flown = flight_s(np.array([turn]), np.array([speed]), np.array([acceleration]))[0]
    assert flown == pytest.approx(t, abs=2e-8)
    assert flight_s(np.array([0.0]), np.array([500.0]), np.array([1e6]))[0] == 0.0


def test_the_flight_makes_the_trade_s_amplitude_less_than_the_swing():
    flying = ideal(drop_wheel_deg=(1.5, 1.5), leaving_share=0.0, torque_waver=0.0)
    still = ideal()
    flight = np.sqrt(2 * 1.5 / 1.0e6)  # from rest
    assert flying.lift_time_s - still.lift_time_s == pytest.approx(flight, rel=1e-6)
    assert flying.swing_deg == pytest.approx(still.swing_deg)
    assert flying.trade_amplitude_deg < still.trade_amplitude_deg - 10
    assert still.apparent_lift_deg == pytest.approx(52.0)
    found = amplitude_deg(flying.apparent_lift_deg, 18000, flying.lift_time_s)
    assert found == pytest.approx(flying.swing_deg)
    assert flying.apparent_lift_deg > 54


def test_a_tooth_out_of_place_changes_two_flights_a_turn_on_each_side():
    beats = worked(60.0, tooth_wheel_deg=0.2, torque_waver=0.0, **ideal_swing())
    took = beats.drop_s - beats.unlocking_s
    for pair in range(30):
        same = took[beats.pair == pair]
        assert same == pytest.approx(np.full(len(same), same[0]), abs=1e-9)
    each = np.array([took[beats.pair == pair][0] for pair in range(30)])
    assert np.std(each[::2]) > 3e-5


def ideal_swing() -> dict:
    return {"waver_deg": 0.0, "unlocking_jitter_us": 0.0}


def test_a_heavier_wheel_gives_its_impulse_later_and_a_wavering_torque_irregularly():
    light = worked(wheel_acceleration=2e6, torque_waver=0.0, **ideal_swing())
    heavy = worked(wheel_acceleration=8e5, torque_waver=0.0, **ideal_swing())
    unsteady = worked(wheel_acceleration=8e5, torque_waver=0.2, **ideal_swing())
    waits = [each.impulse_s - each.unlocking_s for each in (light, heavy, unsteady)]
    assert waits[1].mean() > waits[0].mean() + 1e-3
    assert np.std(waits[1][::2]) < 1e-6  # the sides differ by their drops
    assert np.std(waits[2][::2]) > 2e-4


def test_the_waver_has_the_deviation_and_the_memory_asked_for():
    beats = worked(2000.0, waver_deg=2.0, waver_beats=10.0)
    off = beats.swing_deg - 270.0
    assert np.std(off) == pytest.approx(2.0, rel=0.06)
    assert np.mean(off[10:] * off[:-10]) / np.var(off) == pytest.approx(np.exp(-1), abs=0.05)


def test_the_drift_and_the_turn_of_the_wheel_are_in_the_swing():
    drifting = worked(30.0, waver_deg=0.0, drift_deg=1.0).swing_deg
    assert drifting[150] - drifting[0] == pytest.approx(1.0, rel=1e-6)
    turning = worked(30.0, waver_deg=0.0, turn_deg=2.0).swing_deg
    assert turning[30:] == pytest.approx(turning[:-30])
    assert np.ptp(turning) == pytest.approx(4.0, rel=0.01)


def test_wander_grows_with_the_root_of_time():
    ends = []
    for seed in range(200):
        rng = np.random.default_rng(seed)
        halves_s = half_swings(Escapement(wander=2.0), np.full(4500, 270.0), rng)  # 15 minutes
        ends.append(86400 * (0.2 - halves_s[-1]) / 0.2)
    assert np.std(ends) == pytest.approx(1.0, rel=0.15)


def test_the_impacts_follow_each_other_and_some_never_come():
    beats = worked(120.0, banking_missing=0.3, torque_waver=0.2, waver_deg=3.0)
    assert np.all(beats.unlocking_s < beats.impulse_s)
    assert np.all(beats.impulse_s < beats.drop_s)
    missing = np.isnan(beats.banking_s)
    assert 0.2 < missing.mean() < 0.4
    assert np.all(beats.banking_s[~missing] > beats.drop_s[~missing])
    assert np.all(np.diff(beats.side) != 0)


def test_a_swing_that_does_not_reach_the_notch_is_refused():
    with pytest.raises(ValueError, match="does not work the lever"):
        Escapement(amplitude_deg=25.0, lift_deg=52.0)
