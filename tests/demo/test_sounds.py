"""The season's recordings say what the season says."""

import io
from datetime import date

import pytest
import soundfile

from sideshake.core.quantities import Measured
from sideshake.demo.season import season
from sideshake.demo.sounds import recording, samples_of
from sideshake.sound.listener import Listener
from sideshake.timing.reading import read

RECORDED = [
    each for visit in season(date(2026, 11, 25)).visits for each in visit.readings if each.recorded
]


def test_about_a_hundred_and_seventy_recordings_are_made():
    assert 160 <= len(RECORDED) <= 180


@pytest.mark.parametrize("number", range(0, len(RECORDED), 13))
def test_a_recording_is_read_as_it_was_told(number):
    sound = RECORDED[number]
    listener = Listener(48000, beats_per_hour=sound.beats_per_hour)
    listener.feed(samples_of(sound, seed=number)[:, None])
    said = read(
        listener.hear(),
        lift_angle_deg=Measured(sound.lift_angle_deg, 0.5),
        beats_per_hour=sound.beats_per_hour,
    )
    assert said.rate_s_per_day.holds(sound.rate_s_per_day)
    assert said.amplitude_deg.value == pytest.approx(sound.amplitude_deg, abs=3)
    assert said.beat_error_ms.value == pytest.approx(sound.beat_error_ms, abs=0.1)


def test_a_recording_is_a_flac_file_and_the_same_each_time():
    made = recording(RECORDED[0], seed=1, duration_s=2.0)
    assert made == recording(RECORDED[0], seed=1, duration_s=2.0)
    assert soundfile.info(io.BytesIO(made.data)).duration == pytest.approx(2.0)
