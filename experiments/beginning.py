"""How well a beginning can be told by one who knows when each single beat begins.

The beats of clear watches of both simulators (unlocking within 20 dB of the drop, the drop at
least 15 dB above the room) are aligned by the truth of each single noise, which no ear has; then
the ear is asked where their averages begin. What is left is what the sound itself leaves open: how
a noise swells. The error of tock less that of tick is the error of the beat error. The second table
asks whether the sound tells how well: beginnings of one steepness, by simulator.
"""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from ticks import FIRST, SECOND, draw, first_watch, heard
from trial import table

from sideshake.sound.average import turned_back
from sideshake.sound.began import began_at, repeated
from sideshake.sound.onset import CLOSE_S
from sideshake.sound.profile import envelope_powers, turned
from sideshake.sound.template import AlignedTicks, turned_side

EACH, FIRST_SEED, DURATION_S = 20, 6000, 30.0
ROOMS_DB = (25.0, 20.0, 15.0)
FAINTEST_DB = -20.0
AROUND_S = 3e-3
STEEPNESS_US = (0.0, 5.0, 6.5, 8.0, 11.0, 40.0, np.inf)
NOISES = ("unlocking", "drop")


@dataclass(frozen=True, slots=True)
class Sound:
    """A recording, its beat, and when unlocking and drop truly begin (s, by the file)."""

    samples: np.ndarray
    rate_hz: int
    per_hour: float
    unlock_s: np.ndarray
    drop_s: np.ndarray


def first(seed: int, snr_db: float) -> Sound | None:
    """Return a recording of the first simulator, None if its unlocking is too faint."""
    watch, truth = first_watch(seed, snr_db, DURATION_S)
    if 20 * np.log10(watch.unlock_level) < FAINTEST_DB:
        return None
    there = truth.heard
    times = truth.unlock_s[there], truth.drop_s[there]
    return Sound(truth.samples, truth.rate_hz, watch.beats_per_hour, *times)


def second(seed: int, snr_db: float) -> Sound | None:
    """Return one of the second simulator, None if its unlocking is too faint."""
    sound = draw(seed, snr_db=snr_db).listen(DURATION_S)
    truth = sound.truth
    if min(truth.unlocking_db) < FAINTEST_DB:
        return None
    times = truth.file_s(truth.unlocking_s), truth.file_s(truth.drop_s)
    return Sound(sound.samples, sound.rate_hz, truth.beats_per_hour, *times)


SIMULATORS = {FIRST: first, SECOND: second}


def told_us(name: str, seed: int, snr_db: float) -> np.ndarray | None:
    """Return error and steepness of each beginning (us), shape (2, sides, noises)."""
    sound = SIMULATORS[name](seed, snr_db)
    if sound is None:
        return None
    case = heard(sound.samples, sound.rate_hz, sound.per_hour, (0.0, snr_db, name))
    if case is None:
        return None
    times = [each * sound.rate_hz for each in (sound.unlock_s, sound.drop_s)]
    middle = (times[0] + times[1]) / 2
    told = [[side_us(case.ticks, side, each, middle) for each in times] for side in (0, 1)]
    return np.moveaxis(np.array(told), 2, 0)


def side_us(
    ticks: AlignedTicks, one: int, true: np.ndarray, middle: np.ndarray
) -> tuple[float, float]:
    """Return error and steepness of a noise on a side whose beats are aligned by the truth."""
    windows, rows = ticks.windows, ticks.rows(one)
    if rows.size == 0:
        return np.nan, np.nan
    powers = envelope_powers(windows.spectra, windows)
    beats = turned(windows, powers, ticks.shift, rows)
    share = np.ones((1, rows.size), np.float32)
    times_s = windows.start[rows] / windows.span.rate_hz
    along = np.stack([times_s, np.zeros(rows.size)])
    side = turned_side(windows, powers, beats, along, share)
    moment = windows.start[rows] + windows.span.lead + beats.late
    nearest = np.argmin(np.abs(middle - moment[:, None]), axis=1)
    since = (true[nearest] - moment) * side.rate_hz / windows.span.rate_hz
    mean = float(since.mean())
    late = np.rint(since - mean)
    first = round(side.lead + mean - AROUND_S * side.rate_hz)
    if first < 0:
        return np.nan, np.nan
    near = side.lead + mean - first
    waves = turned_back(side.waves[:, first : first + 2 * round(near)], late.astype(np.intp))
    before, after = (round(near + way * side.rate_hz) for way in (-CLOSE_S[0], CLOSE_S[1]))
    alike = repeated(waves[:, before:after], side.noise)
    began = began_at(side, waves, near, alike=alike, rest=since - mean - late)
    at = float(began.at[0])
    return 1e6 * (at - near) / side.rate_hz, 1e6 * began.rise / side.rate_hz


def show_apart(told: dict[tuple[str, float], np.ndarray]) -> None:
    """Print how far tock's beginning is off against tick's."""
    rows = []
    for (name, snr_db), found in told.items():
        off = np.abs(found[:, 0, 1] - found[:, 0, 0])
        for noise, part in zip(NOISES, off.T, strict=True):
            clear = part[np.isfinite(part)]
            within = np.quantile(clear, (0.5, 0.9, 0.95))
            rows.append([f"{name}, {snr_db:g} dB, {noise}", clear.size, *within])
    title = "Each beat's own moment known: tock's beginning against tick's, microseconds"
    table(title, ["simulator, room", "watches", "median", "90 % within", "95 % within"], rows)


def show_steepness(told: dict[tuple[str, float], np.ndarray]) -> None:
    """Print how far beginnings of one steepness lie about their median."""
    rows: list[list[object]] = []
    for name in SIMULATORS:
        found = np.concatenate([each for key, each in told.items() if key[0] == name])
        for which, noise in enumerate(NOISES):
            error, rise = (found[:, of, :, which].ravel() for of in (0, 1))
            rows += [[f"{name}, {noise}, {how}", *some] for how, *some in by_rise(error, rise)]
    title = "The same, single beginnings about their median, by the time from 2 to 8 % of the peak"
    table(title, ["simulator, noise, rise", "beginnings", "median us", "90 % within"], rows)


def by_rise(error: np.ndarray, rise: np.ndarray) -> Iterator[tuple[str, int, float, float]]:
    """Yield how steep beginnings are, how many, and how far half and 90 of 100 of them lie off."""
    for low, high in itertools.pairwise(STEEPNESS_US):
        part = error[np.isfinite(error) & (rise >= low) & (rise < high)]
        if part.size:
            half, most = np.quantile(np.abs(part - np.median(part)), (0.5, 0.9))
            yield f"{low:g} to {high:g} us", part.size, float(half), float(most)


def main() -> None:
    """Print the tables."""
    told = {}
    for name in SIMULATORS:
        for snr_db in ROOMS_DB:
            seeds = range(FIRST_SEED, FIRST_SEED + EACH)
            each = [told_us(name, seed, snr_db) for seed in seeds]
            told[name, snr_db] = np.array([one for one in each if one is not None])
    show_apart(told)
    show_steepness(told)


if __name__ == "__main__":
    main()
