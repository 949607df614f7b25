"""A watch is listened to: mechanics, sound, room and recorder put one after the other."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from second_sound.mechanics import Beats, work
from second_sound.noise import background, knocks
from second_sound.received import Received, receive
from second_sound.recording import record
from second_sound.truth import Truth
from second_sound.values import Escapement, Recorder, Room, Sound


@dataclass(frozen=True, slots=True)
class Heard:
    """A recording and what is true of it; `truth` times begin at the first sample."""

    samples: NDArray[np.float32]
    rate_hz: int
    truth: Truth


@dataclass(frozen=True, slots=True)
class HeardTogether:
    """One recording of two watches, and what is true of each."""

    samples: NDArray[np.float32]
    rate_hz: int
    first: Truth
    second: Truth


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec:
    """All that makes a recording but its length; the same spec gives the same samples."""

    escapement: Escapement
    sound: Sound
    room: Room
    recorder: Recorder
    seed: int

    def listen(self, duration_s: float = 30.0) -> Heard:
        """Return a recording of that length."""
        return listen(
            self.escapement,
            self.sound,
            self.room,
            self.recorder,
            duration_s=duration_s,
            seed=self.seed,
        )


def listen(
    escapement: Escapement,
    sound: Sound,
    room: Room,
    recorder: Recorder,
    *,
    duration_s: float,
    seed: int,
) -> Heard:
    """Return the recording of one watch."""
    spec = Spec(escapement=escapement, sound=sound, room=room, recorder=recorder, seed=seed)
    beats, received = watch_alone(spec, duration_s)
    samples = finished(received.samples, received, spec)
    return Heard(samples, recorder.rate_hz, truth(beats, received, spec, duration_s))


def together(
    first: Spec, second: Spec, *, duration_s: float = 30.0, second_db: float = 0.0
) -> HeardTogether:
    """Return both watches in the first one's room and recorder.

    `second_db` is the loudness of the second watch's drops against the first one's.
    """
    elsewhere = Spec(
        escapement=second.escapement,
        sound=second.sound,
        room=first.room,
        recorder=first.recorder,
        seed=second.seed,
    )
    beats, received = watch_alone(first, duration_s)
    others, other = watch_alone(elsewhere, duration_s)
    louder = 10 ** (second_db / 20) * np.sqrt(received.drop_power / other.drop_power)
    samples = finished(received.samples + other.samples * louder, received, first)
    second_truth = truth(others, other, elsewhere, duration_s, extra_db=second_db)
    return HeardTogether(
        samples, first.recorder.rate_hz, truth(beats, received, first, duration_s), second_truth
    )


def watch_alone(spec: Spec, duration_s: float) -> tuple[Beats, Received]:
    """Return a watch's impacts and their sound."""
    beats = work(spec.escapement, duration_s, np.random.default_rng([spec.seed, 1]))
    count = round(duration_s * spec.recorder.rate_hz)
    return beats, receive(beats, spec.sound, spec.room, spec.recorder, count, spec.seed)


def finished(watch: NDArray[np.float64], received: Received, spec: Spec) -> NDArray[np.float32]:
    """Return the samples of the file: the watch with noise and knocks, through the recorder."""
    rng = np.random.default_rng([spec.seed, 4])
    room, rate_hz = spec.room, spec.recorder.true_rate_hz
    peak = float(np.max(np.abs(watch)))
    if room.snr_db is not None:
        noise = background(len(watch), rate_hz, room, rng)
        watch = watch + noise * np.sqrt(received.drop_power * 10 ** (-room.snr_db / 10))
    loudest = float(np.max(np.abs(watch)))
    if room.knocks:
        watch = watch + knocks(len(watch), rate_hz, room, rng) * peak * 10 ** (room.knock_db / 20)
    return record(watch, loudest, spec.recorder)


def truth(
    beats: Beats, received: Received, spec: Spec, duration_s: float, *, extra_db: float = 0.0
) -> Truth:
    """Return the truth about the beats that the recording holds from unlocking to drop."""
    end_s = duration_s / (1.0 + 1e-6 * spec.recorder.clock_ppm)
    held = (beats.unlocking_s >= 0) & (beats.drop_s < end_s)
    room = spec.room
    return Truth(
        beats_per_hour=spec.escapement.beats_per_hour,
        lift_deg=spec.escapement.lift_deg,
        side=beats.side[held],
        swing_deg_by_beat=beats.swing_deg[held],
        centre_s=beats.centre_s[held],
        unlocking_s=beats.unlocking_s[held],
        impulse_s=beats.impulse_s[held],
        drop_s=beats.drop_s[held],
        banking_s=beats.banking_s[held],
        unlocking_db=received.unlocking_db,
        impulse_db=received.impulse_db,
        snr_db=float("inf") if room.snr_db is None else room.snr_db + extra_db,
        clock_ppm=spec.recorder.clock_ppm,
    )
