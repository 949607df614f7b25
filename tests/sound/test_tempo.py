"""Planted ticks in noise, given straight as loudness in frames of one millisecond."""

import numpy as np
import pytest

from sideshake.core.errors import NotEnough
from sideshake.sound.tempo import autocorrelation, find_tempo, fold, levelled, second_beat

FRAME_S = 1e-3
STANDARD = (14400, 16200, 16800, 18000, 19440, 19800, 21000, 21306, 21600, 22320, 25200, 28800,
            32400, 36000)  # fmt: skip


def ticking(
    per_hour,
    *,
    beat_error_s=0.0,
    duration_s=20.0,
    levels=(1.0, 1.0),
    noise=0.3,
    missing=0.0,
    width=3,
):
    """Return loudness with a tick of `width` ms at each beat; tock is late by the beat error."""
    random = np.random.default_rng(round(per_hour))
    course = np.abs(random.normal(0, noise, round(duration_s / FRAME_S)))
    for k in range(int((duration_s - 0.5) * per_hour / 3600)):
        if random.random() >= missing:
            at = round((0.1 + k * 3600 / per_hour + (k % 2) * beat_error_s) / FRAME_S)
            course[at : at + width] += levels[k % 2]
    return course


def apart_s(tempo):
    """Return the time from tick to tock, the shorter way round."""
    gap_s = tempo.second_s - tempo.first_s
    return min(gap_s, tempo.period_s - gap_s)


@pytest.mark.parametrize("per_hour", STANDARD)
def test_each_standard_tempo_is_found(per_hour):
    """Half a frame over 20 s is 25 ppm; the windows forgive 8 ms, 400 ppm."""
    assert find_tempo(ticking(per_hour), FRAME_S).beats_per_hour == pytest.approx(
        per_hour, rel=2e-4
    )


@pytest.mark.parametrize("per_hour", [5100.0, 7012.0, 8765.4, 12345.6, 17143.0, 30011.0, 42500.0])
def test_odd_tempos_are_found(per_hour):
    assert find_tempo(ticking(per_hour), FRAME_S).beats_per_hour == pytest.approx(
        per_hour, rel=3e-4
    )


@pytest.mark.parametrize(
    ("per_hour", "beat_error_s"),
    [(18000, 0.008), (18000, 0.03), (28800, 0.02), (8000, 0.08), (10800, 0.06), (6000, 0.08)],
)
def test_a_large_beat_error_is_not_taken_for_another_tempo(per_hour, beat_error_s):
    """Frames are 1 ms, the fold is smoothed over 5 of them."""
    tempo = find_tempo(ticking(per_hour, beat_error_s=beat_error_s), FRAME_S)
    assert tempo.beats_per_hour == pytest.approx(per_hour, rel=2e-4)
    assert tempo.sides == 2
    assert apart_s(tempo) == pytest.approx(3600 / per_hour - beat_error_s, abs=2.5e-3)


def test_a_faint_tock_is_still_a_beat():
    tempo = find_tempo(ticking(18000, levels=(1.0, 0.6), beat_error_s=0.01), FRAME_S)
    assert tempo.beats_per_hour == pytest.approx(18000, rel=2e-4)


@pytest.mark.parametrize("missing", [0.3, 0.5])
def test_missing_beats_leave_the_tempo(missing):
    assert find_tempo(ticking(21600, missing=missing), FRAME_S).beats_per_hour == pytest.approx(
        21600, rel=3e-4
    )


def test_knocks_leave_the_tempo():
    course = ticking(18000)
    course[np.random.default_rng(1).integers(0, course.size, 20)] += 30.0
    assert find_tempo(course, FRAME_S).beats_per_hour == pytest.approx(18000, rel=2e-4)


def test_a_told_tempo_is_found_even_outside_the_usual_range():
    tempo = find_tempo(ticking(3600, width=25), FRAME_S, beats_per_hour=3600)
    assert tempo.beats_per_hour == pytest.approx(3600, rel=5e-4)


def test_a_told_tempo_is_used_within_two_percent():
    tempo = find_tempo(ticking(18200), FRAME_S, beats_per_hour=18000)
    assert tempo.beats_per_hour == pytest.approx(18200, rel=3e-4)


def test_a_beat_a_second_is_refused_with_its_tempo():
    with pytest.raises(NotEnough, match=r"3[56][0-9]{2} times an hour"):
        find_tempo(ticking(3600, width=25), FRAME_S)


@pytest.mark.parametrize("level", [0.0, 1.0])
def test_silence_has_no_tempo(level):
    with pytest.raises(NotEnough):
        find_tempo(np.full(20_000, level), FRAME_S)


@pytest.mark.parametrize("seed", range(12))
def test_noise_has_no_tempo(seed):
    course = np.abs(np.random.default_rng(seed).normal(size=30_000))
    with pytest.raises(NotEnough, match="repeats"):
        find_tempo(course, FRAME_S)


@pytest.mark.parametrize("per_second", [3, 10, 40])
def test_rain_has_no_tempo(per_second):
    """Drops at random moments, of random loudness."""
    random = np.random.default_rng(per_second)
    course = np.abs(random.normal(0, 0.1, 30_000))
    drops = random.integers(0, 30_000, 30 * per_second)
    np.add.at(course, drops, random.exponential(1.0, drops.size))
    with pytest.raises(NotEnough, match="repeats"):
        find_tempo(course, FRAME_S)


def test_too_short_a_sound_says_how_long_it_must_be():
    with pytest.raises(NotEnough, match="too short"):
        find_tempo(ticking(18000, duration_s=0.65)[:200], FRAME_S)


def test_levelling_takes_off_what_changes_slowly():
    """A ramp has nothing left away from its ends."""
    flat = levelled(np.linspace(0, 1, 5000), FRAME_S, 1.0)
    assert np.abs(flat[600:4000]) == pytest.approx(0, abs=1e-9)


def test_the_autocorrelation_of_a_regular_train_is_one_at_its_period():
    course = np.zeros(10_000)
    course[::200] = 1.0
    likeness = autocorrelation(course - course.mean())
    # smoothed by 0.1 0.2 0.4 0.2 0.1: a single value keeps 0.4
    assert likeness[200] == pytest.approx(0.4, abs=0.01)
    assert abs(likeness[100]) < 0.02


def test_the_fold_leaves_out_the_loudest_quarter():
    """Eight turns of a rising row, one of them a shout: it is gone."""
    course = np.tile(np.arange(100.0), 9)
    course[250] = 1e6
    assert fold(course, 100.0) == pytest.approx(np.arange(100.0))


def test_the_second_beat_stands_where_it_was_planted():
    profile = np.zeros(400) + 0.01 * np.random.default_rng(0).random(400)
    profile[[30, 250]] = 1.0, 0.8
    assert second_beat(profile, 30) == 250


def test_a_second_beat_that_is_too_faint_or_too_near_is_none():
    profile = 0.01 * np.random.default_rng(0).random(400)
    profile[[30, 60, 250]] = 1.0, 0.9, 0.2
    assert second_beat(profile, 30) is None
