"""Hard rooms, hard recorders, and sounds that are no watch: right, refused, or wrong.

A reading is wrong if its rate is off by more than three times its own 95 % interval and by more
than a second a day; if its amplitude is off by more than 8 degrees and three intervals; if its
beat error is off by more than 0.5 ms and three intervals; if it takes the watch for one of other
beats per hour. From what is no watch any reading is wrong.
"""

import argparse
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from others import EVEN, NO_WATCH, RATE_HZ, Maker
from show import say, show
from trial import Trial, Truth, read_sound, truth_of

from sideshake.errors import NotEnough
from sideshake.quantities import Measured
from sideshake.sound.room import Room
from sideshake.sound.simulate import Recorder, Watch
from sideshake.timing.reading import Reading

SEEDS, QUICK_SEEDS = 20, 4
NO_WATCH_S = (5.0, 10.0, 20.0, 30.0, 61.0)
RIGHT, NO_AMPLITUDE, REFUSED, WRONG = "right", "right, no amplitude", "refused", "WRONG"
FAULT = "FAULT"
VERDICTS = (RIGHT, NO_AMPLITUDE, REFUSED, WRONG, FAULT)
FAULTS = (ArithmeticError, LookupError, ValueError)
"""What good sound must never raise."""
INTERVALS = 3.0
RATE_S_PER_DAY, AMPLITUDE_DEG, BEAT_ERROR_MS = 1.0, 8.0, 0.5
PER_HOUR = (14400.0, 18000.0, 19800.0, 21600.0, 25200.0, 28800.0, 36000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strain:
    """One way to make it hard."""

    name: str
    room: Room
    recorder: Recorder = field(default_factory=Recorder)
    jitter_us: float = 20.0
    duration_s: float = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One reading judged; `why` says what is wrong with it."""

    strain: str
    seed: int
    verdict: str
    why: str


BASE = Room(snr_db=20)
LOW = Room(snr_db=6)
ALONE = (
    Strain(name="nothing", room=BASE),
    Strain(name="noise, 0 dB", room=Room(snr_db=0)),
    Strain(name="noise, -6 dB", room=Room(snr_db=-6)),
    Strain(name="noise, -12 dB", room=Room(snr_db=-12)),
    Strain(name="30 % missing", room=replace(BASE, missing_share=0.3)),
    Strain(name="50 % missing", room=replace(BASE, missing_share=0.5)),
    Strain(name="70 % missing", room=replace(BASE, missing_share=0.7)),
    Strain(name="60 knocks a minute", room=replace(BASE, knocks_per_minute=60)),
    Strain(name="60 loud knocks", room=replace(BASE, knocks_per_minute=60, knock=20)),
    Strain(name="300 knocks a minute", room=replace(BASE, knocks_per_minute=300)),
    Strain(name="hum, as loud", room=replace(BASE, hum=1.0)),
    Strain(name="hum, 10 times", room=replace(BASE, hum=10.0)),
    Strain(name="rumble, as loud", room=replace(BASE, rumble=1.0)),
    Strain(name="rumble, 10 times", room=replace(BASE, rumble=10.0)),
    Strain(name="speech, a third", room=replace(BASE, speech=0.3)),
    Strain(name="speech, as loud", room=replace(BASE, speech=1.0)),
    Strain(name="speech, 3 times", room=replace(BASE, speech=3.0)),
    Strain(name="clipped, gain 5", room=BASE, recorder=Recorder(gain=5)),
    Strain(name="clipped, gain 10", room=BASE, recorder=Recorder(gain=10)),
    Strain(name="clipped, gain 100", room=BASE, recorder=Recorder(gain=100)),
    Strain(name="very soft, gain 0.001", room=BASE, recorder=Recorder(gain=0.001)),
    Strain(name="echo 0.6", room=replace(BASE, echo=0.6)),
    Strain(name="jitter 0.2 ms", room=BASE, jitter_us=200),
    Strain(name="jitter 1 ms", room=BASE, jitter_us=1000),
    Strain(name="5 s only", room=BASE, duration_s=5),
    Strain(name="3 s only", room=BASE, duration_s=3),
    Strain(name="95 s", room=BASE, duration_s=95),
    *(
        Strain(name=f"{rate / 1000:g} kHz", room=BASE, recorder=Recorder(rate_hz=rate))
        for rate in (16000, 22050, 44100, 96000, 192000)
    ),
)


def combined(strains: Sequence[Strain]) -> Iterator[Strain]:
    """Yield rooms and recorders in which several things are hard at once."""
    rooms = {
        "missing + knocks": replace(BASE, missing_share=0.3, knocks_per_minute=60),
        "missing + knocks + hum + rumble": replace(
            BASE, missing_share=0.3, knocks_per_minute=60, hum=1, rumble=1
        ),
        "the same at 6 dB": replace(LOW, missing_share=0.3, knocks_per_minute=60, hum=1, rumble=1),
        "the same at 0 dB": replace(
            LOW, snr_db=0, missing_share=0.3, knocks_per_minute=60, hum=1, rumble=1
        ),
        "the same with speech": replace(
            LOW, missing_share=0.3, knocks_per_minute=60, hum=1, rumble=1, speech=0.5
        ),
    }
    for name, room in rooms.items():
        for rate_hz in (16000, 48000):
            for gain in (1, 10):
                recorder = Recorder(rate_hz=rate_hz, gain=gain)
                told = f"{name}, {rate_hz // 1000} kHz{', gain 10' if gain > 1 else ''}"
                yield Strain(name=told, room=room, recorder=recorder)
    for rate_hz in (96000, 192000):
        recorder = Recorder(rate_hz=rate_hz)
        room = rooms["the same at 6 dB"]
        yield Strain(name=f"the same at 6 dB, {rate_hz // 1000} kHz", room=room, recorder=recorder)
    some = {strain.name: strain for strain in strains}
    yield replace(some["jitter 0.2 ms"], name="jitter 0.2 ms at 0 dB", room=Room(snr_db=0))
    yield replace(some["5 s only"], name="5 s only at 6 dB, 30 % missing",
                  room=replace(LOW, missing_share=0.3))  # fmt: skip


def trial_of(strain: Strain, seed: int) -> Trial:
    """Return a watch drawn at random, under the strain."""
    random = np.random.default_rng([31415, seed])
    per_hour = float(random.choice(PER_HOUR))
    watch = Watch(
        beats_per_hour=per_hour,
        rate_s_per_day=float(random.uniform(-90, 90)),
        amplitude_deg=float(random.uniform(170, 320)),
        lift_angle_deg=float(random.uniform(46, 56)),
        beat_error_ms=float(random.uniform(0, 3) * 18000 / max(per_hour, 18000)),
        jitter_us=strain.jitter_us,
    )
    return Trial(
        watch=watch, room=strain.room, recorder=strain.recorder,
        duration_s=strain.duration_s, seed=seed,
    )  # fmt: skip


def case_of(strain: Strain, seed: int) -> Case:
    """Return the verdict over one trial."""
    trial = trial_of(strain, seed)
    simulation = trial.simulation()
    try:
        reading = trial.reading(simulation)
    except NotEnough as reason:
        return Case(strain=strain.name, seed=seed, verdict=REFUSED, why=str(reason))
    except FAULTS as fault:
        return Case(strain=strain.name, seed=seed, verdict=FAULT, why=repr(fault))
    wrong = faults(reading, truth_of(trial, simulation), trial.watch)
    verdict = RIGHT if reading.amplitude_deg else NO_AMPLITUDE
    return Case(
        strain=strain.name, seed=seed, verdict=WRONG if wrong else verdict, why="; ".join(wrong)
    )


def faults(reading: Reading, truth: Truth, watch: Watch) -> list[str]:
    """Return what is wrong with a reading."""
    if reading.beats_per_hour != watch.beats_per_hour:
        found = 3600 / reading.beat_s.value
        return [f"taken for {reading.beats_per_hour} ({found:.1f}) beats/h"]
    checks = (
        ("rate", reading.rate_s_per_day, truth.rate_s_per_day, RATE_S_PER_DAY),
        ("amplitude", reading.amplitude_deg, truth.amplitude_deg, AMPLITUDE_DEG),
        ("beat error", reading.beat_error_ms, truth.beat_error_ms, BEAT_ERROR_MS),
    )
    return [
        f"{name} {measured.value:.3f} ± {measured.expanded:.3f}, truth {true:.3f}"
        for name, measured, true, grave in checks
        if measured is not None and is_wrong(measured, true, grave)
    ]


def is_wrong(measured: Measured, true: float, grave: float) -> bool:
    """Return whether a figure is off gravely and far outside its interval."""
    error = abs(measured.value - true)
    return error > grave and error > INTERVALS * measured.expanded


def no_watch_case(maker: Maker, seed: int, duration_s: float) -> Case:
    """Return the verdict over a sound that is no watch."""
    random = np.random.default_rng([16180, seed])
    samples = maker(round(duration_s * RATE_HZ), random)
    sound = np.clip(samples, -1, 1).astype(np.float32)
    name = maker.__name__.replace("_", " ")
    try:
        reading = read_sound(sound, RATE_HZ)
    except NotEnough as reason:
        return Case(strain=name, seed=seed, verdict=REFUSED, why=str(reason))
    except FAULTS as fault:
        return Case(strain=name, seed=seed, verdict=FAULT, why=repr(fault))
    told = f"{duration_s:g} s: {3600 / reading.beat_s.value:.1f} beats/h"
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
    strains = [*ALONE, *combined(ALONE)]
    watches = [case_of(strain, seed) for strain in strains for seed in seeds]
    judged("Watches under strain", watches)
    lengths = NO_WATCH_S[1:4:2] if quick else NO_WATCH_S
    others = [
        no_watch_case(maker, seed, duration_s)
        for maker in NO_WATCH
        for duration_s in lengths
        for seed in range(len(seeds) // 4)
    ]
    judged("What is no watch", others)
    even = [no_watch_case(maker, seed, 30.0) for maker in EVEN for seed in seeds]
    judged("What beats as evenly as a watch, but is none (sound alone can hardly tell)", even)


def judged(title: str, cases: Sequence[Case]) -> None:
    """Print the table of the cases, and each that is wrong."""
    show(title, ("sound", *VERDICTS), verdict_rows(cases))
    for case in cases:
        if case.verdict in (WRONG, FAULT):
            say(f"  {case.verdict} {case.strain}, seed {case.seed}: {case.why}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    report(quick=parser.parse_args().quick)
