"""Rate, amplitude and beat error of many readings against the truth: tables that benches share."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from show import show

from sideshake.core.quantities import Measured

Floats = NDArray[np.float64]

WANTED = (0.92, 0.98)
GRAVE = 3.0
"""A figure is wrong with confidence when it is off by more than so many half intervals."""
COLUMNS = (
    "given", "holds", "rms / u", "median", "95 % within", "mean", "median u", "worst / u", "wrong",
)  # fmt: skip
"""All but the first two are of the error; u is the standard uncertainty; wrong counts figures off
by more than three half intervals."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """What a perfect instrument would read off a recording, sample clock and lift angle known.

    `rate_s_per_day` : the balance's own
    `amplitude_deg` : by the trade's formula from the mean time from unlocking to drop
    `beat_error_ms` : half the difference of alternate intervals between unlockings
    """

    rate_s_per_day: float
    amplitude_deg: float
    beat_error_ms: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """The figures of a reading, None where there is none."""

    rate_s_per_day: Measured | None
    amplitude_deg: Measured | None
    beat_error_ms: Measured | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One of the three figures; `field` is its name in a reading and in a truth."""

    name: str
    unit: str
    field: str

    def of(self, reading: Any) -> Measured | None:
        """Return what a reading says."""
        return getattr(reading, self.field)

    def true(self, truth: Truth) -> float:
        """Return what is true."""
        return float(getattr(truth, self.field))


RATE = Figure(name="rate", unit="s/day", field="rate_s_per_day")
AMPLITUDE = Figure(name="amplitude", unit="degrees", field="amplitude_deg")
BEAT_ERROR = Figure(name="beat error", unit="ms", field="beat_error_ms")
FIGURES = (RATE, AMPLITUDE, BEAT_ERROR)


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """How loud the noises are, in dB: against the drop of their own side, and the drop itself.

    `unlocking_db`, `impulse_db` : (tick, tock); `drop_db` : over the room
    """

    unlocking_db: tuple[float, float]
    impulse_db: tuple[float, float]
    drop_db: float

    @property
    def faint_db(self) -> float:
        """Return the level of unlocking on the side where it is fainter."""
        return min(self.unlocking_db)

    def text(self) -> str:
        """Return the levels in a few words."""
        unlocking, impulse = (
            "/".join(f"{level:.0f}" for level in pair)
            for pair in (self.unlocking_db, self.impulse_db)
        )
        return f"unlocking {unlocking}, impulse {impulse}, room {-self.drop_db:.0f}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the ear said to one sound, and the truth; `said` is None where it refused.

    `reason` : why it refused, or why it gave no amplitude
    """

    seed: int
    levels: Levels
    truth: Truth
    said: Said | None
    reason: str = ""

    def of(self, figure: Figure) -> Measured | None:
        """Return what was said of a figure."""
        return None if self.said is None else figure.of(self.said)

    def is_wrong(self, figure: Figure) -> bool:
        """Return whether the figure is off by more than three half intervals."""
        told = self.of(figure)
        off = 0.0 if told is None else abs(told.value - figure.true(self.truth))
        return told is not None and off > GRAVE * told.expanded


@dataclass(frozen=True, slots=True)
class Errors:
    """Errors and standard uncertainties of one figure, where it was given; `asked` counts all."""

    error: Floats
    u: Floats
    asked: int

    @property
    def given(self) -> int:
        return int(self.error.size)

    @property
    def held(self) -> float:
        """Return the share of the 95 % intervals that hold the truth."""
        return float(np.mean(np.abs(self.error) <= Measured(0.0, 1.0).expanded * self.u))

    @property
    def chance(self) -> float:
        """Return the standard deviation by which chance moves that share.

        Two more that hold and two that do not are counted in (Agresti & Coull 1998, The American
        Statistician 52, 119-126): that all of twelve hold is no proof that all do.
        """
        count = self.given + 4
        share = (self.held * self.given + 2) / count
        return math.sqrt(share * (1 - share) / count)

    @property
    def wrong(self) -> int:
        """Return how many are off by more than three half intervals."""
        half = Measured(0.0, 1.0).expanded * self.u
        return int(np.count_nonzero(np.abs(self.error) > GRAVE * half))

    def within(self, share: float) -> float:
        """Return the error that so great a share of the figures does not exceed."""
        return float(np.quantile(np.abs(self.error), share))


def errors_of(figure: Figure, answers: Sequence[Answer]) -> Errors:
    """Return the errors of the figure over the answers."""
    pairs = [
        (told.value - figure.true(answer.truth), told.u)
        for answer in answers
        if (told := answer.of(figure)) is not None
    ]
    columns = np.array(pairs).reshape(-1, 2).T
    return Errors(columns[0], columns[1], len(answers))


def row_of(group: str, figure: Figure, answers: Sequence[Answer]) -> list[str]:
    """Return a row of the table: how often the interval held the truth, and how wide it was."""
    found = errors_of(figure, answers)
    if not found.given:
        return [group, f"0 of {found.asked}", *["-"] * (len(COLUMNS) - 1)]
    error, u = found.error, found.u
    return [
        group,
        f"{found.given} of {found.asked}",
        f"{100 * found.held:.1f} ± {200 * found.chance:.1f} %",
        f"{math.sqrt(np.mean(error**2) / np.mean(u**2)):.2f}",
        f"{found.within(0.5):.4f}",
        f"{found.within(0.95):.4f}",
        f"{float(np.mean(error)):+.4f}",
        f"{float(np.median(u)):.4f}",
        f"{float(np.max(np.abs(error) / u)):.1f}",
        f"{found.wrong}",
    ]


def show_figures(title: str, groups: dict[str, list[Answer]]) -> None:
    """Print a table for each figure, a row for each group that holds anything."""
    for figure in FIGURES:
        rows = [row_of(name, figure, part) for name, part in groups.items() if part]
        show(f"{title}: {figure.name}, {figure.unit}", ("", *COLUMNS), rows)


def is_wanted(share: float) -> bool:
    """Return whether intervals hold the truth as often as they should."""
    return WANTED[0] <= share <= WANTED[1]
