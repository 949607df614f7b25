"""One simulated recording whose truth is known, and what the ear makes of it."""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from sideshake.quantities import Measured
from sideshake.sound.clock import SampleClock
from sideshake.sound.listener import Listener
from sideshake.sound.room import Room
from sideshake.sound.simulate import Recorder, Simulation, Watch, simulate
from sideshake.timing.reading import Reading, read

BLOCK_S = 1.0
STANDARD_PER_HOUR = (18000.0, 21600.0, 28800.0, 36000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What is simulated. The same trial always gives the same sound."""

    watch: Watch
    room: Room = field(default_factory=Room)
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

    def reading(self, simulation: Simulation) -> Reading:
        """Return what is read with lift angle and sample clock exactly known.

        Raises
        ------
        NotEnough : no watch is heard
        """
        clock = SampleClock(fast_ppm=Measured(self.recorder.clock_ppm, 0.0), checked=True)
        lift = Measured(self.watch.lift_angle_deg, 0.0)
        return read_sound(simulation.samples, simulation.rate_hz, lift=lift, clock=clock)


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """What a perfect instrument would read off this recording.

    `rate_s_per_day` : the watch's own rate; what jitter and wheels do to a half minute of it is
    error that the stated uncertainty must cover
    `amplitude_deg` : mean over the beats that are heard
    `beat_error_ms` : half the difference of alternate intervals between passages of the line of
    centres; between unlockings, or middles of lift, it is up to 1 % more
    """

    rate_s_per_day: float
    amplitude_deg: float
    beat_error_ms: float


def truth_of(trial: Trial, simulation: Simulation) -> Truth:
    """Return the truth of a trial's recording."""
    return Truth(
        rate_s_per_day=trial.watch.rate_s_per_day,
        amplitude_deg=float(simulation.amplitude_deg[simulation.heard].mean()),
        beat_error_ms=trial.watch.beat_error_ms,
    )


def read_sound(
    samples: NDArray[np.float32],
    rate_hz: int,
    *,
    lift: Measured | None = None,
    clock: SampleClock | None = None,
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
    return read(listener.hear(), lift_angle_deg=lift, clock=clock)
