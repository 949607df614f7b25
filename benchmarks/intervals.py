"""Do the stated 95 % intervals hold the truth as often as they say?

Half-minute recordings of watches drawn at random, sample clock and lift angle exactly known, so
that nothing but the ear's own uncertainty is judged.
"""

import argparse
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from show import mark, say, show
from trial import Trial, Truth, truth_of

from sideshake.errors import NotEnough
from sideshake.quantities import Measured
from sideshake.sound.room import Room
from sideshake.sound.simulate import Recorder, Watch, Wheel
from sideshake.timing.reading import Reading

RUNS = 300
QUICK_RUNS = 60
WANTED = (0.92, 0.98)
ESCAPE_TEETH = 15
PER_HOUR = (14400.0, 18000.0, 19800.0, 21600.0, 25200.0, 28800.0, 36000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One trial, its truth and its reading (None where refused)."""

    trial: Trial
    truth: Truth
    reading: Reading | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One of the three figures of a reading, measured and true."""

    name: str
    unit: str
    measured: Callable[[Reading], Measured | None]
    true: Callable[[Truth], float]


FIGURES = (
    Figure(
        name="rate", unit="s/day",
        measured=lambda r: r.rate_s_per_day, true=lambda t: t.rate_s_per_day,
    ),
    Figure(
        name="amplitude", unit="degrees",
        measured=lambda r: r.amplitude_deg, true=lambda t: t.amplitude_deg,
    ),
    Figure(
        name="beat error", unit="ms",
        measured=lambda r: r.beat_error_ms, true=lambda t: t.beat_error_ms,
    ),
)  # fmt: skip


def random_trial(seed: int) -> Trial:
    """Return a watch and a room drawn at random; every third has wheels that disturb it."""
    random = np.random.default_rng([2718, seed])
    per_hour = float(random.choice(PER_HOUR))
    watch = Watch(
        beats_per_hour=per_hour,
        rate_s_per_day=float(random.uniform(-60, 60)),
        amplitude_deg=float(random.uniform(180, 310)),
        lift_angle_deg=float(random.uniform(48, 54)),
        beat_error_ms=float(random.uniform(0, 3) * 18000 / max(per_hour, 18000)),
        jitter_us=float(np.exp(random.uniform(np.log(10), np.log(60)))),
        wheels=random_wheels(per_hour, random) if seed % 3 == 0 else (),
    )
    room = Room(snr_db=float(random.uniform(10, 25)), echo=float(random.uniform(0, 0.3)))
    recorder = Recorder(clock_ppm=float(random.uniform(-80, 80)))
    return Trial(watch=watch, room=room, recorder=recorder, seed=seed)


def random_wheels(per_hour: float, random: np.random.Generator) -> tuple[Wheel, ...]:
    """Return an escape wheel of 15 teeth that runs out of true."""
    return (
        Wheel(
            period_s=2 * ESCAPE_TEETH * 3600 / per_hour,
            delay_ms=float(random.uniform(0, 0.05)),
            amplitude_deg=float(random.uniform(0, 3)),
            phase_rad=float(random.uniform(0, 2 * np.pi)),
        ),
    )


def run_of(trial: Trial) -> Run:
    """Return the trial with what was read."""
    simulation = trial.simulation()
    try:
        reading = trial.reading(simulation)
    except NotEnough:
        reading = None
    return Run(trial=trial, truth=truth_of(trial, simulation), reading=reading)


def row_of(group: str, figure: Figure, runs: Sequence[Run]) -> list[str]:
    """Return a row of the table: how often the interval held the truth, and how wide it was."""
    pairs = [
        (measured, figure.true(run.truth))
        for run in runs
        if run.reading is not None and (measured := figure.measured(run.reading)) is not None
    ]
    if not pairs:
        return [f"{figure.name}, {group}", f"0 of {len(runs)}", *["-"] * 6]
    error = np.array([measured.value - true for measured, true in pairs])
    u = np.array([measured.u for measured, _ in pairs])
    held = float(np.mean([measured.holds(true) for measured, true in pairs]))
    return [
        f"{figure.name} ({figure.unit}), {group}",
        f"{len(pairs)} of {len(runs)}",
        f"{100 * held:.1f} ± {100 * math.sqrt(held * (1 - held) / len(pairs)):.1f} %",
        f"{math.sqrt(np.mean(error**2) / np.mean(u**2)):.2f}",
        f"{float(np.median(np.abs(error))):.4f}",
        f"{float(np.median(u)):.4f}",
        f"{float(np.mean(error)):+.4f}",
        f"{float(np.max(np.abs(error) / u)):.1f}",
    ]


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
    runs = [run_of(random_trial(seed)) for seed in range(QUICK_RUNS if quick else RUNS)]
    columns = (
        "figure", "given", "holds", "rms error / rms u", "median error", "median u", "mean error",
        "worst / u",
    )  # fmt: skip
    groups = groups_of(runs)
    rows = [row_of(name, figure, part) for figure in FIGURES for name, part in groups.items()]
    show(f"Stated 95 % intervals over {len(runs)} simulated half minutes", columns, rows)
    for figure in FIGURES:
        share = held_share(figure, runs)
        say(f"{figure.name}: {100 * share:.1f} %, wanted 92 to 98 %: {mark(within(share))}")


def held_share(figure: Figure, runs: Sequence[Run]) -> float:
    """Return the share of the readings given whose interval holds the truth."""
    given = [
        measured.holds(figure.true(run.truth))
        for run in runs
        if run.reading is not None and (measured := figure.measured(run.reading)) is not None
    ]
    return sum(given) / max(1, len(given))


def within(share: float) -> bool:
    """Return whether the share is as wanted."""
    return WANTED[0] <= share <= WANTED[1]


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    report(quick=parser.parse_args().quick)
