"""LEAST_RATIOS, LEAST_SIGMAS; the priors of the joint explanation; SURE.

Each is moved alone over the same watches of both simulators. The first choice is right when its
time from unlocking to drop is within 4 % of the true one (10 degrees at 270). A row says, of each
simulator's watches, how many are told as sure and right, told as sure and wrong, and not told.
"""

from collections.abc import Callable
from dataclasses import dataclass

from ticks import Case, both, cases
from trial import mark, shown, table, tuned

from sideshake.sound import choices, event, explain, template
from sideshake.sound.choices import Explanation
from sideshake.sound.profile import Profile, envelope_powers, side_profiles, turned

EACH, FIRST_SEED = 70, 5000
RIGHT = 0.04
EVENTS = {
    "LEAST_RATIOS": ((1.5, 1.2, 1.1), (2.0, 1.5, 1.3), (3.0, 2.0, 1.5), (4.5, 3.0, 2.0)),
    "LEAST_SIGMAS": ((5.0, 4.0, 3.0), (6.5, 4.5, 3.4), (8.0, 5.5, 3.8), (11.0, 8.0, 5.5)),
    "FORERUNNERS": (
        (),
        ((3e-3, 1e-4), (10e-3, 3e-5)),
        ((3e-3, 5e-4), (10e-3, 1e-4)),
        ((3e-3, 2e-3), (10e-3, 4e-4)),
    ),
}
PRIORS = {
    "SWING_DEG": ((245.0, 30.0), (245.0, 60.0), (245.0, 120.0)),
    "UNLOCK_DB": (
        (-13.0, 7.0, 7.0),
        (-13.0, 9.0, 6.0),
        (-13.0, 10.0, 5.5),
        (-13.0, 12.0, 6.0),
        (-8.0, 9.0, 6.0),
        (-18.0, 9.0, 6.0),
    ),
    "IMPULSE_DB": ((-7.0, 4.0), (-7.0, 7.5), (-7.0, 12.0), (-12.0, 7.5), (-2.0, 7.5)),
    "IMPULSE_SHARE": ((0.32, 0.07), (0.32, 0.13), (0.32, 0.3), (0.45, 0.13)),
    "SIDES_SPAN": (0.01, 0.03, 0.06, 0.12),
    "SIDES_SHARE": (0.03, 0.07, 0.15),
    "SIDES_DB": (2.5, 5.0, 10.0),
    "MASKED": (0.03, 0.12, 0.4),
    "BANKING_RATE": (0.1, 0.6, 2.0),
    "BETWEEN_RATE": (0.05, 0.12, 0.25, 1.0),
    "AGAIN_NATS": (0.0, 2.5, 4.0, 5.5),
    "NEAR_DROP_RATE": (1e-3, 0.01, 0.25),
    "BEFORE_RATE": (1e-4, 1e-3, 3e-3, 1e-2, 0.1),
    "ECHO_DB": ((-17.0, 4.0), (-17.0, 7.0), (-10.0, 7.0)),
}
SURES = (0.5, 0.8, 0.9, 0.95, 0.97, 0.985, 0.988, 0.99, 0.997, 0.9995)


@dataclass(frozen=True, slots=True)
class Heard:
    """A case with its sides' profiles."""

    case: Case
    profiles: list[list[Profile]]

    def explanation(self) -> Explanation:
        """Return what its noises may be, by the constants as they stand."""
        return template.explain_sides(self.profiles, self.case.beat_s)


def heard(case: Case) -> Heard:
    """Return the profiles of a case."""
    windows = case.ticks.windows
    powers = envelope_powers(windows.spectra, windows)
    sides = [
        side_profiles(
            windows, powers, turned(windows, powers, case.ticks.shift, case.ticks.rows(side))
        )
        for side in (0, 1)
    ]
    return Heard(case, sides)


def is_right(one: Heard, found: Explanation) -> bool:
    """Return whether the first choice is the true one."""
    return abs(found.choices[0].span_s / one.case.true_s - 1) < RIGHT


def counts(some: list[Heard], found: Callable[[Heard], Explanation]) -> list[object]:
    """Return sure and right / sure and wrong / not sure, of each simulator."""
    row: list[object] = []
    for name, _ in both([one.case for one in some]):
        told = [(one, found(one)) for one in some if one.case.simulator == name]
        sure = [is_right(one, each) for one, each in told if each.sure]
        row.append(f"{sum(sure)}/{len(sure) - sum(sure)}/{len(told) - len(sure)}")
    return row


def main() -> None:
    """Print the tables."""
    some = [heard(case) for case in cases(EACH, FIRST_SEED)]
    head = ["first: right/wrong/none", "second"]
    for name, values in EVENTS.items():
        rows = []
        for value in values:
            with tuned(event, **{name: value}):
                rows.append([mark(value, CHOSEN[name]), *counts(some, Heard.explanation)])
        table(f"{name}: of {len(some)} watches", [name, *head], rows)
    for name, values in PRIORS.items():
        rows = []
        for value in values:
            with tuned(explain, **{name: value}):
                rows.append([mark(value, CHOSEN[name]), *counts(some, Heard.explanation)])
        table(name, [name, *head], rows)
    print_sure(some)


def print_sure(some: list[Heard]) -> None:
    """Print what is told at each bar, and how often what is thought so probable is right."""
    known = {id(one): one.explanation() for one in some}
    rows = []
    for value in SURES:
        with tuned(choices, SURE=value):
            rows.append([mark(value, CHOSEN["SURE"]), *counts(some, lambda one: known[id(one)])])
    table("SURE", ["SURE", "first: right/wrong/none", "second"], rows)
    rows = []
    for low, high in zip((0.0, 0.5, 0.8, 0.9, 0.97), (0.5, 0.8, 0.9, 0.97, 1.01), strict=True):
        among = [
            is_right(one, known[id(one)])
            for one in some
            if known[id(one)].choices and low <= known[id(one)].choices[0].probability < high
        ]
        share = sum(among) / len(among) if among else float("nan")
        rows.append([f"{shown(low)} to {shown(min(high, 1.0))}", len(among), share])
    table("How often the first choice is right", ["its probability", "watches", "right"], rows)


CHOSEN = {
    name: getattr(module, name)
    for module, names in ((event, EVENTS), (explain, PRIORS), (choices, ("SURE",)))
    for name in names
}

if __name__ == "__main__":
    main()
