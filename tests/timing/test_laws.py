"""Laws of a whole reading: what must not change it, and how it must change with what is planted."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import resample_poly

from sideshake.core.quantities import Measured
from sideshake.sound.clock import SampleClock
from sideshake.sound.listener import Listener
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import DisturbingWheel, Recorder, SimulatedWatch, simulate
from sideshake.timing.reading import read

RATE_HZ = 48000
PERFECT = SampleClock(fast_ppm=Measured(0.0), checked=True)
LIFT = Measured(52.0)


def reading_of(samples, rate_hz=RATE_HZ, clock=PERFECT):
    listener = Listener(rate_hz)
    listener.feed(samples)
    return read(listener.hear(), lift_angle_deg=LIFT, clock=clock)


@pytest.fixture(scope="module")
def watch():
    """Return 20 s of a watch at 28800 an hour, +7 s/day, 270 degrees, 0.5 ms out of beat."""
    return simulate(
        SimulatedWatch(beats_per_hour=28800, rate_s_per_day=7, beat_error_ms=0.5),
        duration_s=20, room=RoomNoise(snr_db=20), seed=2,
    )  # fmt: skip


@pytest.fixture(scope="module")
def plain(watch):
    return reading_of(watch.samples)


def test_the_reading_is_the_planted_truth(plain):
    """Every figure within its own 95 % interval, and the intervals are narrow."""
    assert plain.rate_s_per_day.holds(7.0)
    assert plain.rate_s_per_day.expanded < 0.05
    assert plain.amplitude_deg.holds(270.0)
    assert plain.amplitude_deg.expanded < 3.0
    assert plain.beat_error_ms.holds(0.5)
    assert plain.beat_error_ms.expanded < 0.05


def test_polarity_changes_nothing(watch, plain):
    flipped = reading_of(-watch.samples)
    assert flipped.rate_s_per_day == plain.rate_s_per_day
    assert flipped.amplitude_deg == plain.amplitude_deg
    assert flipped.beat_error_ms == plain.beat_error_ms


@settings(max_examples=5, derandomize=True, deadline=None)
@given(st.floats(-60, 8))
def test_loudness_changes_nothing(watch, plain, gain_db):
    """From a thousandth up to where it would clip; 32-bit samples round at 1e-7."""
    scaled = reading_of(watch.samples * np.float32(10 ** (gain_db / 20)))
    assert scaled.rate_s_per_day.value == pytest.approx(plain.rate_s_per_day.value, abs=1e-5)
    assert scaled.amplitude_deg.value == pytest.approx(plain.amplitude_deg.value, abs=0.01)
    assert scaled.beat_error_ms.value == pytest.approx(plain.beat_error_ms.value, abs=1e-4)


@settings(max_examples=5, derandomize=True, deadline=None)
@given(st.integers(1, 24_000))
def test_beginning_later_changes_nothing(watch, plain, later):
    """Up to half a second, four beats of 160, are lost: well within the uncertainty.

    Tick and tock may change names; beat error has no sign.
    """
    shifted = reading_of(watch.samples[later:])
    for name in ("rate_s_per_day", "amplitude_deg", "beat_error_ms"):
        one, other = getattr(shifted, name), getattr(plain, name)
        assert one.value == pytest.approx(other.value, abs=2 * one.u), name


@pytest.mark.parametrize(("up", "down", "rate_hz"), [(147, 160, 44100), (2, 1, 96000)])
def test_resampling_agrees_within_the_uncertainty(watch, plain, up, down, rate_hz):
    """Source of the resampling: scipy.signal.resample_poly. The rate rests on the same jitter, but
    also on when each beat's unlocking is told to come, which is open by the room's noise and the
    sample's length; so it agrees within its own standard uncertainty, not far better."""
    again = reading_of(resample_poly(watch.samples, up, down).astype(np.float32), rate_hz)
    one, other = again.rate_s_per_day, plain.rate_s_per_day
    assert one.value == pytest.approx(other.value, abs=other.u)
    for name in ("amplitude_deg", "beat_error_ms"):
        one, other = getattr(again, name), getattr(plain, name)
        assert one.value == pytest.approx(other.value, abs=2 * np.hypot(one.u, other.u)), name


