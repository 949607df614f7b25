"""Hard rooms, hard recorders, and sounds that are no watch: right, refused, or wrong.

A reading is wrong if its rate is off by more than three times its own 95 % interval and by more
than a second a day; if its amplitude is off by more than 8 degrees and three intervals; if its
beat error is off by more than 0.5 ms and three intervals; if it takes the watch for one of other
beats per hour. From what is no watch any reading is wrong.
"""

import argparse
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from borrowed import KINDS
from both_cores import spread
from figures import AMPLITUDE, BEAT_ERROR, GRAVE, RATE
from numpy.typing import NDArray
from others import EVEN, NO_WATCH, RATE_HZ, Maker
from show import mark, say, show
from strains import FIRST, SECOND, SecondStrain, Strain
from trial import Take, read_sound

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.timing.reading import Reading

Samples = NDArray[np.float32]
Job = tuple[Strain | SecondStrain, int]

SEEDS, QUICK_SEEDS = 20, 4
NO_WATCH_S = (5.0, 10.0, 20.0, 30.0, 61.0)
RIGHT, NO_AMPLITUDE, REFUSED, WRONG = "right", "right, no amplitude", "refused", "WRONG"
FAULT = "FAULT"
VERDICTS = (RIGHT, NO_AMPLITUDE, REFUSED, WRONG, FAULT)
FAULTS = (ArithmeticError, LookupError, ValueError)
"""What good sound must never raise."""
GRAVELY = {RATE: 1.0, AMPLITUDE: 8.0, BEAT_ERROR: 0.5}
"""How far off a figure must be, besides."""
NEAR = 0.02
"""Farther off, as a share, another beat was taken for the watch's."""
MADE_UP, QUICK_MADE_UP, MADE_UP_SEED = 300, 86, 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One reading judged; `why` says what is wrong with it."""

    strain: str
    seed: int
    verdict: str
    why: str


def case_of(job: Job) -> Case:
    """Return the verdict over one watch under strain."""
    strain, seed = job
    sound = strain.sound(seed)
    try:
        reading = sound.takes[0].reading()
    except NotEnough as reason:
        return Case(strain=strain.name, seed=seed, verdict=REFUSED, why=str(reason))
    except FAULTS as fault:
        return Case(strain=strain.name, seed=seed, verdict=FAULT, why=repr(fault))
    wrong = faults(reading, nearest(sound.takes, reading))
    verdict = RIGHT if reading.amplitude_deg else NO_AMPLITUDE
    return Case(
        strain=strain.name, seed=seed, verdict=WRONG if wrong else verdict, why="; ".join(wrong)
    )


def nearest(takes: Sequence[Take], reading: Reading) -> Take:
    """Return the watch whose beat was heard: where two go at once, either may be."""
    return min(takes, key=lambda take: abs(reading.beat_s.value - take.beat_s))


def faults(reading: Reading, take: Take) -> list[str]:
    """Return what is wrong with a reading."""
    found = 3600 / reading.beat_s.value
    true = take.beats_per_hour
    if abs(found / true - 1) > NEAR or reading.beats_per_hour not in (None, true):
        told = "no known beats/h" if reading.beats_per_hour is None else reading.beats_per_hour
        return [f"taken for {told} ({found:.1f}) beats/h of {true:g}"]
    return [
        f"{figure.name} {told.value:.3f} ± {told.expanded:.3f}, truth {truth:.3f}"
        for figure, grave in GRAVELY.items()
        if (told := figure.of(reading)) is not None
        and is_wrong(told, truth := figure.true(take.truth), grave)
    ]


def is_wrong(measured: Measured, true: float, grave: float) -> bool:
    """Return whether a figure is off gravely and far outside its interval."""
    error = abs(measured.value - true)
    return error > grave and error > GRAVE * measured.expanded


def no_watch_case(job: tuple[Maker, int, float]) -> Case:
    """Return the verdict over a sound of `others.py` that is no watch."""
    maker, seed, duration_s = job
    random = np.random.default_rng([16180, seed])
    samples = maker(round(duration_s * RATE_HZ), random)
    sound = np.clip(samples, -1, 1).astype(np.float32)
    return judged_no_watch(maker.__name__.replace("_", " "), seed, sound, RATE_HZ)


def made_up_case(number: int) -> Case:
    """Return the verdict over one of the sounds that no watch made (`tests/not_a_watch`)."""
    kinds = tuple(KINDS)
    kind = kinds[number % len(kinds)]
    sound = KINDS[kind](np.random.default_rng((MADE_UP_SEED, number)))  # as `sounds` does
    return judged_no_watch(kind, number, sound.samples, sound.rate_hz)


def judged_no_watch(name: str, seed: int, sound: Samples, rate_hz: int) -> Case:
    """Return the verdict over a sound from which no reading may come."""
    duration_s = sound.size / rate_hz
    try:
        reading = read_sound(sound, rate_hz)
    except NotEnough as reason:
        return Case(strain=name, seed=seed, verdict=REFUSED, why=str(reason))
    except FAULTS as fault:
        return Case(strain=name, seed=seed, verdict=FAULT, why=repr(fault))
    told = f"{duration_s:.0f} s: {3600 / reading.beat_s.value:.1f} beats/h"
    told += f", rate {reading.rate_s_per_day.text()}" if reading.rate_s_per_day else ""
    told += f", amplitude {reading.amplitude_deg.text()}" if reading.amplitude_deg else ""
    told += f", scatter {reading.scatter_ms:.2f} ms"
    return Case(strain=name, seed=seed, verdict=WRONG, why=told)


def verdict_rows(cases: Iterable[Case]) -> list[list[str]]:
    """Return how often each verdict fell, a row for each strain."""
    counts: dict[str, Counter[str]] = {}
    for case in cases:
        counts.setdefault(case.strain, Counter())[case.verdict] += 1
    return [
        [name, *(str(count[verdict]) if count[verdict] else "." for verdict in VERDICTS)]
        for name, count in counts.items()
    ]


def report(*, quick: bool = False) -> None:
    """Print the verdicts and every wrong reading with its seed."""
    seeds = range(QUICK_SEEDS if quick else SEEDS)
    for name, strains in {"first": FIRST, "second": SECOND}.items():
        jobs = [(strain, seed) for strain in strains for seed in seeds]
        judged(f"Watches of the {name} simulator under strain", spread(case_of, jobs))
    no_watch(seeds, NO_WATCH_S[1:4:2] if quick else NO_WATCH_S)
    made_up = spread(made_up_case, range(QUICK_MADE_UP if quick else MADE_UP))
    judged("Made up without knowledge of the ear, no watch", made_up, wanted=[REFUSED])
    given = sum(case.verdict != REFUSED for case in made_up)
    say(f"Figures from {given} of {len(made_up)}, wanted 0: {mark(given == 0)}")


def no_watch(seeds: range, lengths_s: Sequence[float]) -> None:
    """Print the verdicts over the sounds of `others.py`."""
    others = [
        (maker, seed, duration_s)
        for maker in NO_WATCH
        for duration_s in lengths_s
        for seed in range(len(seeds) // 4)
    ]
    judged("What is no watch", spread(no_watch_case, others), wanted=[REFUSED])
    even = [(maker, seed, 30.0) for maker in EVEN for seed in seeds]
    judged("As even as a watch, but none", spread(no_watch_case, even), wanted=[REFUSED])


def judged(title: str, cases: Sequence[Case], *, wanted: Sequence[str] = ()) -> None:
    """Print the table of the cases, and each that is wrong; rows with nothing but the verdicts
    wanted are left out."""
    strange = {case.strain for case in cases if case.verdict not in wanted}
    shown = [case for case in cases if case.strain in strange]
    if shown:
        show(title, ("sound", *VERDICTS), verdict_rows(shown))
    counts = Counter(case.verdict for case in cases)
    told = ", ".join(f"{counts[one]} {one}" for one in VERDICTS if counts[one])
    say(f"{title}, {len(cases)} sounds: {told}")
    for case in cases:
        if case.verdict in (WRONG, FAULT):
            say(f"  {case.verdict} {case.strain}, seed {case.seed}: {case.why}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    report(quick=parser.parse_args().quick)
