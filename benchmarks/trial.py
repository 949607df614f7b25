"""One simulated recording whose truth is known, and what the ear makes of it."""

import math
from dataclasses import dataclass, field

import numpy as np
from figures import Answer, Levels, Said, Truth
from numpy.typing import NDArray

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import SECONDS_PER_DAY, Measured
from sideshake.sound.clock import SampleClock
from sideshake.sound.listener import Listener
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import Recorder, SimulatedWatch, Simulation, simulate
from sideshake.timing.amplitude import amplitude_deg
from sideshake.timing.reading import Reading, read

BLOCK_S = 1.0
STANDARD_PER_HOUR = (18000.0, 21600.0, 28800.0, 36000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Take:
    """A recording of a watch from either simulator, with what is true of it."""

    samples: NDArray[np.float32]
    rate_hz: int
    beats_per_hour: float
    lift_deg: float
    clock_ppm: float
    truth: Truth
    levels: Levels

    @property
    def beat_s(self) -> float:
        """Return the true mean time of one beat."""
        gain = self.truth.rate_s_per_day / SECONDS_PER_DAY
        return 3600 / self.beats_per_hour / (1 + gain)

    def reading(self) -> Reading:
        """Return what is read with lift angle and sample clock exactly known.

        Raises
        ------
        NotEnough : no watch is heard
        """
        clock = SampleClock(fast_ppm=Measured(self.clock_ppm, 0.0), checked=True)
        lift = Measured(self.lift_deg, 0.0)
        return read_sound(self.samples, self.rate_hz, lift=lift, clock=clock)

    def answer(self, seed: int) -> Answer:
        """Return what is read, or why nothing is, beside the truth."""
        try:
            reading = self.reading()
        except NotEnough as why:
            said, reason = None, str(why)
        else:
            said, reason = said_by(reading), reading.no_amplitude
        return Answer(seed=seed, levels=self.levels, truth=self.truth, said=said, reason=reason)


def said_by(reading: Reading) -> Said:
    """Return the three figures alone: a reading's beats would burden the way between processes."""
    return Said(
        rate_s_per_day=reading.rate_s_per_day,
        amplitude_deg=reading.amplitude_deg,
        beat_error_ms=reading.beat_error_ms,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What the first simulator is asked for. The same trial always gives the same sound."""

    watch: SimulatedWatch
    room: RoomNoise = field(default_factory=RoomNoise)
    recorder: Recorder = field(default_factory=Recorder)
    duration_s: float = 30.0
    seed: int = 0

    def simulation(self) -> Simulation:
        """Return the sound and its truth."""
        return simulate(
            self.watch,
            duration_s=self.duration_s,
            room=self.room,
            recorder=self.recorder,
            seed=self.seed,
        )

    def take(self) -> Take:
        """Return the recording with what is true of it."""
        simulation = self.simulation()
        return Take(
            samples=simulation.samples,
            rate_hz=simulation.rate_hz,
            beats_per_hour=self.watch.beats_per_hour,
            lift_deg=self.watch.lift_angle_deg,
            clock_ppm=self.recorder.clock_ppm,
            truth=truth_of(self, simulation),
            levels=levels_of(self.watch, self.room),
        )

    def reading(self, simulation: Simulation, *, said_watch: bool = False) -> Reading:
        """Return what is read with lift angle and sample clock exactly known.

        `said_watch` : the ear is told that it is a watch, whatever it sounds like

        Raises
        ------
        NotEnough : no watch is heard
        """
        clock = SampleClock(fast_ppm=Measured(self.recorder.clock_ppm, 0.0), checked=True)
        lift = Measured(self.watch.lift_angle_deg, 0.0)
        return read_sound(
            simulation.samples, simulation.rate_hz, lift=lift, clock=clock, said_watch=said_watch
        )


def truth_of(trial: Trial, simulation: Simulation) -> Truth:
    """Return the truth of a trial's recording.

    The rate is the watch's own: what jitter and wheels do to a half minute of it is error that the
    stated uncertainty must cover. Amplitude and beat error are those of the beats in the recording.
    """
    watch, heard = trial.watch, simulation.heard
    took_s = float(np.mean((simulation.drop_s - simulation.unlock_s)[heard]))
    late_s = np.diff(simulation.unlock_s)
    begins = simulation.side[:-1]
    apart_s = late_s[begins == 0].mean() - late_s[begins == 1].mean()
    return Truth(
        rate_s_per_day=watch.rate_s_per_day,
        amplitude_deg=amplitude_deg(
            took_s, beat_s=watch.beat_s, lift_angle_deg=watch.lift_angle_deg
        ),
        beat_error_ms=abs(float(apart_s)) / 2 * 1e3,
    )


def levels_of(watch: SimulatedWatch, room: RoomNoise) -> Levels:
    """Return how loud the noises are, before each side's own voice moves them by up to 1.4 dB."""
    unlocking_db = 20 * math.log10(watch.unlock_level)
    impulse_db = 20 * math.log10(watch.impulse_level)
    return Levels(
        unlocking_db=(unlocking_db, unlocking_db),
        impulse_db=(impulse_db, impulse_db),
        drop_db=room.snr_db,
    )


def read_sound(
    samples: NDArray[np.float32],
    rate_hz: int,
    *,
    lift: Measured | None = None,
    clock: SampleClock | None = None,
    said_watch: bool = False,
) -> Reading:
    """Return the reading of samples fed in blocks of a second.

    Raises
    ------
    NotEnough : no watch is heard
    """
    listener = Listener(rate_hz)
    step = math.ceil(BLOCK_S * rate_hz)
    for at in range(0, samples.size, step):
        listener.feed(samples[at : at + step])
    return read(listener.hear(), lift_angle_deg=lift, clock=clock, said_watch=said_watch)
