"""Readings of simulated watches and of planted beats; intervals and bounds are worked by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.sound.beats import Beats
from sideshake.sound.clock import SampleClock, unchecked_clock
from sideshake.sound.listener import Heard, Listener, SegmentNote
from sideshake.sound.simulate import DisturbingWheel, SimulatedWatch, simulate
from sideshake.timing.reading import read
from sideshake.timing.stopping_rule import StoppingRule, enough, settled

PERFECT = SampleClock(fast_ppm=Measured(0.0), checked=True)
WANTED = StoppingRule(rate_s_per_day=0.5, amplitude_deg=3.0, least_s=20, most_s=120)


@pytest.fixture(scope="module")
def good():
    """Return a reading whose rate is sure to ±0.4 s a day and its amplitude to ±2 degrees."""
    listener = Listener(48000)
    listener.feed(simulate(SimulatedWatch(), duration_s=12).samples)
    reading = read(listener.hear(), lift_angle_deg=Measured(52.0), clock=PERFECT)
    return with_u(reading, rate=0.2, swing=1.0)


def with_u(reading, *, rate, swing, lift_u=0.0, clock_u=0.0):
    """Return the reading with these standard uncertainties, those of lift angle and clock added."""
    amplitude = reading.amplitude_deg.value
    return replace(
        reading,
        rate_alone_s_per_day=Measured(1.0, rate),
        rate_s_per_day=Measured(1.0, math.hypot(rate, clock_u)),
        lift_angle_deg=Measured(52.0, lift_u),
        amplitude_deg=Measured(amplitude, math.hypot(swing, amplitude * lift_u / 52.0)),
    )


def test_it_is_enough_when_both_are_as_sure_as_wanted(good):
    assert (
        enough(good, WANTED, 34.2) == "rate within 0.5 s a day and amplitude within 3° after 34 s"
    )


@pytest.mark.parametrize("unsure", [{"rate": 0.26, "swing": 1.0}, {"rate": 0.2, "swing": 1.6}])
def test_one_of_the_two_is_not_enough(good, unsure):
    assert enough(with_u(good, **unsure), WANTED, 100) == ""


def test_the_interval_compared_is_the_95_percent_one(good):
    """Half of 0.5 s a day and of 3 degrees are the standard uncertainties allowed."""
    assert enough(with_u(good, rate=0.25, swing=1.5), WANTED, 30) != ""


def test_less_than_the_least_time_is_never_enough(good):
    assert enough(good, WANTED, 19.9) == ""
    assert enough(good, WANTED, 20.0) != ""


def test_at_the_longest_time_it_says_what_is_still_open(good):
    unsure = with_u(good, rate=0.61, swing=4.0)
    assert enough(unsure, WANTED, 119) == ""
    assert enough(unsure, WANTED, 120) == (
        "longest time reached: rate still ±1.2 s a day and amplitude still ±8°"
    )
    assert enough(with_u(good, rate=0.61, swing=1.0), WANTED, 120) == (
        "longest time reached: rate still ±1.2 s a day"
    )


def test_without_rate_or_amplitude_only_the_longest_time_ends_it(good):
    none = replace(good, rate_s_per_day=None, rate_alone_s_per_day=None, amplitude_deg=None)
    assert enough(none, WANTED, 100) == ""
    assert "no rate, for it is not known how many beats" in enough(none, WANTED, 120)
    assert enough(none, WANTED, 120).endswith("and no amplitude yet")


def test_what_listening_cannot_shrink_is_left_out_and_said(good):
    clock_u = unchecked_clock().fast_ppm.u * 0.0864
    said = enough(with_u(good, rate=0.2, swing=1.0, lift_u=1.0, clock_u=clock_u), WANTED, 34)
    assert said == (
        "rate within 0.5 s a day (the sound clock aside) and amplitude within 3° "
        "(the lift angle aside) after 34 s"
    )


def test_the_lift_angle_s_share_is_taken_out_exactly(good):
    """Read twice, once with a lift angle known exactly: that one's uncertainty is left."""
    exact = read(good.heard, lift_angle_deg=Measured(52.0), clock=PERFECT)
    vague = read(good.heard, lift_angle_deg=Measured(52.0, 2.0), clock=PERFECT)
    assert vague.amplitude_deg.u > 3 * exact.amplitude_deg.u
    assert vague.amplitude_alone_deg.u == pytest.approx(exact.amplitude_deg.u, rel=1e-6)
    assert exact.amplitude_alone_deg == exact.amplitude_deg
    assert replace(good, amplitude_deg=None).amplitude_alone_deg is None


