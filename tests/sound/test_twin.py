"""A second watch of the same beat, from the second simulator's two in one room."""

import numpy as np
import pytest
from second_sound import draw, together

from sideshake.sound.listener import Listener
from sideshake.sound.twin import folded, twin_of

BEAT_S = 1 / 8


def course(gains_s_per_day, *, echo=False, turns=240, seed=1):
    """Return loudness in ms: a watch at 0, another at half its beat, by hand."""
    random = np.random.default_rng(seed)
    time_s = np.arange(round(turns * BEAT_S * 1000)) / 1000
    loud = 0.1 * random.random(time_s.size)
    other = BEAT_S / (1 + gains_s_per_day / 86400)
    for beat_s, start_s, level in ((BEAT_S, 0.01, 3.0), (BEAT_S if echo else other, 0.07, 1.0)):
        at = np.arange(start_s, time_s[-1] - 0.01, beat_s)
        for each in range(4):
            loud[np.rint(at * 1000).astype(int) + each] += level * (1 - each / 4)
    return loud


@pytest.mark.parametrize("gains", [-30.0, -8.0, 5.0, 20.0])
def test_it_says_how_the_other_one_runs(gains):
    found = twin_of(course(gains), first=10.0, beat=125.0, frame_s=1e-3)
    assert abs(found.gains * 86400 - gains) < 3 * found.u * 86400 + 0.5


def test_an_echo_is_no_watch():
    assert twin_of(course(0.0, echo=True), first=10.0, beat=125.0, frame_s=1e-3) is None


def test_one_watch_alone_has_no_twin():
    loud = course(0.0, echo=True)
    alone = np.where(np.arange(loud.size) % 125 < 60, loud, 0.1)
    assert twin_of(alone, first=10.0, beat=125.0, frame_s=1e-3) is None


def test_a_short_sound_says_nothing():
    assert twin_of(course(20.0, turns=40), first=10.0, beat=125.0, frame_s=1e-3) is None


def test_a_fold_is_the_mean_over_the_beats():
    np.testing.assert_allclose(folded(np.tile([0.0, 1.0, 2.0, 3.0], 5), 4.0), [0, 1, 2, 3])


def two_watches(rates, *, seed=19):
    one, other = (
        draw(number, snr_db=25.0, beats_per_hour=19800.0, rate_s_per_day=rate, codec=None,
             rate_hz=48000, clock_ppm=0.0)
        for number, rate in zip((5000 + seed, 6000 + seed), rates, strict=True)
    )  # fmt: skip
    return together(one, other, second_db=-6.0)


def test_two_simulated_watches_of_equal_beat_are_noticed():
    sound = two_watches((-3.0, 17.0))
    listener = Listener(sound.rate_hz)
    listener.feed(sound.samples)
    found = listener.hear().twin
    truth = sound.second.rate_s_per_day - sound.first.rate_s_per_day
    assert abs(abs(found.gains) * 86400 - abs(truth)) < 2.0


def test_a_simulated_watch_alone_has_none():
    sound = draw(5019, snr_db=25.0, codec=None).listen(30.0)
    listener = Listener(sound.rate_hz)
    listener.feed(sound.samples)
    assert listener.hear().twin is None
