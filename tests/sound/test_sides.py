"""Whether tick and tock are two sounds, on windows made by hand."""

import numpy as np
import pytest

from sideshake.sound.sides import compared_sides, swells_nats, waves_nats
from sideshake.sound.windows import Windows, WindowSpan

SPAN = WindowSpan(lead=100, tail=700, rate_hz=48000)


def windows(tick, tock, *, beats=80, noise=0.05, seed=1):
    random = np.random.default_rng(seed)
    number = np.arange(beats)
    rows = np.array([tick if n % 2 == 0 else tock for n in number], np.float32)
    waves = np.zeros((beats, SPAN.size), np.float32)
    waves[:, : SPAN.length] = rows + noise * random.normal(size=rows.shape)
    return Windows(
        SPAN, 9600 * number, number, (number % 2).astype(np.int8), waves,
        np.fft.rfft(waves, axis=1).astype(np.complex64),
        np.ones(SPAN.size // 2 + 1, np.float32), noise**2,
    )  # fmt: skip


def ring(seed, at=150):
    random = np.random.default_rng(seed)
    wave = np.zeros(SPAN.length)
    wave[at:] = random.normal(size=SPAN.length - at) * np.exp(-np.arange(SPAN.length - at) / 60)
    return wave


def compared(made):
    beats = made.number.size
    return compared_sides(made, np.zeros(beats), np.ones(beats, np.bool_))


def test_two_sounds_are_more_alike_two_beats_apart_than_next_to_each_other():
    found = compared(windows(ring(1), ring(2)))
    assert found.waves_same > 0.99
    assert found.waves_other < 0.6
    assert waves_nats(found) > 1


def test_one_sound_is_as_alike_across_as_on_one_side():
    found = compared(windows(ring(1), ring(1)))
    assert found.waves_other == pytest.approx(found.waves_same, abs=0.01)
    assert waves_nats(found) < -3
    assert swells_nats(found, 0.2) < -1


def test_a_beat_that_alternates_in_loudness_alone_is_one_sound():
    found = compared(windows(ring(1), 0.5 * ring(1)))
    assert waves_nats(found) < -3


def test_noise_new_each_time_says_nothing_by_its_waves():
    random = np.random.default_rng(5)
    made = windows(np.zeros(SPAN.length), np.zeros(SPAN.length), noise=0.01)
    fade = np.exp(-np.arange(SPAN.length) / 200)
    made.waves[:, : SPAN.length] += random.normal(size=(80, SPAN.length)) * fade
    found = compared(made)
    assert abs(waves_nats(found)) < 0.5
    assert swells_nats(found, 0.0) < -1


def test_without_a_beat_for_each_average_there_is_no_answer():
    made = windows(ring(1), ring(2), beats=3)
    assert compared(made) is None
