"""FREEDOM_SHARE, SMOOTHED, FALSE_ALARM, LEAST_TURNS of `timing/turn/fold.py`.

Beats that come late by chance alone, folded round a wheel of fifteen teeth. SMOOTHED is by how much
the mean square of the mean wave exceeds what the turns' own differences tell. The rest of the table
is in how many of a thousand recordings a place, or a wave, is taken for more than chance.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter
from trial import table

from sideshake.sound.beats import Beats
from sideshake.sound.line import bisquare
from sideshake.sound.listener import Heard, SegmentNote
from sideshake.timing.reading import Reading, read
from sideshake.timing.turn.fold import (
    ROUNDS,
    WheelTurn,
    each_turn,
    first_course,
    fold,
    means_of,
    scattered,
    slow_course,
    turn_of,
    turns_in,
)

TEETH, PLACES, BEAT_S, SIGMA_S = 15, 30, 0.2, 30e-6
RECORDINGS, MANY = 250, 1500
TURNS = (4, 6, 10, 30)
Random = np.random.Generator
Floats = NDArray[np.float64]


def even(random: Random, n: int) -> Floats:
    """Return independent lateness."""
    return random.normal(0, SIGMA_S, n)


def minute(random: Random, n: int) -> Floats:
    """Return the same with a wheel that turns once a minute."""
    return even(random, n) + 1e-4 * np.sin(2 * np.pi * np.arange(n) / 300 + random.uniform(0, 6))


def hanging(random: Random, n: int) -> Floats:
    """Return lateness in which late beats follow late ones."""
    return np.asarray(lfilter([1], [1, -0.8], even(random, n)))


def tailed(random: Random, n: int) -> Floats:
    """Return lateness with heavy tails: Student's t with 3 degrees of freedom."""
    return random.standard_t(3, n) * SIGMA_S


def reading_of(late_s: Floats) -> Reading:
    """Return the reading of beats that come so late."""
    index = np.arange(late_s.size)
    arrival_s = 0.05 + BEAT_S * index + late_s
    note = SegmentNote(start_s=0.0, end_s=float(arrival_s[-1]) + 0.1, heard=index.size)
    heard = Heard(
        rate_hz=48000, duration_s=note.end_s, notes=(note,), portraits=(None, None), sides=2,
        beats=Beats(arrival_s, index, np.ones(index.size, np.float32)), told=False,
        beats_per_hour=18000, clipped_share=0.0, other_beats_per_hour=None,
    )  # fmt: skip
    return read(heard)


def folded(chance: Callable[[Random, int], Floats], turns: int, seed: int) -> WheelTurn | None:
    """Return one recording of chance, folded; None where it cannot be."""
    random = np.random.default_rng(seed)
    beats = turns * PLACES + int(random.integers(PLACES))
    return turn_of(reading_of(chance(random, beats)), TEETH)


def smoothed(more: int) -> float:
    """Return the mean square of the mean wave over what the turns' differences make of it.

    `more` : most beats after ten whole turns
    """
    mean, differ = [], []
    for seed in range(MANY):
        random = np.random.default_rng(seed)
        reading = reading_of(even(random, 10 * PLACES + int(random.integers(more + 1))))
        turn = fold(reading, TEETH)
        mean.append(turn.wave_s.value**2)
        differ.append(square_by_turns(reading))
    return float(np.mean(mean) / np.mean(differ))


def square_by_turns(reading: Reading) -> float:
    """Return the mean square of the mean wave as the turns' differences tell it."""
    index, weight = reading.heard.beats.index, np.ones(reading.lateness_s.size)
    place = np.asarray(index % PLACES, np.intp)
    slow = first_course(reading.lateness_s, reading.heard.beats.side, PLACES)
    for _ in range(ROUNDS):
        centre = means_of(reading.lateness_s - slow, place, weight, PLACES)
        slow = slow_course(index, reading.lateness_s - centre[place], weight, PLACES)
        rest = reading.lateness_s - slow - centre[place]
        weight = bisquare(*scattered(rest, PLACES, turns_in(index, PLACES)))
    shares = each_turn(index, reading.lateness_s - slow, weight, PLACES)
    return float(np.var(shares, ddof=1)) / shares.size


def main() -> None:
    """Print the tables."""
    print(f"SMOOTHED: {smoothed(0):.2f} of whole turns, {smoothed(PLACES - 1):.2f} of any")
    rows: list[list[object]] = []
    for chance in (even, minute, hanging, tailed):
        for turns in TURNS:
            drawn = (folded(chance, turns, seed) for seed in range(RECORDINGS))
            found = [each for each in drawn if each is not None]
            places = sum(bool(each.stands_out.any()) for each in found)
            waves = sum(each.waves for each in found)
            each = 1000 / RECORDINGS
            rows.append([chance.__name__, turns, round(places * each), round(waves * each)])
    head = ["chance", "turns", "a place", "a wave"]
    table("Taken for more than chance, of 1000 recordings", head, rows)


if __name__ == "__main__":
    main()
