"""The ear against a simulator that shares nothing with it: `tests/second_sound`.

Source of the truth: the mechanics there, computed from the balance's motion and the escape wheel's,
by the trade's conventions (trade-facts 3.1.1, 3.1.6, 3.2.1, 3.2.6, 3.2.10). Watches, rooms and
recorders are drawn at random; sample clock, lift angle and beats an hour are told exactly, so that
only the ear's own uncertainty is judged.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from second_sound import Truth, draw

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.clock import SampleClock
from sideshake.sound.listener import Listener
from sideshake.timing.reading import Reading, read

SEEDS = range(200, 211)
SNR_DB = (25.0, 15.0, 10.0)
LEAST_HELD = 0.85
"""95 % are stated. Of 33 readings 31 are expected to hold, with a standard deviation of 1.3: 85 %
lies 2.6 of them below; of 18 amplitudes it lies 1.9 below. Seeds are fixed, so that it is either
always kept or never."""
WORST_U = 6.0
"""None may be off by more than three half-widths of its interval, 2 u each: where a noise is taken
for another it is off by ten and more."""


@dataclass(frozen=True)
class Run:
    """What is true of a recording, and what was read; None where it was refused."""

    truth: Truth
    reading: Reading | None


FIGURES = {
    "rate_s_per_day": lambda truth: truth.rate_s_per_day,
    "amplitude_deg": lambda truth: truth.trade_amplitude_deg,
    "beat_error_ms": lambda truth: truth.beat_error_ms,
}


@cache
def run(seed: int, snr_db: float, **changes) -> Run:
    """Return half a minute of a drawn watch, and its reading."""
    sound = draw(seed, snr_db=snr_db, **changes).listen(30.0)
    truth = sound.truth
    listener = Listener(sound.rate_hz)
    listener.feed(sound.samples)
    try:
        found = read(
            listener.hear(),
            lift_angle_deg=Measured(truth.lift_deg),
            beats_per_hour=truth.beats_per_hour,
            clock=SampleClock(fast_ppm=Measured(truth.clock_ppm), checked=True),
            said_watch=True,
        )
    except NotEnough:
        found = None
    return Run(truth, found)


def sigmas(runs: list[Run], name: str) -> np.ndarray:
    """Return how many standard uncertainties each figure given lies off."""
    found = []
    for one in runs:
        measured = None if one.reading is None else getattr(one.reading, name)
        if measured is not None:
            found.append((measured.value - FIGURES[name](one.truth)) / measured.u)
    return np.array(found)


def all_runs() -> list[Run]:
    return [run(seed, snr_db) for snr_db in SNR_DB for seed in SEEDS]


@pytest.mark.parametrize("name", FIGURES)
def test_the_stated_intervals_hold_the_truth(name):
    off = sigmas(all_runs(), name)
    assert np.mean(np.abs(off) < 2.0) >= LEAST_HELD
    assert np.max(np.abs(off)) < WORST_U


def test_every_watch_is_heard():
    """At 10 dB over the room and more; one of 33 may be refused."""
    assert sum(one.reading is None for one in all_runs()) <= 1


def test_the_amplitude_is_given_in_most_quiet_rooms():
    """Three of four at 25 dB, where only unlockings 20 dB and more below the drop are lost."""
    given = [run(seed, 25.0).reading.amplitude_deg is not None for seed in SEEDS]
    assert np.mean(given) >= 0.75


def test_where_there_is_no_amplitude_the_reason_is_said_and_only_there():
    for one in all_runs():
        if one.reading is not None:
            assert (one.reading.amplitude_deg is None) == bool(one.reading.no_amplitude)


def test_the_intervals_are_narrow_in_quiet_rooms():
    """Median half-widths at 25 dB: a quarter of a second a day, 2 degrees, 0.15 ms. These watches
    waver: by themselves half a minute leaves the rate open by some 0.1 s a day."""
    readings = [run(seed, 25.0).reading for seed in SEEDS]
    for name, most in (("rate_s_per_day", 0.25), ("amplitude_deg", 2.0), ("beat_error_ms", 0.15)):
        half = [getattr(r, name).expanded for r in readings if getattr(r, name) is not None]
        assert np.median(half) < most, name


@pytest.mark.parametrize("seed", range(220, 224))
def test_a_lossy_codec_leaves_the_figures(seed):
    """Vorbis and back, 25 dB."""
    through = [run(seed, 25.0, codec="vorbis")]
    for name in FIGURES:
        assert np.all(np.abs(sigmas(through, name)) < 3.0), name
    assert sigmas(through, "rate_s_per_day").size == 1


def test_a_codec_costs_few_amplitudes():
    given = [run(seed, 25.0, codec="vorbis").reading.amplitude_deg for seed in range(220, 224)]
    assert sum(each is not None for each in given) >= 2


USUAL_SOUND = {
    "unlocking_db": (-12.0, -13.0), "impulse_db": (-8.0, -7.0), "banking_db": None,
    "double_share": 0.0, "new_share": (0.1, 0.2, 0.2, 0.2),
}  # fmt: skip
"""A tick of which every noise can be heard."""


@pytest.mark.parametrize("swing", [100.0, 130.0, 330.0])
def test_the_window_holds_the_tick_at_low_and_high_amplitudes(swing):
    """At 100 degrees unlocking and drop stand 0.17 beats apart."""
    found = run(
        230, 30.0, amplitude_deg=swing, lift_deg=52.0, beats_per_hour=18000.0, out_of_beat_deg=1.0,
        **USUAL_SOUND,
    )  # fmt: skip
    measured = found.reading.amplitude_deg
    assert measured.value == pytest.approx(found.truth.trade_amplitude_deg, abs=3 * measured.u)
    assert measured.u < 0.02 * swing + 1


@pytest.mark.parametrize("drift_deg", [2.0, -2.0])
def test_an_amplitude_that_drifts_is_no_rate(drift_deg):
    """Two degrees in half a minute move the drop by 90 us against the middle of lift at 18000 and
    270, 0.26 s a day if it were rate. Three watches each way."""
    runs = [
        run(
            seed, 25.0, drift_deg=drift_deg, turn_deg=0.0, waver_deg=0.3, beats_per_hour=18000.0,
            amplitude_deg=260.0, lift_deg=52.0, period_jitter_us=0.0, flicker_s_per_day=0.0,
            **USUAL_SOUND,
        )
        for seed in range(240, 243)
    ]  # fmt: skip
    off = sigmas(runs, "rate_s_per_day")
    assert np.all(np.abs(off) < 3.0)
    errors = [one.reading.rate_s_per_day.value - one.truth.rate_s_per_day for one in runs]
    assert abs(np.mean(errors)) < 0.1


def test_drops_that_differ_are_no_beat_error():
    """The wheel falls 1.9 degrees on one side and 0.9 on the other, so the drops come 0.4 ms apart;
    in beat at the unlockings. Four watches: no bias, and each within its interval's 3 u."""
    runs = [
        run(
            seed, 25.0, drop_wheel_deg=(1.9, 0.9), out_of_beat_deg=0.0, beats_per_hour=18000.0,
            amplitude_deg=260.0, lift_deg=52.0, **USUAL_SOUND,
        )
        for seed in range(250, 254)
    ]  # fmt: skip
    assert np.all(np.abs(sigmas(runs, "beat_error_ms")) < 3.0)
    errors = [one.reading.beat_error_ms.value - one.truth.beat_error_ms for one in runs]
    assert abs(np.mean(errors)) < 0.08


def test_an_impulse_louder_than_the_drop_is_no_unlocking():
    """At 20 dB, unlocking 25 dB under the drop, the impulse 3 and 6 dB over it, and echoes: ear 4
    took the impulse for unlocking and said 261 ± 9 degrees for 166."""
    found = run(70276, 20.0)
    assert np.all(np.abs(sigmas([found], "amplitude_deg")) < 3.0)


def test_the_impulse_is_so_loud_there():
    """Counter-case: the watch is the one that is meant."""
    truth = run(70276, 20.0).truth
    assert max(truth.unlocking_db) < -24.0
    assert min(truth.impulse_db) > 2.0
