"""A check that goes on: planted clocks, both ways, and what must not be stored."""

from dataclasses import replace

import numpy as np
import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.sample_clock.checked import How
from sideshake.sample_clock.computer import SystemClock
from sideshake.sample_clock.kept import kept_clocks
from sideshake.sound.simulate import Recorder, SimulatedWatch, simulate
from sideshake.web.base.underway import MOST
from sideshake.web.readings.listening_sound import Missing
from sideshake.web.sample_clock import check as clock_check
from sideshake.web.sample_clock.answer import answer
from sideshake.web.sample_clock.session import Reference
from tests.sound.stepping import stepping, with_losses

RATE_HZ = 16000
PULSE = Reference(recorder="desk microphone", beats_per_hour=3600, within_ppm=0)


@pytest.fixture(autouse=True)
def _no_check_before():
    clock_check.CHECKS.rows.clear()


def pcm(samples):
    return np.round(samples * 32767).astype("<i2").tobytes()


def heard(seconds=70.0, *, clock_ppm=30.0, lost=(), late_s=0.03, right=True):
    """Return the key of a check that has heard a pulse, block by block, each a little late."""
    key = clock_check.begin(PULSE, RATE_HZ, system=lambda: SystemClock(kept=right, error_s=1e-4))
    sound = with_losses(
        stepping(seconds=seconds, rate_hz=RATE_HZ, clock_ppm=clock_ppm), lost, RATE_HZ
    )
    late = np.random.default_rng(7).exponential(late_s, 10_000)
    step = RATE_HZ // 2
    for number, first in enumerate(range(0, sound.size, step)):
        end_s = (first + step) / RATE_HZ
        end_s = (end_s + sum(long_s for at_s, long_s in lost if at_s < end_s)) / (
            1 + clock_ppm * 1e-6
        )
        clock_check.take_in(
            key, first, pcm(sound[first : first + step]), 1000 + end_s + late[number]
        )
    judged = clock_check.CHECKS.at(key)
    judged.renew_at = 0.0
    judged.renew()
    return key


def found(key, how):
    return clock_check.CHECKS.at(key).found[how]


def test_the_tick_tells_a_planted_clock():
    fast = found(heard(), How.TICK).clock.fast_ppm
    assert abs(fast.value - 30.0) < fast.expanded + 0.3


def test_lost_sound_is_told_and_does_not_bend_the_tick():
    key = heard(lost=((20.5, 0.06), (31.5, 0.08)))
    fast = found(key, How.TICK).clock.fast_ppm
    assert abs(fast.value - 30.0) < fast.expanded + 1.0
    assert "Sound was lost" in answer(clock_check.CHECKS.at(key))["doubts"][0]


def test_a_longer_stretch_comes_before_one_that_looks_surer_but_is_too_short():
    check = clock_check.CHECKS.at(heard(30.0))
    short = check.found[How.TICK]
    surer = replace(short.clock, fast_ppm=Measured(30.0, 1e-6))
    check.found[How.TICK] = replace(short, clock=surer)
    sound = stepping(seconds=70.0, rate_hz=RATE_HZ, clock_ppm=30.0)
    check.hear_anew()
    check.take(check.have, pcm(sound), 1100.0)
    assert check.by_tick().heard_s > 60


def test_a_clock_that_is_sure_is_stored_also_for_what_is_added_by_hand():
    stored = clock_check.store(heard(), How.TICK, also_usual=True)
    assert set(kept_clocks()) == {"desk microphone", "this computer"}
    assert kept_clocks()["desk microphone"] == stored
    assert kept_clocks()["this computer"].fast_ppm == stored.fast_ppm


def test_a_stored_check_is_over():
    key = heard()
    clock_check.store(key, How.TICK, also_usual=False)
    assert set(kept_clocks()) == {"desk microphone"}
    with pytest.raises(InputError, match="opened anew"):
        clock_check.CHECKS.at(key)


def test_less_than_a_minute_is_not_stored():
    with pytest.raises(InputError, match="60 s without a loss"):
        clock_check.store(heard(30.0), How.TICK, also_usual=False)
    assert kept_clocks() == {}


