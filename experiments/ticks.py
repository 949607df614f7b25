"""Watches of both simulators heard as far as their whole ticks, with their true times.

`trial.py` holds what all experiments share; this is for those about what the noises are
(`explain.py`) and where they begin (`onset.py`).
"""

import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from trial import tuned

from sideshake.core.errors import NotEnough
from sideshake.sound import segment
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch, Simulation, simulate
from sideshake.sound.template import AlignedTicks, Templates, make_templates

sys.path.append(str(Path(__file__).parents[1] / "tests"))

from second_sound import draw
from second_sound.impacts import Force

__all__ = ["FIRST", "SECOND", "Case", "Force", "both", "cases", "draw", "first_watch", "heard"]

DURATION_S = 20.0
FIRST, SECOND = "first", "second"
PER_HOUR = (18000.0, 19800.0, 21600.0, 28800.0)


@dataclass(frozen=True, slots=True)
class Case:
    """A watch heard up to its ticks: its beat, the true time from unlocking to drop, how loud the
    room is against the drop, and which simulator made it."""

    ticks: AlignedTicks
    beat_s: float
    true_s: float
    snr_db: float
    simulator: str

    def portraits(self) -> Templates:
        """Return its portraits as the ear draws them now."""
        return make_templates(self.ticks, beat_s=self.beat_s, seed=0)


def cases(count: int, first_seed: int) -> list[Case]:
    """Return so many watches of each simulator, 10 to 30 dB above their room."""
    made = []
    for seed in range(first_seed, first_seed + count):
        snr_db = float(np.random.default_rng([seed, 61]).uniform(10, 30))
        for one in (first(seed, snr_db), second(seed, snr_db)):
            if one is not None:
                made.append(one)
    return made


def first(seed: int, snr_db: float) -> Case | None:
    """Return a watch of the first simulator."""
    watch, truth = first_watch(seed, snr_db, DURATION_S)
    span_s = truth.drop_s - truth.unlock_s
    true_s = np.mean([span_s[truth.side == side].mean() for side in (0, 1)])
    return heard(truth.samples, truth.rate_hz, watch.beats_per_hour, (float(true_s), snr_db, FIRST))


def first_watch(seed: int, snr_db: float, duration_s: float) -> tuple[SimulatedWatch, Simulation]:
    """Return a watch of `sideshake.sound.simulate`, unlocking from 5 to 24 dB below the drop, and
    its sound."""
    random = np.random.default_rng([seed, 62])
    watch = SimulatedWatch(
        beats_per_hour=float(random.choice(PER_HOUR)),
        amplitude_deg=random.uniform(150, 320),
        beat_error_ms=random.uniform(0, 1),
        jitter_us=random.uniform(5, 40),
        unlock_level=10 ** (random.uniform(-24, -5) / 20),
        impulse_level=10 ** (random.uniform(-22, 4) / 20),
    )
    room = RoomNoise(snr_db=snr_db, echo=random.uniform(0, 0.3))
    return watch, simulate(watch, duration_s=duration_s, room=room, seed=seed)


def second(seed: int, snr_db: float) -> Case | None:
    """Return a watch of `tests/second_sound`."""
    sound = draw(seed, snr_db=snr_db).listen(DURATION_S)
    known = (sound.truth.lift_time_s, snr_db, SECOND)
    return heard(sound.samples, sound.rate_hz, sound.truth.beats_per_hour, known)


def heard(
    samples: np.ndarray, rate_hz: int, per_hour: float, known: tuple[float, float, str]
) -> Case | None:
    """Return the case, None if no beat is found."""
    kept: list[tuple[AlignedTicks, float]] = []

    def keep(ticks: AlignedTicks, *, beat_s: float, seed: int) -> Templates:
        kept.append((ticks, beat_s))
        return make_templates(ticks, beat_s=beat_s, seed=seed)

    with tuned(segment, make_templates=keep):
        try:
            segment.hear_segment(samples, rate_hz, start_s=0.0, beats_per_hour=per_hour)
        except (NotEnough, segment.OtherBeats):
            return None
    return Case(*kept[-1], *known)


def both(some: list[Case]) -> tuple[tuple[str, list[Case]], ...]:
    """Return the cases by simulator."""
    return tuple((name, [one for one in some if one.simulator == name]) for name in (FIRST, SECOND))
