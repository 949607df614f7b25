"""LEVEL, LEVEL_ALONE, SOONER_S, EARLY_SHARE; MOVED_SHARE, APART_SHARE, RISE_SHARE, LEAST_U_S: where
a noise begins, and how far that is open.

Over watches of both simulators whose unlocking and drop are surely and rightly named: the error of
the time from unlocking to drop (mean of tick and tock) in microseconds, against what its shapes
leave open.
"""

import numpy as np
from ticks import Case, both, cases
from trial import mark, table, tuned

from sideshake.core.errors import NotEnough
from sideshake.sound import began, onset, template
from sideshake.sound.listener import SegmentNote, onsets_of
from sideshake.timing.amplitude import page_swing

EACH, FIRST_SEED = 40, 6000
RIGHT = 0.04
LEVELS = {
    "LEVEL": (0.005, 0.01, 0.02, 0.05, 0.1, 0.2),
    "LEVEL_ALONE": (0.02, 0.05, 0.1, 0.2),
}
PLACES = {
    "EARLY_SHARE": (0.0, 0.3, 0.6, 0.9, 1.2),
    "SOONER_S": (0.0, 0.3e-3, 0.7e-3, 1.2e-3),
    "WANDER_S": (0.05e-3, 0.15e-3, 0.4e-3),
}
SHARES = {
    "MOVED_SHARE": (0.0, 0.5, 1.0, 1.5),
    "APART_SHARE": (0.0, 0.2, 0.6, 1.0),
    "RISE_SHARE": (0.0, 0.2, 0.4, 0.6),
    "LEAST_U_S": (4e-6, 8e-6, 12e-6, 15e-6, 24e-6),
}


def swings(some: list[Case]) -> np.ndarray:
    """Return errors and stated standard uncertainties (us), shape (cases, 2), NaN where untold."""
    rows = []
    for case in some:
        drawn = case.portraits()
        found = drawn.explanation
        if (
            found is None
            or not found.sure
            or abs(found.choices[0].span_s / case.true_s - 1) > RIGHT
        ):
            rows.append((np.nan, np.nan))
            continue
        onsets = onsets_of(drawn.sides[0]), onsets_of(drawn.sides[1])
        try:
            swing = page_swing(SegmentNote(start_s=0.0, end_s=20.0, heard=100, onsets=onsets))
        except NotEnough:
            rows.append((np.nan, np.nan))
            continue
        u_s = np.hypot(swing.time_s.u, swing.shape_u_s)
        rows.append((1e6 * (swing.time_s.value - case.true_s), 1e6 * u_s))
    return np.array(rows)


def figures(some: list[Case]) -> list[object]:
    """Return, of each simulator: median error, median of its size, and the share that hold."""
    row: list[object] = []
    for _, part in both(some):
        error, u = swings(part).T
        there = np.isfinite(error)
        error, u = error[there], u[there]
        row += [
            int(there.sum()), float(np.median(error)), float(np.median(np.abs(error))),
            float(np.median(u)), float(np.mean(np.abs(error) < 2 * u)),
        ]  # fmt: skip
    return row


def main() -> None:
    """Print the tables."""
    some = cases(EACH, FIRST_SEED)
    each = ["told", "median us", "median size", "stated u", "95 % hold"]
    head = [*each, *(f"2nd {name}" for name in each)]
    for module, swept in SWEPT:
        for name, values in swept.items():
            rows = []
            for value in values:
                with tuned(module, **{name: value}):
                    rows.append([mark(value, CHOSEN[name]), *figures(some)])
            table(f"{name}: {len(some)} watches", [name, *head], rows)


SWEPT = ((began, LEVELS), (onset, PLACES), (template, SHARES))
CHOSEN = {name: getattr(module, name) for module, swept in SWEPT for name in swept}

if __name__ == "__main__":
    main()