@pytest.mark.parametrize(("up", "down", "rate_hz"), [(147, 320, 22050), (1, 3, 16000)])
def test_a_low_sample_rate_leaves_the_rate(watch, plain, up, down, rate_hz):
    """Each unlocking's own lateness loses its edge with the onsets; the rate stays the planted one
    within its uncertainty, which is less than twice as wide for it."""
    found = reading_of(resample_poly(watch.samples, up, down).astype(np.float32), rate_hz)
    assert found.rate_s_per_day.holds(7.0)
    assert found.rate_s_per_day.u < 2 * plain.rate_s_per_day.u


def test_a_fast_sample_clock_is_undone_by_its_calibration():
    """A recorder 60 ppm fast makes the watch lose 5.18 s a day; told so, the rate is right."""
    truth = simulate(
        SimulatedWatch(rate_s_per_day=4), duration_s=20, room=RoomNoise(snr_db=20),
        recorder=Recorder(clock_ppm=60), seed=3,
    )  # fmt: skip
    wrong = reading_of(truth.samples).rate_s_per_day
    known = SampleClock(fast_ppm=Measured(60.0), checked=True)
    right = reading_of(truth.samples, clock=known).rate_s_per_day
    assert wrong.value == pytest.approx(4 - 60 * 0.0864, abs=0.06)
    assert right.value == pytest.approx(4, abs=0.06)


@settings(max_examples=6, derandomize=True, deadline=None)
@given(
    st.sampled_from([18000, 21600, 28800]), st.floats(-60, 60), st.floats(190, 300), st.floats(0, 2)
)
def test_what_is_planted_is_read(per_hour, rate, swing, error_ms):
    """30 s at 20 dB; the issue's own limits: 0.05 s/day, 2 degrees. The beat error is half the
    difference of alternate intervals between the unlockings planted (trade-facts 3.2.6); it rests
    on two onsets whose attacks (20 to 70 us here) differ from tick to tock, and not on four as when
    it was that of the middle of lift, so it is right to 0.05 ms and not to 0.02."""
    planted = SimulatedWatch(
        beats_per_hour=per_hour, rate_s_per_day=rate, amplitude_deg=swing, beat_error_ms=error_ms
    )
    sound = simulate(planted, duration_s=30, room=RoomNoise(snr_db=20), seed=4)
    between_s = np.diff(sound.unlock_s)
    true_ms = 500 * abs(between_s[::2].mean() - between_s[1::2].mean())
    found = reading_of(sound.samples)
    assert found.rate_s_per_day.value == pytest.approx(rate, abs=0.05)
    assert found.amplitude_deg.value == pytest.approx(swing, abs=2)
    assert found.beat_error_ms.value == pytest.approx(true_ms, abs=0.05)
    assert abs(found.beat_error_ms.value - true_ms) < 3 * found.beat_error_ms.u


@pytest.mark.parametrize("drift_deg_s", [2 / 30, -2 / 30])
def test_an_amplitude_that_drifts_is_no_rate(drift_deg_s):
    """Two degrees in half a minute (a wheel of 2000 s): by the drop alone it would be 0.26 s a day;
    a tenth of that is left at most, and the intervals hold."""
    turn_s = 2000.0
    slow = DisturbingWheel(period_s=turn_s, amplitude_deg=-drift_deg_s * turn_s / (2 * np.pi))
    planted = SimulatedWatch(amplitude_deg=260.0, wheels=(slow,))
    for seed in range(3):
        sound = simulate(planted, duration_s=30, room=RoomNoise(snr_db=25), seed=seed)
        found = reading_of(sound.samples)
        assert found.rate_s_per_day.value == pytest.approx(0, abs=0.026)
        assert found.rate_s_per_day.value == pytest.approx(0, abs=3 * found.rate_s_per_day.u)
        assert found.amplitude_deg.holds(float(sound.amplitude_deg.mean()))


def test_a_short_recording_is_not_too_certain():
    """30 runs of 10 s at 20 dB: 95 % intervals hold the truth in 80 % at the very least (four
    sigma of chance), and no run misses by four standard uncertainties."""
    misses = []
    for seed in range(30):
        planted = SimulatedWatch(beats_per_hour=21000, rate_s_per_day=7, beat_error_ms=0.7)
        found = reading_of(
            simulate(planted, duration_s=10, room=RoomNoise(snr_db=20), seed=seed).samples
        )
        rate = found.rate_s_per_day
        misses.append(abs(rate.value - 7) / rate.u)
    assert np.mean(np.array(misses) <= 2) >= 0.8
    assert max(misses) < 4
