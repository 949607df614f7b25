"""The waveform of an impact: resonances struck by a short force, computed at the exact instant.

A resonance answers an instant blow at 0 with Re(c exp(s t)), s = -1/decay + 2 pi i f. A force of
finite length answers with the integral of that, which is again c g exp(s t) once the force is over;
so a whole row of a watch's impacts is one small product of matrices, and only the attack needs
evaluation sample by sample.
"""

from dataclasses import dataclass
from math import factorial

import numpy as np
from numpy.typing import NDArray

from second_sound.values import Attack

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]

GAMMA_ORDER = 3


@dataclass(frozen=True, slots=True)
class Force:
    """What strikes: its kind and its length (of a step, none)."""

    kind: Attack
    length_s: float

    @property
    def over_s(self) -> float:
        """Return from when on the answer is a free decay."""
        if self.kind == "step":
            return 0.0
        return self.length_s if self.kind == "contact" else 8.0 * self.length_s

    def gain(self, pole: Complexes) -> Complexes:
        """Return g of the free decay g exp(s t)."""
        if self.kind != "contact":
            return np.ones_like(pole)
        b = np.pi / self.length_s
        return np.asarray(b * (1 + np.exp(-pole * self.length_s)) / (pole**2 + b**2))

    def answer(self, pole: Complexes, t: Floats) -> Complexes:
        """Return the complex answer of a resonance at times while the force acts (0 before it)."""
        after = np.maximum(t, 0.0)
        free = np.exp(pole * after)
        if self.kind == "contact":
            b = np.pi / self.length_s
            held = (b * free - b * np.cos(b * after) - pole * np.sin(b * after)) / (pole**2 + b**2)
            value = np.where(after < self.length_s, held, self.gain(pole) * free)
        elif self.kind == "gamma":
            x = after * GAMMA_ORDER / self.length_s
            missing = np.exp(-x) * sum(x**j / factorial(j) for j in range(GAMMA_ORDER))
            value = (1.0 - missing) * free
        else:
            value = free
        return np.asarray(np.where(t < 0, 0.0, value))


@dataclass(frozen=True, slots=True)
class Grid:
    """Where the rows of samples lie: `offset_s` from a row's first sample to its impact's onset."""

    rate_hz: float
    count: int
    offset_s: Floats


def struck(force: Force, pole: Complexes, weight: Complexes, grid: Grid) -> Floats:
    """Return rows of samples, one for each impact.

    Parameters
    ----------
    pole : shape (modes,), s of each resonance
    weight : shape (impacts, modes), c of each resonance in each impact
    grid : offsets are 0 or more; nothing sounds before them
    """
    sample_s = np.arange(grid.count) / grid.rate_hz
    basis = np.exp(pole[:, None] * sample_s)
    shifted = weight * force.gain(pole) * np.exp(-pole * grid.offset_s[:, None])
    rows = np.hstack([shifted.real, -shifted.imag]) @ np.vstack([basis.real, basis.imag])
    until = int((force.over_s + grid.offset_s.max()) * grid.rate_hz) + 2
    t = sample_s[:until] - grid.offset_s[:, None]
    early = force.answer(pole, t[:, :, None])
    rows[:, :until] = np.einsum("knm,km->kn", early, weight).real
    return np.asarray(rows)


def loudest_energy(rows: Floats, width: int) -> Floats:
    """Return each row's greatest energy in `width` samples in a row."""
    total = np.cumsum(np.pad(rows**2, ((0, 0), (1, 0))), axis=1)
    return np.asarray((total[:, width:] - total[:, :-width]).max(axis=1))
