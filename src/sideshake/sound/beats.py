"""The beats heard: when, which number, which side, how strong."""

from dataclasses import dataclass, field, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError


@dataclass(frozen=True, slots=True)
class Beats:
    """Heard beats in order of time; shape (n,) each.

    `arrival_s` : seconds after the first sample by the recorder's own clock; the same moment of the
    tick on every beat of a side
    `index` : beat number, counted through beats that were not heard; even on side 0, odd on side 1
    `strength` : 1 for a beat as strong as the average of its side
    `middle_s`, `unlock_s` : how much later against its arrival the middle of lift, and unlocking,
    comes than it mostly does on its page and side; 0 where that is not told
    """

    arrival_s: NDArray[np.float64]
    index: NDArray[np.int64]
    strength: NDArray[np.float32]
    middle_s: NDArray[np.float64] = field(default_factory=lambda: np.zeros(0))
    unlock_s: NDArray[np.float64] = field(default_factory=lambda: np.zeros(0))

    def __post_init__(self) -> None:
        for name in ("middle_s", "unlock_s"):
            if not getattr(self, name).size:
                object.__setattr__(self, name, np.zeros(self.arrival_s.shape))
        if any(self.arrival_s.shape != column.shape for column in self._columns):
            raise InputError("beats need as many arrival times as numbers and strengths")
        if np.any(np.diff(self.index) <= 0):
            raise InputError("beat numbers must rise")

    @property
    def _columns(self) -> tuple[NDArray[Any], ...]:
        return tuple(getattr(self, each.name) for each in fields(self))

    @property
    def count(self) -> int:
        """Return how many beats were heard."""
        return int(self.index.size)

    @property
    def side(self) -> NDArray[np.int8]:
        """Return 0 for the beats of the one side, 1 for the other."""
        return (self.index % 2).astype(np.int8)

    @property
    def missing(self) -> int:
        """Return how many beats between the first and the last were not heard."""
        return int(self.index[-1] - self.index[0] + 1 - self.count) if self.count else 0

    @classmethod
    def join(cls, parts: "tuple[Beats, ...]") -> "Beats":
        """Return all beats of the parts, which must follow each other."""
        if not parts:
            return cls(np.empty(0), np.empty(0, np.int64), np.empty(0, np.float32))
        together = zip(*(part._columns for part in parts), strict=True)
        return cls(*(np.concatenate(columns) for columns in together))

    def part(self, some: "slice | NDArray[np.bool_]") -> "Beats":
        """Return some of the beats."""
        return Beats(*(column[some] for column in self._columns))

    def between(self, after_s: float, until_s: float) -> "Beats":
        """Return the beats that arrive later than `after_s` and not later than `until_s`."""
        return self.part((self.arrival_s > after_s) & (self.arrival_s <= until_s))
