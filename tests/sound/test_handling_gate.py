"""Quiet stretches between handling. The handling is a simulation of our own: no source."""

import numpy as np
import pytest

from sideshake.core.errors import NotEnough
from sideshake.sound.handling_gate import GateStage, HandlingGate
from sideshake.sound.listener import Listener
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.sound.told import OtherBeats
from sideshake.timing.reading import read

RATE_HZ = 48000


def watch(duration_s, **known):
    return simulate(SimulatedWatch(**known), duration_s=duration_s).samples.astype(np.float32)


def handling(duration_s, seed=7):
    """Rumble and scrapes, far louder than the watch."""
    rng = np.random.default_rng(seed)
    noise = rng.standard_normal(round(duration_s * RATE_HZ))
    rumble = np.convolve(noise, np.ones(400) / 400, mode="same")
    return np.clip(4 * rumble + 0.2 * noise, -0.95, 0.95).astype(np.float32)


def fed(sound, *, rest_s=0.0, block=4800):
    attention = HandlingGate(RATE_HZ, rest_s=rest_s)
    for start in range(0, len(sound), block):
        attention.feed(sound[start : start + block])
    return attention


def test_a_watch_that_lies_still_is_heard_from_the_start():
    attention = fed(watch(12))
    stretch = attention.longest()
    assert attention.stage is GateStage.LISTENING
    assert stretch.first <= 0.2 * RATE_HZ
    assert stretch.length >= 11.7 * RATE_HZ


def test_what_is_heard_is_what_the_listener_hears_in_the_stretch_to_the_last_digit():
    sound = watch(12, rate_s_per_day=8)
    attention = fed(sound, block=1237)
    stretch = attention.longest()
    alone = Listener(RATE_HZ)
    alone.feed(sound[stretch.first : stretch.end])
    assert read(attention.hear()).rate_s_per_day == read(alone.hear()).rate_s_per_day


@pytest.mark.parametrize("block", [480, 4801, 100_000])
def test_the_stretches_do_not_depend_on_the_blocks(block):
    sound = np.concatenate([watch(9), handling(3), watch(14)])
    assert fed(sound, block=block).longest() == fed(sound, block=4800).longest()


def test_handling_begins_a_new_stretch_after_it():
    sound = np.concatenate([watch(9), handling(3), watch(14)])
    stretch = fed(sound).longest()
    assert 11.9 * RATE_HZ <= stretch.first <= 13.5 * RATE_HZ
    assert stretch.end > 25.5 * RATE_HZ


def test_the_stretch_before_handling_is_kept_when_it_is_the_longer_one():
    sound = np.concatenate([watch(20), handling(3), watch(5)])
    stretch = fed(sound).longest()
    assert stretch.first <= 0.2 * RATE_HZ
    assert 18 * RATE_HZ < stretch.end <= 20.2 * RATE_HZ


def test_rest_is_kept_after_handling():
    sound = np.concatenate([handling(3), watch(14)])
    assert fed(sound, rest_s=5).longest().first >= 7.8 * RATE_HZ


def test_it_waits_while_hands_are_about():
    attention = fed(np.concatenate([watch(9), handling(4)]))
    assert attention.stage is GateStage.RESTING
    assert attention.heard_s == 0
    with pytest.raises(NotEnough, match="not quiet"):
        attention.hear()


def test_a_short_knock_ends_nothing():
    sound = watch(20)
    at = 10 * RATE_HZ
    sound[at : at + 7000] += handling(7000 / RATE_HZ)
    attention = fed(sound)
    assert attention.stage is GateStage.LISTENING
    assert attention.longest().length > 19 * RATE_HZ


def test_the_first_reading_comes_within_three_seconds_of_clean_ticking():
    for per_hour in (14400, 18000, 21600, 28800, 36000):
        attention = fed(watch(3.0, beats_per_hour=per_hour))
        assert read(attention.hear()).rate_s_per_day is not None


def test_another_beat_than_the_one_told_is_told_again_and_again():
    sound = watch(40, beats_per_hour=28800)
    attention = HandlingGate(RATE_HZ, beats_per_hour=18000)
    told = []
    for start in range(0, len(sound), 48000):
        attention.feed(sound[start : start + 48000])
        try:
            attention.hear()
        except OtherBeats as fault:
            told.append(round(fault.heard_per_hour, -2))
        except NotEnough:
            told.append(None)
    assert set(told) == {28800, None}
    assert told.count(None) < 10


def test_two_short_knocks_end_nothing_and_no_sound_is_heard_twice():
    sound = watch(24, rate_s_per_day=8)
    for at_s in (8, 15):
        start = at_s * RATE_HZ
        sound[start : start + 7000] += handling(7000 / RATE_HZ, seed=at_s)
    attention = fed(sound)
    stretch = attention.longest()
    assert stretch.length > 23 * RATE_HZ
    alone = Listener(RATE_HZ)
    alone.feed(sound[stretch.first : stretch.end])
    assert read(attention.hear()).rate_s_per_day == read(alone.hear()).rate_s_per_day