def counted(clock_ppm, *, lost_each_s=0.0, right=True):
    """Return a check that has counted for half an hour: every tenth of a second, a little late."""
    check = clock_check.CHECKS.at(
        clock_check.begin(PULSE, RATE_HZ, system=lambda: SystemClock(kept=right, error_s=1e-3))
    )
    seconds = 0.1 * np.arange(30, 18000)
    kept_s = seconds - lost_each_s * np.floor(seconds / 5)
    check.counts = np.round(kept_s * RATE_HZ * (1 + clock_ppm * 1e-6)).astype(int).tolist()
    late_s = np.random.default_rng(3).exponential(0.02, seconds.size)
    check.at_s = np.maximum.accumulate(1000 + seconds + late_s).tolist()
    return check


def test_the_count_tells_a_planted_clock():
    found = counted(40.0).by_counts()
    assert abs(found.clock.fast_ppm.value - 40.0) < found.clock.fast_ppm.expanded < 6
    assert (found.clock.how, found.clock.name) == (How.COUNTS, "desk microphone")


@pytest.mark.parametrize("right", [False, None])
def test_a_clock_nobody_keeps_right_checks_nothing(right):
    check = counted(40.0, right=right)
    check.renew()
    told = answer(check)["ways"]["counts"]
    assert not told["ready"]
    assert "nothing is known to keep this computer's clock right" in told["advice"]


def test_what_was_counted_is_stored():
    check = counted(40.0)
    check.renew()
    (key,) = clock_check.CHECKS.rows
    stored = clock_check.store(key, How.COUNTS, also_usual=False)
    assert kept_clocks() == {"desk microphone": stored}


def test_a_count_that_loses_sound_again_and_again_is_no_clock():
    with pytest.raises(NotEnough, match="sound is lost"):
        counted(40.0, lost_each_s=0.01).by_counts()


def test_ways_that_agree_raise_no_doubt():
    assert answer(clock_check.CHECKS.at(heard()))["doubts"] == []


def test_silence_says_why_there_is_nothing():
    key = clock_check.begin(PULSE, RATE_HZ)
    quiet = np.random.default_rng(1).normal(0, 0.002, 10 * RATE_HZ)
    told = answer(clock_check.take_in(key, 0, pcm(quiet), 1010.0))["ways"]
    assert told["tick"]["sentence"] == ""
    assert told["tick"]["advice"].startswith("Nothing yet: ")
    assert not told["tick"]["ready"]


def test_a_watch_instead_of_the_tick_is_said_and_the_check_goes_on():
    """A page of sound is 30 s: after that the ear is sure that something else ticks."""
    watch = simulate(
        SimulatedWatch(beats_per_hour=18000), duration_s=62, recorder=Recorder(rate_hz=RATE_HZ)
    )
    key = clock_check.begin(PULSE, RATE_HZ)
    told = answer(clock_check.take_in(key, 0, pcm(watch.samples), 1062.0))
    assert told["have"] == 62 * RATE_HZ
    assert not told["ways"]["tick"]["ready"]


def test_what_is_sent_twice_is_heard_once():
    key = clock_check.begin(PULSE, RATE_HZ)
    block = bytes(2 * RATE_HZ)
    clock_check.take_in(key, 0, block, 1000.0)
    assert clock_check.take_in(key, RATE_HZ // 2, block, 1000.5).have == 3 * RATE_HZ // 2


def test_a_gap_is_asked_for():
    key = clock_check.begin(PULSE, RATE_HZ)
    with pytest.raises(Missing) as missing:
        clock_check.take_in(key, 10, b"", 1000.0)
    assert missing.value.have == 0


def test_the_check_untouched_longest_makes_room():
    keys = [clock_check.begin(PULSE, RATE_HZ) for _ in range(MOST)]
    clock_check.take_in(keys[0], 0, b"", 1e12)
    clock_check.begin(PULSE, RATE_HZ)
    assert keys[0] in clock_check.CHECKS.rows
    assert keys[1] not in clock_check.CHECKS.rows


@pytest.mark.parametrize("what", [{"recorder": " "}, {"within_ppm": 60}])
def test_a_reference_that_cannot_be_is_refused(what):
    with pytest.raises(InputError):
        Reference(**{"recorder": "m", "beats_per_hour": 3600, "within_ppm": 0} | what)


def test_a_recording_without_a_tick_keeps_nothing(tmp_path):
    import soundfile

    path = tmp_path / "noise.wav"
    soundfile.write(path, np.random.default_rng(2).normal(0, 0.01, 10 * RATE_HZ), RATE_HZ)
    with pytest.raises(NotEnough):
        clock_check.from_recording(path, PULSE)
    assert kept_clocks() == {}
