"""How likely a leaning barrel rubs, by two ways that must agree, and which doubt weighs most."""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sideshake.errors import InputError
from sideshake.quantities import Measured, probability_below
from sideshake.wear.barrel import Barrel, Gap, measured_values
from sideshake.wear.barrel_size import BarrelSize, worn_values
from sideshake.wear.stance import Stance
from sideshake.wear.tilt import as_measured, gap_left, uncertain_values

DRAWS = 100_000
"""Enough for a probability to 0.0016 (one standard error at one half)."""
CHUNK = 50_000
"""Draws worked at once, so that the arrays stay in the processor's cache."""
SEED = 20_240_229
AGREEMENT = 0.03
"""First order and sampling may differ by this much before the answer says so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A measured value's share of the variance of the gap that is left."""

    name: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rubbing:
    """What is left of a gap in a stance, and the probability that nothing is left."""

    gap: Gap
    stance: Stance
    left_mm: Measured
    first_order: float
    sampled: float
    draws: int
    doubts: tuple[Doubt, ...]

    @property
    def probability(self) -> float:
        """Return the probability of rubbing (the sampled one: it needs no straight lines)."""
        return self.sampled

    @property
    def ways_agree(self) -> bool:
        """Return whether first order and sampling tell the same."""
        return abs(self.first_order - self.sampled) <= AGREEMENT


def rubbing(barrel: Barrel, stance: Stance, gap: Gap, *, draws: int = DRAWS) -> Rubbing:
    """Return how much of the gap is left in this stance and how likely the parts touch.

    Parameters
    ----------
    draws : number of random draws for the second way, at least 1000; the seed is fixed

    References
    ----------
    GUM (JCGM 100:2008) eq. 10 for the first way; JCGM 101:2008 for the second
    """
    left = gap_left(barrel, stance, gap, uncertain_values(barrel, gap))
    value = as_measured(left)
    return Rubbing(
        gap=gap,
        stance=stance,
        left_mm=value,
        first_order=probability_below(value, 0.0),
        sampled=sampled_probability(barrel, stance, gap, draws=draws),
        draws=draws,
        doubts=doubts_of(left),
    )


def doubts_of(result: Any) -> tuple[Doubt, ...]:
    """Return each input's share of the result's variance, the largest first."""
    parts = result.error_components() if hasattr(result, "error_components") else {}
    total = sum(error**2 for error in parts.values())
    if total == 0:
        return ()
    shares = (Doubt(name=part.tag, share=error**2 / total) for part, error in parts.items())
    return tuple(sorted(shares, key=lambda doubt: -doubt.share))


def danger(barrel: Barrel, stance: Stance, gap: Gap) -> tuple[float, float]:
    """Return what sorts gaps by danger: first-order probability, then how little is left."""
    left = as_measured(gap_left(barrel, stance, gap, uncertain_values(barrel, gap)))
    return (probability_below(left, 0.0), -left.value)


def sampled_probability(barrel: Barrel, stance: Stance, gap: Gap, *, draws: int) -> float:
    """Return the share of random draws in which nothing of the gap is left."""
    if draws < 1000:
        raise InputError(f"sampling needs at least 1000 draws, got {draws}")
    random = np.random.default_rng(SEED)
    sizes = [CHUNK] * (draws // CHUNK) + ([draws % CHUNK] if draws % CHUNK else [])
    touched = sum(
        int(np.count_nonzero(gap_left(barrel, stance, gap, drawn(barrel, gap, size, random)) < 0))
        for size in sizes
    )
    return touched / draws


def drawn(
    barrel: Barrel, gap: Gap, size: int, random: np.random.Generator
) -> dict[str, NDArray[np.float64]]:
    """Return random draws of each measured value; a hole is never smaller than its pivot.

    What nobody measured is drawn with its one-sided wear.
    """
    return drawn_values(dict(measured_values(barrel, gap)), barrel.known, size, random)


def drawn_values(
    named: dict[str, Measured],
    known: tuple[BarrelSize, ...],
    size: int,
    random: np.random.Generator,
) -> dict[str, NDArray[np.float64]]:
    """Return random draws of named values, by how each is known."""
    values = {
        name: each.value + each.u * random.standard_normal(size) for name, each in named.items()
    } | worn_values(known, size, random)
    return {name: not_below_pivot(name, values) for name in values}


def not_below_pivot(name: str, values: dict[str, NDArray[np.float64]]) -> NDArray[np.float64]:
    """Return the draws of a value; a hole is raised to its pivot where it falls short."""
    bearing, found, _ = name.partition(" hole")
    return np.maximum(values[name], values[f"{bearing} pivot"]) if found else values[name]


def chance_short(probability: float) -> str:
    """Return a probability for a narrow column.

    Examples
    --------
    >>> chance_short(0.384), chance_short(0.001), chance_short(0.9999)
    ('38 %', '< 1 %', '> 99 %')
    """
    return chance_words(probability).replace("less than", "<").replace("more than", ">")


def chance_words(probability: float) -> str:
    """Return a probability in words of whole percent, without false certainty at the ends.

    Examples
    --------
    >>> chance_words(0.384), chance_words(0.001), chance_words(0.9999)
    ('38 %', 'less than 1 %', 'more than 99 %')
    """
    if math.isnan(probability) or not 0 <= probability <= 1:
        raise InputError(f"a probability lies between 0 and 1, got {probability}")
    if probability < 0.01:
        return "less than 1 %"
    return "more than 99 %" if probability > 0.99 else f"{probability:.0%}".replace("%", " %")
