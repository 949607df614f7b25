"""Which rises are unlocking and drop, where exactly they begin, and when a noise is aligned alone.

FAINTEST, CLEAR, HIDDEN, LEVEL, ALIKE, RIGID and the PART_ constants: each is moved alone over the
same simulated watches: plain ones, noisy ones, faint unlockings, echoing cases, and watches whose
amplitude comes and goes (their noises move against each other). An amplitude is right within 2
degrees or its own 95 %, wrong when off by more than both 4 degrees and 3 standard uncertainties.
"""

from dataclasses import dataclass

import numpy as np
from trial import expected, mark, table, tuned

from sideshake.errors import NotEnough
from sideshake.quantities import Measured
from sideshake.sound import onset, portrait
from sideshake.sound.arrival import Arrivals, find_arrivals
from sideshake.sound.listener import PageNote, onsets_of
from sideshake.sound.room import Room
from sideshake.sound.simulate import Watch, Wheel, simulate
from sideshake.sound.windows import Windows
from sideshake.timing.amplitude import amplitude, page_swing

EACH, MANY = 11, 32
VARIES = "amplitude varies"
DURATION_S = 20.0
RATE_HZ = 48000
SWEPT = {
    "FAINTEST": (onset, (0.0005, 0.002, 0.004, 0.008, 0.02)),
    "CLEAR": (onset, (4.0, 6.0, 8.0, 10.0, 15.0, 25.0)),
    "HIDDEN": (onset, (1.0, 4.0, 8.0, 12.0, 20.0, 40.0)),
    "LEVEL": (onset, (0.03, 0.06, 0.1, 0.15, 0.25, 0.5)),
    "ALIKE": (portrait, (0.0, 0.6, 0.8, 0.9, 2.0)),
    "RIGID": (portrait, (0.0, 0.6, 0.75, 0.85, 0.92, 2.0)),
    "PART_SIGMAS": (onset, (0.0, 4.0, 7.0, 14.0)),
    "PART_REACH_S": (onset, (0.2e-3, 0.4e-3, 0.8e-3, 1.2e-3, 1.6e-3, 2.2e-3)),
    "PART_S": (onset, ((0.3e-3, 0.8e-3), (0.6e-3, 1.2e-3), (1.2e-3, 1.8e-3), (2e-3, 2.5e-3))),
    "STEEPEST_WITHIN_S": (onset, (0.2e-3, 0.35e-3, 0.6e-3, 1.0e-3)),
    "PART_ALIKE": (onset, (0.0, 0.5, 0.7, 0.85, 0.92, 1.0)),
}


