"""How likely a play or an interference ends inside its limits, and which tolerance to tighten.

Each contribution to the difference is either a maker's tolerance (any value within is as likely, a
rectangle) or a measurement (normal distribution). Millimetres.
"""

import math
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from sideshake.errors import InputError

DRAWS = 200_000
SEED = 20_240_229


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """One part of a difference: its middle with its sign, and how it may vary.

    Give `half_width_mm` for a tolerance, `u_mm` for a measurement; not both.
    """

    name: str
    middle_mm: float
    half_width_mm: float = 0.0
    u_mm: float = 0.0

    def __post_init__(self) -> None:
        if self.half_width_mm < 0 or self.u_mm < 0:
            raise InputError(f"{self.name}: a tolerance and an uncertainty are 0 or more")
        if self.half_width_mm and self.u_mm:
            raise InputError(
                f"{self.name}: both a tolerance ±{self.half_width_mm:g} and an uncertainty "
                f"{self.u_mm:g} mm are given; give one"
            )

    @property
    def standard_mm(self) -> float:
        """Return the standard uncertainty; of a rectangle, its half-width over root 3."""
        return self.u_mm or self.half_width_mm / math.sqrt(3.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FitChance:
    """The probability of ending inside the limits, by sampling and by first order."""

    inside: float
    below: float
    above: float
    first_order: float
    middle_mm: float
    u_mm: float
    tighten: str | None
    inside_if_tightened: float


def fit_chance(parts: tuple[Contribution, ...], *, low_mm: float, high_mm: float) -> FitChance:
    """Return how likely the sum of the parts lies between two limits, and what to tighten.

    The tolerance to tighten is the one whose halving brings most.

    Raises
    ------
    InputError : there are no parts, or the limits are the wrong way round

    References
    ----------
    JCGM 101:2008 (propagation of distributions); GUM 4.3.7 for the rectangle
    """
    if not parts:
        raise InputError("a fit needs at least one contribution")
    if not low_mm < high_mm:
        raise InputError(f"the lower limit {low_mm:g} must lie below the upper {high_mm:g} mm")
    units = unit_draws(parts)
    total = summed(parts, units)
    tighter = [
        inside_share(summed(halved(parts, row), units), low_mm, high_mm)
        for row in range(len(parts))
    ]
    best = int(np.argmax(tighter))
    below, above = float(np.mean(total < low_mm)), float(np.mean(total > high_mm))
    gains = tighter[best] > 1 - below - above
    return FitChance(
        inside=1 - below - above,
        below=below,
        above=above,
        first_order=first_order_inside(parts, low_mm, high_mm),
        middle_mm=sum(part.middle_mm for part in parts),
        u_mm=math.hypot(*(part.standard_mm for part in parts)),
        tighten=parts[best].name if gains else None,
        inside_if_tightened=tighter[best] if gains else 1 - below - above,
    )


def unit_draws(parts: tuple[Contribution, ...]) -> list[NDArray[np.float64]]:
    """Return draws of unit width for each part: normal, or even between -1 and 1."""
    random = np.random.default_rng(SEED)
    return [
        random.standard_normal(DRAWS) if part.u_mm else random.uniform(-1.0, 1.0, DRAWS)
        for part in parts
    ]


def summed(
    parts: tuple[Contribution, ...], units: list[NDArray[np.float64]]
) -> NDArray[np.float64]:
    """Return draws of the sum of the parts (mm), shape (DRAWS,)."""
    middle = sum(part.middle_mm for part in parts)
    widths = (part.u_mm or part.half_width_mm for part in parts)
    return np.asarray(middle + sum(width * unit for width, unit in zip(widths, units, strict=True)))


def halved(parts: tuple[Contribution, ...], row: int) -> tuple[Contribution, ...]:
    """Return the parts with the variation of one of them halved."""
    part = parts[row]
    tighter = replace(part, half_width_mm=part.half_width_mm / 2, u_mm=part.u_mm / 2)
    return (*parts[:row], tighter, *parts[row + 1 :])


def inside_share(total: NDArray[np.float64], low_mm: float, high_mm: float) -> float:
    """Return the share of draws between the limits."""
    return float(np.mean((total >= low_mm) & (total <= high_mm)))


def first_order_inside(parts: tuple[Contribution, ...], low_mm: float, high_mm: float) -> float:
    """Return the probability with one normal distribution of the combined uncertainty."""
    middle = sum(part.middle_mm for part in parts)
    spread = math.hypot(*(part.standard_mm for part in parts))
    if spread == 0:
        return float(low_mm <= middle <= high_mm)
    normal = NormalDist(middle, spread)
    return normal.cdf(high_mm) - normal.cdf(low_mm)
