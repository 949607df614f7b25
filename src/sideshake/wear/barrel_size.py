"""How a size of the barrel is known: measured, from the calibre sheet, or assumed.

What nobody measured on this watch is not a sound sample: a hole only grows, a pivot only thins, an
endshake only grows. Such a size carries the mean and the spread of what it may be by now, and the
scale of its one-sided wear. Millimetres.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.growth import MEAN, SD, growth

DRAWS, SEED = 20_000, 20_240_303
"""For a range as it is printed: good to its last digit or two."""


class SizeSource(StrEnum):
    """Where a size comes from."""

    MEASURED = "measured"
    SHEET = "from the sheet"
    ASSUMED = "assumed"


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrelSize:
    """A size, where it comes from, and the wear that it may have had since.

    `name` is that of `measured_values`, `words` the one to print. `new` is what it was when sound.
    `wear_mm` is one sound play of wear: above 0 it makes the size larger, below 0 smaller, 0 leaves
    it as it was.
    """

    name: str
    words: str
    source: SizeSource
    new: Measured
    wear_mm: float = 0.0

    def __post_init__(self) -> None:
        if self.source is SizeSource.MEASURED and self.wear_mm:
            raise InputError(f"the {self.words} was measured: no wear is added to it")

    @property
    def value(self) -> Measured:
        """Return what it is by now: the mean, and the spread of everything it may be."""
        u = float(np.hypot(self.new.u, SD * self.wear_mm))
        return Measured(self.new.value + MEAN * self.wear_mm, u)

    @property
    def text(self) -> str:
        """Return the value as it is printed: one-sided wear as the range that holds 95 of 100."""
        if not self.wear_mm:
            return self.value.text()
        low, high = np.quantile(self.drawn(DRAWS, np.random.default_rng(SEED)), [0.025, 0.975])
        return f"{low:.3f} to {high:.3f}"

    def drawn(self, size: int, random: np.random.Generator) -> NDArray[np.float64]:
        """Return random draws of what it may be by now."""
        sound = self.new.value + self.new.u * random.standard_normal(size)
        return sound + self.wear_mm * growth(size, random) if self.wear_mm else sound


def measured(name: str, words: str, value: Measured) -> BarrelSize:
    """Return a size that was measured on this watch."""
    return BarrelSize(name=name, words=words, source=SizeSource.MEASURED, new=value)


ENDSHAKE_PARTS = ("endshake of the arbor", "endshake of the barrel")


def worn_values(
    known: tuple[BarrelSize, ...], size: int, random: np.random.Generator
) -> dict[str, NDArray[np.float64]]:
    """Return draws of the sizes that nobody measured and that wear, by their name.

    The endshake is drawn as the sum of its parts as soon as one of them was not measured.
    """
    parts = [each for each in known if each.name in ENDSHAKE_PARTS]
    unsure = any(each.wear_mm for each in parts)
    wearing = [each for each in known if each.wear_mm or (unsure and each in parts)]
    values = {each.name: each.drawn(size, random) for each in wearing}
    if unsure:
        values["endshake"] = np.sum([values[each.name] for each in parts], axis=0)
        values["arbor's endshake"] = values[ENDSHAKE_PARTS[0]]
    return values


def unmeasured(known: tuple[BarrelSize, ...]) -> dict[str, SizeSource]:
    """Return where each size comes from that nobody measured on this watch, by its name."""
    return {each.name: each.source for each in known if each.source is not SizeSource.MEASURED}