@pytest.mark.parametrize(
    "change",
    [{"rate_s_per_day": 0.0}, {"amplitude_deg": -1.0}, {"least_s": 130.0}, {"least_s": -1.0}],
)
def test_what_cannot_be_wanted_is_refused(change):
    with pytest.raises(InputError):
        replace(WANTED, **change)


def test_stopping_as_soon_as_it_is_sure_keeps_the_interval_honest():
    """A rate that stops by its own uncertainty could stop on a lucky streak; 95 % should hold.

    Of 100 watches 95 are expected, 86 is four binomial standard deviations below.
    """
    random, held = np.random.default_rng(7), 0
    for _ in range(100):
        noise = random.normal(0, 0.5e-3, 600)
        for count in range(100, 601, 25):
            reading = read(planted(count, noise), clock=PERFECT)
            if reading.rate_alone_s_per_day.expanded < 0.5:
                break
        assert 100 < count < 600
        held += reading.rate_s_per_day.holds(0.0)
    assert held >= 86


def planted(count, noise_s):
    """Return beats 0.2 s apart with that noise, and no portrait."""
    index = np.arange(count)
    beats = Beats(0.2 * index + noise_s[:count], index, np.ones(count, "f4"))
    note = SegmentNote(start_s=0, end_s=count / 5, heard=count, expected=count)
    return Heard(
        rate_hz=48000, duration_s=count / 5, beats=beats, notes=(note,), portraits=(None, None),
        beats_per_hour=18000, sides=2, told=False, clipped_share=0.0, other_beats_per_hour=None,
    )  # fmt: skip


def swinging(seed, *, drift_deg=0.0, duration_s=30):
    """Return a reading of a watch whose amplitude falls by `drift_deg` a second (a long sine)."""
    turn_s = 2000.0
    slow = DisturbingWheel(period_s=turn_s, amplitude_deg=drift_deg * turn_s / (2 * math.pi))
    listener = Listener(48000)
    watch = SimulatedWatch(amplitude_deg=260.0, wheels=(slow,))
    listener.feed(simulate(watch, duration_s=duration_s, seed=seed).samples)
    return read(listener.hear(), lift_angle_deg=Measured(52.0), clock=PERFECT)


def test_a_steady_swing_is_settled():
    assert sum(settled(swinging(seed)) for seed in range(6)) >= 5


@pytest.mark.parametrize("drift_deg", [1.0, -1.0])
def test_a_swing_that_drifts_is_not(drift_deg):
    assert not any(settled(swinging(seed, drift_deg=drift_deg)) for seed in range(3))


def test_with_one_group_or_no_amplitude_nothing_is_settled(good):
    assert not settled(replace(good, amplitudes_deg=np.array([250.0])))
    assert not settled(replace(good, amplitude_deg=None))


@pytest.mark.parametrize(("apart_deg", "agrees"), [(3.9, True), (4.1, False)])
def test_two_groups_agree_within_what_chance_makes(good, apart_deg, agrees):
    """u 1 degree over 2 groups: a group has root 2, their difference 2; 95 % lie within 4."""
    series = np.array([250.0, 250.0 + apart_deg])
    alone = replace(good, amplitudes_deg=series, amplitude_chance_deg=1.0)
    assert settled(alone) == agrees
