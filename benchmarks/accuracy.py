"""How near the truth are rate, amplitude and beat error of a half minute?"""

import argparse
from collections.abc import Callable, Iterable, Sequence

import numpy as np
from figures import Truth
from show import mark, say, show
from trial import STANDARD_PER_HOUR, Trial, truth_of

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch
from sideshake.timing.reading import Reading

SEEDS, QUICK_SEEDS = 12, 3
RATE_TARGET = {10.0: 0.05, 0.0: 0.3}
AMPLITUDE_TARGET = {15.0: 2.0, 10.0: 4.0}
BEAT_ERROR_TARGET_MS = 0.02
AMPLITUDES_DEG = (180.0, 210.0, 240.0, 270.0, 290.0, 310.0)
BEAT_ERRORS_MS = (0.0, 0.1, 0.3, 1.0, 2.0, 3.0)
COLUMNS = ("setting", "given", "median error", "90 % within", "worst", "in target", "")

Measure = Callable[[Reading], Measured | None]
Known = Callable[[Truth], float]


def errors_of(trials: Iterable[Trial], measured: Measure, known: Known) -> list[float | None]:
    """Return the error of each trial's figure, None where there is none."""
    errors: list[float | None] = []
    for trial in trials:
        simulation = trial.simulation()
        try:
            figure = measured(trial.reading(simulation))
        except NotEnough:
            figure = None
        true = known(truth_of(trial, simulation))
        errors.append(None if figure is None else abs(figure.value - true))
    return errors


def row_of(name: str, errors: Sequence[float | None], target: float) -> list[str]:
    """Return a row of the table."""
    given = np.array([error for error in errors if error is not None])
    told = [name, f"{given.size} of {len(errors)}"]
    if not given.size:
        return [*told, "-", "-", "-", "-", mark(False)]
    within = float(np.mean(given <= target))
    return [
        *told,
        f"{np.median(given):.4f}",
        f"{np.quantile(given, 0.9):.4f}",
        f"{given.max():.4f}",
        f"{100 * within:.0f} %",
        mark(within == 1.0 and given.size == len(errors)),
    ]


def rate_table(seeds: range) -> None:
    """Print the error of the rate."""
    rows = []
    for snr_db, target in RATE_TARGET.items():
        for per_hour in STANDARD_PER_HOUR:
            trials = [
                Trial(watch=watch_for(seed, per_hour), room=RoomNoise(snr_db=snr_db), seed=seed)
                for seed in seeds
            ]
            errors = errors_of(trials, lambda r: r.rate_s_per_day, lambda t: t.rate_s_per_day)
            rows.append(row_of(f"{per_hour:.0f}/h, {snr_db:g} dB, within {target}", errors, target))
    show("Rate, 30 s, error in s/day", COLUMNS, rows)


def watch_for(seed: int, per_hour: float) -> SimulatedWatch:
    """Return a watch with some rate, amplitude and beat error."""
    random = np.random.default_rng([1414, seed])
    return SimulatedWatch(
        beats_per_hour=per_hour,
        rate_s_per_day=float(random.uniform(-30, 30)),
        amplitude_deg=float(random.uniform(200, 300)),
        beat_error_ms=float(random.uniform(0, 1)),
    )


def amplitude_table(seeds: range) -> None:
    """Print the error of the amplitude."""
    rows = []
    for snr_db, target in AMPLITUDE_TARGET.items():
        for amplitude_deg in AMPLITUDES_DEG:
            trials = [
                Trial(
                    watch=SimulatedWatch(beats_per_hour=per_hour, amplitude_deg=amplitude_deg),
                    room=RoomNoise(snr_db=snr_db),
                    seed=seed,
                )
                for per_hour in STANDARD_PER_HOUR
                for seed in seeds[: len(seeds) // 2 + 1]
            ]
            errors = errors_of(trials, lambda r: r.amplitude_deg, lambda t: t.amplitude_deg)
            name = f"{amplitude_deg:.0f}°, {snr_db:g} dB, within {target:g}°"
            rows.append(row_of(name, errors, target))
    show("Amplitude, 30 s, 18000 to 36000/h, error in degrees", COLUMNS, rows)


def beat_error_table(seeds: range) -> None:
    """Print the error of the beat error."""
    rows = []
    for snr_db in (15.0, 10.0):
        for beat_error_ms in BEAT_ERRORS_MS:
            trials = [
                Trial(
                    watch=SimulatedWatch(beats_per_hour=per_hour, beat_error_ms=beat_error_ms),
                    room=RoomNoise(snr_db=snr_db),
                    seed=seed,
                )
                for per_hour in STANDARD_PER_HOUR
                for seed in seeds[: len(seeds) // 2 + 1]
            ]
            errors = errors_of(trials, lambda r: r.beat_error_ms, lambda t: t.beat_error_ms)
            name = f"{beat_error_ms:g} ms, {snr_db:g} dB, within {BEAT_ERROR_TARGET_MS}"
            rows.append(row_of(name, errors, BEAT_ERROR_TARGET_MS))
    show("Beat error, 30 s, 18000 to 36000/h, error in ms", COLUMNS, rows)


def report(*, quick: bool = False) -> None:
    """Print the errors of all three figures."""
    seeds = range(QUICK_SEEDS if quick else SEEDS)
    rate_table(seeds)
    amplitude_table(seeds)
    beat_error_table(seeds)
    say("A beat error of 0 can only be read too large: the sign of tick and tock is not known.")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    report(quick=parser.parse_args().quick)