@dataclass(frozen=True, slots=True)
class Case:
    """A watch heard up to its arrivals, and its true mean amplitude."""

    kind: str
    windows: Windows
    arrivals: Arrivals
    beat_s: float
    true_deg: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came out: the error (degrees) and its stated standard uncertainty, NaN for none."""

    kind: str
    error_deg: float
    u_deg: float

    @property
    def none(self) -> bool:
        """Return whether there is no amplitude."""
        return bool(np.isnan(self.error_deg))

    @property
    def right(self) -> bool:
        """Return whether it is right."""
        return abs(self.error_deg) < max(2.0, 1.96 * self.u_deg)

    @property
    def wrong(self) -> bool:
        """Return whether it is badly wrong."""
        return abs(self.error_deg) > max(4.0, 3 * self.u_deg)


def watches(seed: int) -> dict[str, tuple[Watch, Room]]:
    """Return one watch of each kind, and its room."""
    random = np.random.default_rng([seed, 11])
    per_hour = float(random.choice([18000, 21600, 28800]))
    swing = random.uniform(190, 310)
    plain = {"beats_per_hour": per_hour, "amplitude_deg": swing}
    wheel = Wheel(period_s=random.uniform(3, 9), amplitude_deg=random.uniform(3, 20))
    return {
        "plain 15-40 dB": (Watch(**plain), Room(snr_db=random.uniform(15, 40))),
        "noisy 0-15 dB": (Watch(**plain), Room(snr_db=random.uniform(0, 15))),
        "faint unlocking": (
            Watch(**plain, unlock_level=random.uniform(0.05, 0.25)),
            Room(snr_db=random.uniform(15, 40)),
        ),
        "faint and noisy": (
            Watch(**plain, unlock_level=random.uniform(0.05, 0.2)),
            Room(snr_db=random.uniform(3, 18)),
        ),
        "echoing": (
            Watch(**plain, unlock_level=random.uniform(0.2, 0.6)),
            Room(snr_db=random.uniform(15, 40), echo=random.uniform(0.3, 0.6)),
        ),
        VARIES: (
            Watch(**plain, wheels=(wheel,), jitter_us=60),
            Room(snr_db=random.uniform(10, 40)),
        ),
    }


def case(kind: str, watch: Watch, room: Room, seed: int) -> Case:
    """Return a watch heard up to its arrivals."""
    truth = simulate(watch, duration_s=DURATION_S, room=room, seed=seed)
    tempo, windows = expected(truth.samples, RATE_HZ)
    windows, arrivals = find_arrivals(windows)
    return Case(kind, windows, arrivals, tempo.period_s / 2, float(truth.amplitude_deg.mean()))


def outcome(one: Case) -> Outcome:
    """Return what the portraits of a case say."""
    drawn = portrait.draw_portraits(one.windows, one.arrivals, beat_s=one.beat_s, seed=0)
    onsets = onsets_of(drawn[0]), onsets_of(drawn[1])
    note = PageNote(start_s=0.0, end_s=DURATION_S, heard=100, onsets=onsets)
    try:
        time_s = page_swing(note, RATE_HZ).time_s
        found = amplitude(time_s, beat_s=one.beat_s, lift_angle_deg=Measured(52.0, 0.0))
    except NotEnough:
        return Outcome(one.kind, np.nan, np.nan)
    return Outcome(one.kind, found.value - one.true_deg, found.u)


def summary(outcomes: list[Outcome]) -> list[object]:
    """Return counts of right, none and wrong, the errors, and right/wrong by kind."""
    there = [each for each in outcomes if not each.none]
    kinds = list(dict.fromkeys(each.kind for each in outcomes))
    return [
        sum(each.right for each in there),
        sum(each.none for each in outcomes),
        sum(each.wrong for each in there),
        float(np.median([abs(each.error_deg) for each in there])),
        float(np.mean([abs(each.error_deg) < 1.96 * each.u_deg for each in there])),
        *(
            f"{sum(e.right for e in outcomes if e.kind == kind)}"
            f"/{sum(e.wrong for e in outcomes if e.kind == kind)}"
            for kind in kinds
        ),
    ]


def main() -> None:
    """Print what each constant's values make of the same watches."""
    cases = []
    for seed in range(EACH):
        for kind, (watch, room) in watches(seed).items():
            try:
                cases.append(case(kind, watch, room, seed))
            except NotEnough:
                print(f"{kind}, seed {seed}: no tempo, left out")
    kinds = list(dict.fromkeys(one.kind for one in cases))
    head = ["right", "none", "wrong", "median error", "95 % hold", *(f"{k} r/w" for k in kinds)]
    for name, (module, values) in SWEPT.items():
        rows = []
        for value in values:
            with tuned(module, **{name: value}):
                rows.append([
                    mark(value, CHOSEN[name]), *summary([outcome(one) for one in cases])
                ])  # fmt: skip
        table(f"{name}: of {len(cases)} amplitudes", [name, *head], rows)
    print_together()


def print_together() -> None:
    """Print what the three lengths that hang together do, over watches whose amplitude varies."""
    cases = [case(VARIES, *watches(seed)[VARIES], seed) for seed in range(MANY)]
    rows = []
    for values in TOGETHER:
        with tuned(onset, **values):
            every = summary([outcome(one) for one in cases])
        rows.append([str(tuple(values.values())), *every[:-1]])
    head = ["right", "none", "wrong", "median error", "95 % hold"]
    table(f"Together: {MANY} watches, {VARIES}", [", ".join(TOGETHER[0]), *head], rows)


TOGETHER = (
    {"PART_REACH_S": 0.4e-3, "PART_S": (0.6e-3, 1.2e-3), "STEEPEST_WITHIN_S": 0.35e-3},
    {"PART_REACH_S": 1.2e-3, "PART_S": (0.6e-3, 1.2e-3), "STEEPEST_WITHIN_S": 0.8e-3},
    {"PART_REACH_S": 1.6e-3, "PART_S": (1.2e-3, 1.8e-3), "STEEPEST_WITHIN_S": 1.0e-3},
    {"PART_REACH_S": 2.2e-3, "PART_S": (1.2e-3, 1.8e-3), "STEEPEST_WITHIN_S": 1.0e-3},
)
"""What hangs together: how far a noise may move, what of it is looked at, where its rise is."""
CHOSEN = {name: getattr(module, name) for name, (module, _) in SWEPT.items()}

if __name__ == "__main__":
    main()
