"""The simulator's truth against the exact formulas of a balance that swings as a sine.

Sources: trade-facts 3.3 (time from unlocking to drop, derived from simple harmonic motion), 3.2.6
(beat error as half the difference of alternate intervals), 3.2.10 (rate), 3.2.11 (sample clock).
"""

import numpy as np
import pytest

from sideshake.core.errors import InputError
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import DisturbingWheel, Recorder, SimulatedWatch, simulate

UNLOCK_TO_DROP_MS = {
    (14400, 180): 23.070, (14400, 270): 15.350, (18000, 220): 15.083, (18000, 300): 11.049,
    (19800, 270): 11.164, (21600, 180): 15.380, (25200, 270): 8.771, (28800, 220): 9.427,
    (28800, 270): 7.675, (36000, 300): 5.524,
}  # fmt: skip


def even(watch, **options):
    """Return a simulation without jitter."""
    return simulate(watch, duration_s=4, **options)


@pytest.mark.parametrize(("per_hour", "amplitude"), UNLOCK_TO_DROP_MS)
def test_unlocking_to_drop_takes_what_the_table_says(per_hour, amplitude):
    """The table is rounded to 1 us."""
    watch = SimulatedWatch(beats_per_hour=per_hour, amplitude_deg=amplitude, jitter_us=0)
    truth = even(watch)
    span_ms = (truth.drop_s - truth.unlock_s) * 1e3
    assert span_ms == pytest.approx(UNLOCK_TO_DROP_MS[per_hour, amplitude], abs=0.6e-3)


@pytest.mark.parametrize("beat_error_ms", [0.0, 0.8, 3.0, 12.0])
def test_beat_error_is_half_the_difference_of_alternate_intervals(beat_error_ms):
    """Between passages of the line of centres. The sound tells the middle of unlocking and drop
    (span s): with w = pi/beat, sin(w error/2) = sin(w middle/2) cos(w s/2), from the sum of
    A sin(w unlock) = e - lift/2 and A sin(w drop) = e + lift/2."""
    truth = even(SimulatedWatch(beat_error_ms=beat_error_ms, jitter_us=0))
    middle_s = (truth.unlock_s + truth.drop_s) / 2
    half_s = np.abs(np.diff(middle_s, 2)) / 2
    turn, span_s = np.pi / 0.2 / 2, (truth.drop_s - truth.unlock_s)[0]
    error_s = np.arcsin(np.sin(turn * half_s) * np.cos(turn * span_s)) / turn
    assert error_s * 1e3 == pytest.approx(beat_error_ms, abs=1e-9)


def test_ten_seconds_a_day_fast_is_the_known_period():
    """trade-facts 3.2.10: at 18000 an hour, +10 s/day, T = 0.399 953 71 s."""
    truth = even(SimulatedWatch(rate_s_per_day=10, jitter_us=0))
    assert np.diff(truth.centre_s[::2]) == pytest.approx(0.39995371, abs=1e-8)


def loudest_apart_s(truth):
    """Return the mean time between the loudest moments of the beats, by the recorder's count."""
    reach = truth.rate_hz // 20
    at = np.rint(truth.drop_s[1:-1] * truth.rate_hz).astype(int)
    peaks = [k - reach + np.argmax(np.abs(truth.samples[k - reach : k + reach])) for k in at]
    return (peaks[-2] - peaks[0]) / (len(peaks) - 2) / truth.rate_hz


def test_a_fast_sample_clock_makes_the_watch_seem_slow():
    """1000 ppm fast: 20 beats of 0.2 s are counted as 4 ms more; a sample is 21 us."""
    watch = SimulatedWatch(jitter_us=0)
    right, fast = (even(watch, recorder=Recorder(clock_ppm=ppm)) for ppm in (0.0, 1000.0))
    assert loudest_apart_s(fast) / loudest_apart_s(right) - 1 == pytest.approx(1e-3, abs=2e-5)


def test_jitter_has_the_asked_scatter():
    truth = simulate(SimulatedWatch(jitter_us=50), duration_s=100, recorder=Recorder(rate_hz=16000))
    rest = truth.centre_s - np.polyval(
        np.polyfit(np.arange(truth.centre_s.size), truth.centre_s, 1), np.arange(truth.side.size)
    )
    assert np.std(rest) == pytest.approx(50e-6, rel=0.15)  # 500 beats: 3 %


def test_a_wheel_delays_and_weakens_with_its_own_period():
    wheel = DisturbingWheel(period_s=10.0, delay_ms=1.0, amplitude_deg=20.0)
    truth = simulate(SimulatedWatch(jitter_us=0, wheels=(wheel,)), duration_s=20)
    assert np.ptp(truth.amplitude_deg) == pytest.approx(40.0, rel=0.01)
    rest = np.diff(truth.centre_s) - 0.2
    # slope of 1 ms sin(2 pi t / 10 s) over 0.2 s
    assert np.max(rest) == pytest.approx(1e-3 * 2 * np.pi / 10 * 0.2, rel=0.02)


def test_sides_take_turns_and_missing_beats_are_marked():
    truth = simulate(
        SimulatedWatch(),
        duration_s=100,
        room=RoomNoise(missing_share=0.3),
        seed=4,
        recorder=Recorder(rate_hz=16000),
    )
    assert np.all(np.diff(truth.side) != 0)
    assert np.mean(~truth.heard) == pytest.approx(0.3, abs=0.06)  # 500 beats: 0.02


def test_noise_lies_as_far_below_the_drop_as_asked():
    """Source: the definition; power of the loudest millisecond over the noise, 12 dB."""
    truth = even(SimulatedWatch(jitter_us=0), room=RoomNoise(snr_db=12))
    width = truth.rate_hz // 1000
    loudest = np.max(np.convolve(truth.pulse**2, np.full(width, 1 / width), "valid"))
    assert 10 * np.log10(loudest / truth.noise_rms**2) == pytest.approx(12, abs=1e-6)
    quiet = truth.samples[: int(0.02 * truth.rate_hz)]
    assert np.std(quiet) == pytest.approx(truth.noise_rms, rel=0.1)  # 960 samples: 2.3 %


def test_gain_clips_at_full_scale():
    truth = even(SimulatedWatch(), recorder=Recorder(gain=10))
    assert np.max(np.abs(truth.samples)) == 1.0


def test_the_same_seed_gives_the_same_sound():
    first, again, other = (even(SimulatedWatch(), seed=seed) for seed in (5, 5, 6))
    assert np.array_equal(first.samples, again.samples)
    assert not np.array_equal(first.samples, other.samples)


@pytest.mark.parametrize(
    "wrong",
    [
        {"beats_per_hour": 0},
        {"beats_per_hour": -18000},
        {"amplitude_deg": 20},
        {"amplitude_deg": 400},
        {"lift_angle_deg": 0},
        {"amplitude_deg": 60, "beat_error_ms": 80},
    ],
)
def test_a_watch_that_cannot_be_is_refused(wrong):
    with pytest.raises(InputError):
        SimulatedWatch(**wrong)


def test_too_short_and_too_coarse_are_refused():
    with pytest.raises(InputError, match="shorter"):
        simulate(SimulatedWatch(), duration_s=0.3)
    with pytest.raises(InputError, match="sample rate"):
        Recorder(rate_hz=500)
    with pytest.raises(InputError, match="period"):
        DisturbingWheel(period_s=0)
