"""The recordings of the season: each reading's watch, simulated in the workshop's room."""

import io
from dataclasses import dataclass

import numpy as np
import soundfile
from numpy.typing import NDArray

from sideshake.demo.visit import Sound
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import DisturbingWheel, Recorder, SimulatedWatch, simulate

DURATION_S = 30.0
WORKSHOP = RoomNoise(snr_db=34.0, hum=0.1, rumble=0.1)
RECORDER = Recorder(rate_hz=48000, clock_ppm=18.0, gain=0.15)
ENDING = "flac"


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordingFile:
    """A recording as a file's bytes."""

    data: bytes
    ending: str
    rate_hz: int
    duration_s: float


def watch_heard(sound: Sound) -> SimulatedWatch:
    """Return the watch to be simulated for a reading."""
    wheels = (
        (DisturbingWheel(period_s=sound.wheel_period_s, delay_ms=sound.wheel_delay_ms),)
        if sound.wheel_period_s
        else ()
    )
    return SimulatedWatch(
        beats_per_hour=sound.beats_per_hour,
        rate_s_per_day=sound.rate_s_per_day,
        amplitude_deg=sound.amplitude_deg,
        lift_angle_deg=sound.lift_angle_deg,
        beat_error_ms=sound.beat_error_ms,
        jitter_us=sound.jitter_us,
        wheels=wheels,
    )


def samples_of(sound: Sound, *, seed: int, duration_s: float = DURATION_S) -> NDArray[np.float32]:
    """Return the sound of a reading's watch in the workshop."""
    return simulate(
        watch_heard(sound), duration_s=duration_s, room=WORKSHOP, recorder=RECORDER, seed=seed
    ).samples


def recording(sound: Sound, *, seed: int, duration_s: float = DURATION_S) -> RecordingFile:
    """Return the recording of a reading as a FLAC file, 16 bits; the same seed, the same bytes."""
    stream = io.BytesIO()
    soundfile.write(
        stream,
        samples_of(sound, seed=seed, duration_s=duration_s),
        RECORDER.rate_hz,
        format="FLAC",
        subtype="PCM_16",
    )
    return RecordingFile(
        data=stream.getvalue(), ending=ENDING, rate_hz=RECORDER.rate_hz, duration_s=duration_s
    )
