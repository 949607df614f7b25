"""Beats written down by hand with a fault planted: what comes back with each turn is found there.

The shares of false alarms are counted over many recordings of chance alone.
"""

import numpy as np
import pytest
from scipy.signal import lfilter

from sideshake.core.errors import InputError, NotEnough
from sideshake.sound.beats import Beats
from sideshake.sound.listener import Heard, Listener, SegmentNote
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import DisturbingWheel, SimulatedWatch, simulate
from sideshake.timing.reading import read
from sideshake.timing.turn.fold import fold, turn_of
from sideshake.timing.turn.words import repeats

TEETH, PLACES, BEAT_S = 15, 30, 0.2
SIGMA_S = 30e-6


def reading_of(late_s, index=None):
    index = np.arange(late_s.size) if index is None else index
    arrival_s = 0.05 + BEAT_S * index + late_s
    note = SegmentNote(
        start_s=0.0, end_s=float(arrival_s[-1]) + 0.1, heard=index.size, clearness_db=20.0
    )
    heard = Heard(
        rate_hz=48000, duration_s=note.end_s, notes=(note,), portraits=(None, None), sides=2,
        beats=Beats(arrival_s, index, np.ones(index.size, np.float32)), told=False,
        beats_per_hour=3600 / BEAT_S, clipped_share=0.0, other_beats_per_hour=None,
    )  # fmt: skip
    return read(heard)


def noise(count, seed=7, sigma_s=SIGMA_S):
    return np.random.default_rng(seed).normal(0, sigma_s, count)


def even(count):
    return np.arange(count)


def test_a_tooth_that_is_always_late_stands_at_its_place():
    """Ten times the scatter: the reading's own weights leave every one of these beats out."""
    late_s = noise(600)
    late_s[even(600) % PLACES == 13] += 10 * SIGMA_S
    reading = reading_of(late_s)
    assert reading.weight[13] < 0.1
    turn = fold(reading, TEETH)
    assert np.flatnonzero(turn.stands_out).tolist() == [13]
    assert turn.apart_s[13] == pytest.approx(10 * SIGMA_S, abs=3 * turn.apart_u_s[13])
    assert np.abs(np.delete(turn.apart_s, 13)).max() < 4 * turn.apart_u_s.max()
    (said,) = repeats(turn)
    assert "beat 14 of 30, a tock, comes 0.298 ± 0.013 ms" in said
    assert "late: look at" in said


def test_an_early_beat_is_said_to_be_early_and_others_are_counted():
    late_s = noise(900)
    late_s[even(900) % PLACES == 4] -= 3e-4
    late_s[even(900) % PLACES == 9] -= 2e-4
    (said,) = repeats(fold(reading_of(late_s), TEETH))
    assert "beat 5 of 30, a tick, comes" in said
    assert "early, and 1 more stands out" in said


def test_a_wheel_out_of_round_is_a_wave():
    size_s = 2 * SIGMA_S
    late_s = noise(600) + size_s * np.sin(2 * np.pi * even(600) / PLACES)
    turn = fold(reading_of(late_s), TEETH)
    assert turn.wave_s.value == pytest.approx(size_s, abs=3 * turn.wave_u_s)
    (said,) = repeats(turn)
    assert "the beats swing early and late by 57 ± 3 µs" in said


@pytest.mark.parametrize("missing", [0.0, 0.2])
def test_the_mean_and_its_uncertainty_are_the_textbooks(missing):
    """Standard error s / root n of each place (GUM 4.2.3); the counted scatter within 7 %."""
    random = np.random.default_rng(3)
    index = even(3000)[random.random(3000) >= missing]
    late_s = random.normal(0, SIGMA_S, index.size)
    turn = fold(reading_of(late_s, index), TEETH)
    for place in range(PLACES):
        some = late_s[index % PLACES == place]
        assert turn.u_s[place] == pytest.approx(SIGMA_S / np.sqrt(some.size), rel=0.07)
        assert turn.late_s[place] == pytest.approx(some.mean(), abs=1.3 * turn.u_s[place])
    assert turn.scatter_s == pytest.approx(SIGMA_S, rel=0.07)


def test_places_go_on_through_beats_that_were_not_heard():
    index = even(1200)[(even(1200) % 7 != 3) & ((even(1200) < 300) | (even(1200) > 395))]
    late_s = noise(index.size)
    late_s[index % PLACES == 22] += 3e-4
    assert np.flatnonzero(fold(reading_of(late_s, index), TEETH).stands_out).tolist() == [22]


