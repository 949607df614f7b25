"""Marks stand where the noises were planted, and only where they were found."""

from dataclasses import replace

import numpy as np
import pytest
from heard_watches import heard

from sideshake.sound.simulate import IMPULSE_SHARE, SimulatedWatch
from sideshake.timing.noises import beats_of


@pytest.fixture(scope="module")
def usual():
    return heard(SimulatedWatch(beat_error_ms=0.6), 3)


@pytest.mark.parametrize(
    ("watch", "seed"),
    [
        (SimulatedWatch(beat_error_ms=0.6), 3),
        (SimulatedWatch(beats_per_hour=28800, amplitude_deg=240, beat_error_ms=0.3), 4),
        (SimulatedWatch(beats_per_hour=21600, amplitude_deg=300), 5),
    ],
)
def test_marks_lie_where_the_noises_were_planted(watch, seed):
    """Within 0.2 ms; planted: unlocking, drop, and impulse at its share of the way between."""
    sound, reading = heard(watch, seed)
    beats = beats_of(reading, start_s=0.0)
    assert len(beats) >= 49
    for beat in beats:
        k = int(np.argmin(np.abs(sound.unlock_s - beat.unlock_s)))
        impulse_s = sound.unlock_s[k] + IMPULSE_SHARE * (sound.drop_s[k] - sound.unlock_s[k])
        assert beat.unlock_s == pytest.approx(sound.unlock_s[k], abs=2e-4)
        assert beat.impulse_s == pytest.approx(impulse_s, abs=2e-4)
        assert beat.drop_s == pytest.approx(sound.drop_s[k], abs=2e-4)


def test_marks_move_with_where_the_hearing_began(usual):
    _, reading = usual
    first, later = (beats_of(reading, start_s=each)[0] for each in (0.0, 3600.0))
    assert later.unlock_s - first.unlock_s == pytest.approx(3600.0)


def test_without_an_amplitude_no_noise_is_marked(usual):
    _, reading = usual
    unsure = replace(reading, amplitude_deg=None, no_amplitude="blurred")
    assert [beat.noises for beat in beats_of(unsure, start_s=0.0)[:3]] == [[], [], []]


def test_an_impulse_that_is_not_heard_is_not_marked():
    """In a room quiet enough that no fainter unlocking could be what is not heard."""
    _, reading = heard(SimulatedWatch(impulse_level=0.0), 6, snr_db=40)
    named = {name for beat in beats_of(reading, start_s=0.0) for name, _ in beat.noises}
    assert named == {"unlocking", "drop"}


def test_two_noises_that_could_be_impulse_and_drop_are_not_marked():
    """The same watch in a louder room: unlocking may be what is not heard, and that is said."""
    _, reading = heard(SimulatedWatch(impulse_level=0.0), 6, snr_db=18)
    assert [beat.noises for beat in beats_of(reading, start_s=0.0)[:3]] == [[], [], []]
    assert "fainter unlocking could hide" in reading.no_amplitude
