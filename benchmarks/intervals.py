"""Do the stated 95 % intervals hold the truth as often as they say?

Half-minute recordings of watches drawn at random, sample clock and lift angle exactly known, so
that nothing but the ear's own uncertainty is judged.
"""

import argparse
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from both_cores import spread
from figures import FIGURES, Answer, errors_of, is_wanted, show_figures
from show import mark, say
from trial import Trial

from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import DisturbingWheel, Recorder, SimulatedWatch

RUNS = 300
QUICK_RUNS = 60
ESCAPE_TEETH = 15
PER_HOUR = (14400.0, 18000.0, 19800.0, 21600.0, 25200.0, 28800.0, 36000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One trial and what the ear answered."""

    trial: Trial
    answer: Answer


def random_trial(seed: int) -> Trial:
    """Return a watch and a room drawn at random; every third has wheels that disturb it."""
    random = np.random.default_rng([2718, seed])
    per_hour = float(random.choice(PER_HOUR))
    watch = SimulatedWatch(
        beats_per_hour=per_hour,
        rate_s_per_day=float(random.uniform(-60, 60)),
        amplitude_deg=float(random.uniform(180, 310)),
        lift_angle_deg=float(random.uniform(48, 54)),
        beat_error_ms=float(random.uniform(0, 3) * 18000 / max(per_hour, 18000)),
        jitter_us=float(np.exp(random.uniform(np.log(10), np.log(60)))),
        wheels=random_wheels(per_hour, random) if seed % 3 == 0 else (),
    )
    room = RoomNoise(snr_db=float(random.uniform(10, 25)), echo=float(random.uniform(0, 0.3)))
    recorder = Recorder(clock_ppm=float(random.uniform(-80, 80)))
    return Trial(watch=watch, room=room, recorder=recorder, seed=seed)


def random_wheels(per_hour: float, random: np.random.Generator) -> tuple[DisturbingWheel, ...]:
    """Return an escape wheel of 15 teeth that runs out of true."""
    return (
        DisturbingWheel(
            period_s=2 * ESCAPE_TEETH * 3600 / per_hour,
            delay_ms=float(random.uniform(0, 0.05)),
            amplitude_deg=float(random.uniform(0, 3)),
            phase_rad=float(random.uniform(0, 2 * np.pi)),
        ),
    )


def run_of(seed: int) -> Run:
    """Return the trial of the seed with what was read."""
    trial = random_trial(seed)
    return Run(trial=trial, answer=trial.take().answer(seed))


def groups_of(runs: Sequence[Run]) -> dict[str, list[Run]]:
    """Return the runs, and parts of them, by name."""
    return {
        "all": list(runs),
        "no wheel": [run for run in runs if not run.trial.watch.wheels],
        "bad escape wheel": [run for run in runs if run.trial.watch.wheels],
        "10 to 15 dB": [run for run in runs if run.trial.room.snr_db < 15],
        "20 to 25 dB": [run for run in runs if run.trial.room.snr_db > 20],
        "jitter over 30 µs": [run for run in runs if run.trial.watch.jitter_us > 30],
    }


def report(*, quick: bool = False) -> None:
    """Print how often the intervals hold."""
    runs = spread(run_of, range(QUICK_RUNS if quick else RUNS))
    groups = {name: [run.answer for run in part] for name, part in groups_of(runs).items()}
    show_figures(f"Stated 95 % intervals over {len(runs)} simulated half minutes", groups)
    for figure in FIGURES:
        share = errors_of(figure, [run.answer for run in runs]).held
        say(f"{figure.name}: {100 * share:.1f} %, wanted 92 to 98 %: {mark(is_wanted(share))}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    report(quick=parser.parse_args().quick)
