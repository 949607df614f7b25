"""Noises in the order of an escapement, written down by hand."""

import numpy as np
import pytest

from sideshake.sound.arrival import Arrivals
from sideshake.sound.escapement import (
    NO_SIDE,
    ONE_SIDE,
    Noises,
    chance_evidence,
    missing_nats,
    noises_of,
    order_nats,
    spacing_nats,
)
from sideshake.sound.event import Event
from sideshake.sound.explain import explained
from sideshake.sound.windows import Windows, WindowSpan

BEAT_S = 0.2


def noise(at_ms, level):
    return Event(
        at_s=at_ms / 1e3, level=level, rise=20.0, sigmas=30.0, scale_s=0.125e-3, coherent=True
    )


def noises(tick, tock):
    sides = ([noise(*each) for each in tick], [noise(*each) for each in tock])
    what = explained(*sides, beat_s=BEAT_S, deepest=(1e-2, 1e-2))
    return Noises(profiles=([], []), events=sides, explanation=what)


# unlocking, impulse, drop of 270 degrees at 18000 an hour and 52 degrees of lift: 12.3 ms
TICK = [(-12.3, 50.0), (-8.8, 150.0), (0.0, 1000.0)]
TOCK = [(-12.4, 60.0), (-8.7, 120.0), (0.0, 800.0)]


def test_unlocking_impulse_and_drop_on_both_sides_speak_for_an_escapement():
    assert order_nats(noises(TICK, TOCK), BEAT_S, spaced=True) > 2


def test_one_noise_a_beat_speaks_against_one():
    assert order_nats(noises(TICK[-1:], TOCK[-1:]), BEAT_S, spaced=True) < 0


def test_noises_after_the_loudest_are_no_unlocking():
    bounce = [(0.0, 1000.0), (6.0, 100.0), (9.0, 40.0)]
    assert order_nats(noises(bounce, bounce), BEAT_S, spaced=True) < 0


def test_a_like_spacing_counts_only_where_it_may():
    far = [(-30.0, 900.0), (0.0, 1000.0)]
    assert spacing_nats((noises(far, far).events), BEAT_S) > 1
    assert order_nats(noises(far, far), BEAT_S, spaced=True) >= 1
    assert order_nats(noises(far, far), BEAT_S, spaced=False) < 1


def test_one_side_with_an_earlier_noise_is_better_than_none():
    assert spacing_nats(noises(TICK, TOCK[-1:]).events, BEAT_S) == ONE_SIDE
    assert spacing_nats(noises(TICK[-1:], TOCK[-1:]).events, BEAT_S) == NO_SIDE


def test_a_loudest_noise_alone_is_certain_by_chance():
    assert chance_evidence(noises(TICK[-1:], TOCK[-1:]).explanation) == 0.0


@pytest.mark.parametrize(("clear_db", "times"), [(5, 1.0), (15, 1.0), (30, 2.0), (60, 2.0)])
def test_what_is_missing_counts_more_where_it_would_be_heard(clear_db, times):
    assert missing_nats(-1.0, clear_db) == pytest.approx(-times)


def test_beats_that_wander_over_the_whole_window_have_no_noises():
    """Uneven beats may need shifts as long as the window that was cut for a short tick."""
    span = WindowSpan(lead=150, tail=150, rate_hz=48000)
    number = np.arange(20)
    waves = np.random.default_rng(1).normal(size=(20, span.size)).astype(np.float32)
    windows = Windows(
        span, 9600 * number, number, (number % 2).astype(np.int8), waves,
        np.fft.rfft(waves, axis=1).astype(np.complex64),
        np.ones(span.size // 2 + 1, np.float32), 1.0,
    )  # fmt: skip
    shift = np.where(number % 3 == 0, 140.0, -140.0)
    arrivals = Arrivals(
        shift=shift, strength=np.ones(20), heard=np.ones(20, np.bool_), by_waveform=True,
        coherence=0.5, templates=windows.spectra[:2], profiles=waves[:2], profile_lead=150,
        moment=np.zeros(2),
    )  # fmt: skip
    found = noises_of(windows, arrivals, BEAT_S)
    assert found.events == ([], [])
    assert order_nats(found, BEAT_S, spaced=True) < 0
