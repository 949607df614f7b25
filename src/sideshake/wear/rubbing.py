"""How likely a leaning barrel rubs, by two ways that must agree, and which doubt weighs most."""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, probability_below
from sideshake.wear.arbor_pose import ArborPose
from sideshake.wear.barrel import Barrel, BarrelSide, Gap
from sideshake.wear.draws import DRAWS, KEPT, gap_draws, standings
from sideshake.wear.settle import Numbers
from sideshake.wear.tilt import Linear, gap_left, linear, named_values, slope_now, standing, towards

AGREEMENT = 0.03
"""First order and sampling may differ by this much before the answer says so."""
NO_LEAN = 1e-5
"""A slope too small to have a direction: 0.0006 degrees."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ValueShare:
    """A measured value's share of the variance of the gap that is left."""

    name: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rubbing:
    """What is left of a gap in a stance, and the probability that nothing is left.

    `at_deg` is where the parts come nearest, as a direction from the barrel's centre; None where
    the barrel does not lean.
    """

    gap: Gap
    stance: ArborPose
    left_mm: Measured
    at_deg: float | None
    first_order: float
    sampled: float
    draws: int
    doubts: tuple[ValueShare, ...]

    @property
    def probability(self) -> float:
        """Return the probability of rubbing (the sampled one: it needs no straight lines)."""
        return self.sampled

    @property
    def ways_agree(self) -> bool:
        """Return whether first order and sampling tell the same."""
        return abs(self.first_order - self.sampled) <= AGREEMENT


def rubbing(barrel: Barrel, stance: ArborPose, gap: Gap, *, draws: int = DRAWS) -> Rubbing:
    """Return how much of the gap is left in this stance and how likely the parts touch.

    Parameters
    ----------
    draws : number of random draws for the second way, at least 1000; the seed is fixed

    References
    ----------
    GUM (JCGM 100:2008) eq. 10 for the first way; JCGM 101:2008 for the second
    """
    linear_left = first_order_left(barrel, stance, gap)
    left = left_draws(barrel, stance, gap, draws)
    return Rubbing(
        gap=gap,
        stance=stance,
        left_mm=Measured(linear_left.value, float(np.std(left))),
        at_deg=nearest(barrel, stance, gap),
        first_order=probability_below(linear_left.measured, 0.0),
        sampled=float(np.count_nonzero(left < 0)) / left.size,
        draws=left.size,
        doubts=doubts_of(linear_left),
    )


def doubts_of(result: Linear) -> tuple[ValueShare, ...]:
    """Return each input's share of the result's variance, the largest first."""
    total = sum(part**2 for part in result.parts.values())
    if total == 0:
        return ()
    shares = (ValueShare(name=name, share=part**2 / total) for name, part in result.parts.items())
    return tuple(sorted(shares, key=lambda doubt: -doubt.share))


@lru_cache(maxsize=4 * KEPT)
def first_order_left(barrel: Barrel, stance: ArborPose, gap: Gap) -> Linear:
    """Return the gap that is left, and what each input's uncertainty does to it."""
    return linear(
        lambda values: gap_left(gap, standing(barrel, stance, values), values),
        named_values(barrel, stance, gap),
    )


def danger(barrel: Barrel, stance: ArborPose, gap: Gap) -> tuple[float, float]:
    """Return what sorts gaps by danger: first-order probability, then how little is left."""
    left = first_order_left(barrel, stance, gap).measured
    return (probability_below(left, 0.0), -left.value)


def left_draws(barrel: Barrel, stance: ArborPose, gap: Gap, draws: int) -> Numbers:
    """Return the gap that is left in random draws."""
    found = standings(barrel, stance, draws)
    if found.endshake_mm.size == 1 and (gap.gap_mm.u or gap.radius_mm.u):
        found = found.repeated(draws)
    left: Numbers = gap_left(gap, found.stands, gap_draws(gap, found.endshake_mm))
    return left


def nearest(barrel: Barrel, stance: ArborPose, gap: Gap) -> float | None:
    """Return where the barrel comes nearest to a part: its rim goes up opposite to the lean."""
    if gap.direction_deg is not None:
        return gap.direction_deg
    slope = slope_now(barrel, stance)
    if abs(slope) < NO_LEAN:
        return None
    return (towards(slope) + (180.0 if gap.side is BarrelSide.ABOVE else 0.0)) % 360.0


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