def test_a_knock_now_and_then_moves_no_stem():
    late_s = noise(900)
    late_s[[40, 41, 300, 611, 780]] += 4e-3
    turn = fold(reading_of(late_s), TEETH)
    assert np.abs(turn.late_s).max() < 5 * turn.u_s.max()
    assert repeats(turn) == []


def test_a_slow_wave_is_taken_out_and_told_by_its_size():
    wave_s = 3e-4 * np.sin(2 * np.pi * even(1200) / 300)
    turn = fold(reading_of(noise(1200) + wave_s), TEETH)
    assert turn.slow_s > 5 * turn.scatter_s
    assert turn.scatter_s == pytest.approx(SIGMA_S, rel=0.15)
    assert repeats(turn) == []


def test_the_same_beats_round_another_wheel_do_not_come_back():
    late_s = noise(840)
    late_s[even(840) % 42 == 13] += 3e-4
    assert not repeats(fold(reading_of(late_s), TEETH))
    assert np.flatnonzero(fold(reading_of(late_s), 21).stands_out).tolist() == [13]


CHANCE = {
    "even scatter": lambda random, n: random.normal(0, SIGMA_S, n),
    "a wheel of a minute": lambda random, n: (
        random.normal(0, SIGMA_S, n)
        + 1e-4 * np.sin(2 * np.pi * np.arange(n) / 300 + random.uniform(0, 6))
    ),
    "a wheel of ten seconds": lambda random, n: (
        random.normal(0, SIGMA_S, n)
        + 1e-4 * np.sin(2 * np.pi * np.arange(n) / 51 + random.uniform(0, 6))
    ),
    "a wandering rate": lambda random, n: (
        np.cumsum(random.normal(0, SIGMA_S / 10, n)) + random.normal(0, SIGMA_S, n)
    ),
    "late beats after late ones": lambda random, n: lfilter(
        [1], [1, -0.8], random.normal(0, SIGMA_S, n)
    ),
}


@pytest.mark.parametrize("kind", CHANCE)
def test_chance_alone_is_hardly_ever_said_to_come_back(kind):
    """Meant is 0.4 %; of 100 recordings of four to twenty turns at most 4 may be said to."""
    random = np.random.default_rng(11)
    said = sum(
        bool(repeats(fold(reading_of(CHANCE[kind](random, int(n))), TEETH)))
        for n in random.integers(4 * PLACES, 20 * PLACES, 100)
    )
    assert said <= 4


def test_a_watch_heard_for_real_shows_the_wheel_that_was_planted():
    watch = SimulatedWatch(
        beats_per_hour=18000,
        beat_error_ms=0.6,
        wheels=(DisturbingWheel(period_s=6.0, delay_ms=0.08),),
    )
    sound = simulate(watch, duration_s=45, room=RoomNoise(snr_db=20), seed=3)
    listener = Listener(sound.rate_hz)
    listener.feed(sound.samples)
    turn = fold(read(listener.hear()), TEETH)
    assert turn.wave_s.value == pytest.approx(80e-6, abs=4e-6)
    assert abs(turn.levels_s[1] - turn.levels_s[0]) == pytest.approx(0.6e-3, abs=0.05e-3)
    assert turn.in_beat_known


def test_without_a_beat_error_it_is_said_to_be_unknown():
    assert not fold(reading_of(noise(200)), TEETH).in_beat_known


def test_too_short_a_recording_is_not_folded():
    with pytest.raises(NotEnough, match="4 turns of the escape wheel take 24 s"):
        fold(reading_of(noise(4 * PLACES - 1)), TEETH)
    assert fold(reading_of(noise(4 * PLACES)), TEETH).turns == 4


def test_a_place_hardly_heard_is_not_folded():
    index = even(300)[(even(300) % PLACES != 7) | (even(300) < 60)]
    with pytest.raises(NotEnough, match="too few beats"):
        fold(reading_of(noise(index.size), index), TEETH)


@pytest.mark.parametrize("teeth", [5, 61, -15])
def test_a_wheel_that_cannot_be_is_refused(teeth):
    with pytest.raises(InputError, match="6 to 60"):
        fold(reading_of(noise(600)), teeth)


def test_without_teeth_nothing_is_folded():
    reading = reading_of(noise(600))
    assert turn_of(reading, None) is None
    assert turn_of(reading_of(noise(60)), TEETH) is None
    assert turn_of(reading, TEETH).places == PLACES


def test_scatter_of_nothing_can_be_folded():
    turn = fold(reading_of(np.zeros(300)), TEETH)
    assert np.abs(turn.late_s).max() < 1e-9
    assert repeats(turn) == []
