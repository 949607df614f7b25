"""How likely a play or an interference ends inside its limits, and which tolerance to tighten.

Each contribution to the difference is either a maker's tolerance (any value within is as likely, a
rectangle) or a measurement (normal distribution). Their sum has a closed distribution, so the
chance is exact: nothing is drawn, and a whole batch is judged as one part is. Millimetres.
"""

import math
from dataclasses import dataclass, replace
from itertools import product
from statistics import NormalDist

from sideshake.core.errors import InputError

NARROW = 0.01
"""A rectangle narrower than this share of the whole spread counts as normal: it moves a chance by
less than 1e-4 and would cost the closed form its digits."""


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
class FitProbability:
    """The probability of ending inside the limits, exactly and by first order."""

    inside: float
    below: float
    above: float
    first_order: float
    middle_mm: float
    u_mm: float
    tighten: str | None
    inside_if_tightened: float


def fit_probability(
    parts: tuple[Contribution, ...], *, low_mm: float, high_mm: float
) -> FitProbability:
    """Return how likely the sum of the parts lies between two limits, and what to tighten.

    The tolerance to tighten is the one whose halving brings most.

    Raises
    ------
    InputError : there are no parts, or the limits are the wrong way round

    References
    ----------
    JCGM 101:2008 (propagation of distributions), here in closed form; GUM 4.3.7 for the rectangle
    """
    inside = probability_inside(parts, low_mm=low_mm, high_mm=high_mm)
    tighter = [
        probability_inside(halved(parts, row), low_mm=low_mm, high_mm=high_mm)
        for row in range(len(parts))
    ]
    best = max(range(len(parts)), key=lambda row: tighter[row])
    gains = tighter[best] > inside + 1e-9
    return FitProbability(
        inside=inside,
        below=probability_below(parts, low_mm),
        above=1.0 - probability_below(parts, high_mm),
        first_order=first_order_inside(parts, low_mm, high_mm),
        middle_mm=sum(part.middle_mm for part in parts),
        u_mm=math.hypot(*(part.standard_mm for part in parts)),
        tighten=parts[best].name if gains else None,
        inside_if_tightened=tighter[best] if gains else inside,
    )


def probability_inside(parts: tuple[Contribution, ...], *, low_mm: float, high_mm: float) -> float:
    """Return the probability that the sum of the parts lies between two limits.

    Raises
    ------
    InputError : there are no parts, or the limits are the wrong way round

    Examples
    --------
    >>> hole = Contribution(name="hole", middle_mm=0.02, half_width_mm=0.004)
    >>> round(probability_inside((hole,), low_mm=0.018, high_mm=0.03), 3)
    0.75
    """
    if not parts:
        raise InputError("a fit needs at least one contribution")
    if not low_mm < high_mm:
        raise InputError(f"the lower limit {low_mm:g} must lie below the upper {high_mm:g} mm")
    if all(part.standard_mm == 0 for part in parts):
        return float(low_mm <= sum(part.middle_mm for part in parts) <= high_mm)
    return max(0.0, probability_below(parts, high_mm) - probability_below(parts, low_mm))


def probability_below(parts: tuple[Contribution, ...], limit_mm: float) -> float:
    """Return the probability that the sum of the parts lies below a limit.

    The distribution of a normal value plus k rectangles is the k-fold integral of the normal one,
    taken at the 2^k corners with alternating signs, over the rectangles' widths (convolution).
    """
    spread = math.hypot(*(part.standard_mm for part in parts))
    away = limit_mm - sum(part.middle_mm for part in parts)
    if spread == 0:
        return float(away > 0)
    wide = [part.half_width_mm for part in parts if part.half_width_mm > NARROW * spread]
    others = (part.standard_mm for part in parts if not part.half_width_mm > NARROW * spread)
    sigma = math.hypot(*others, 0.0)
    corners = (
        (math.prod(signs), away + sum(sign * half for sign, half in zip(signs, wide, strict=True)))
        for signs in product((1, -1), repeat=len(wide))
    )
    total = sum(sign * integrated_normal(at, sigma, len(wide)) for sign, at in corners)
    return min(1.0, max(0.0, total / math.prod(2 * half for half in wide)))


def integrated_normal(at: float, sigma: float, times: int) -> float:
    """Return the normal distribution function integrated so many times from minus infinity.

    References
    ----------
    By parts: I_n = (x I_(n-1) + sigma² I_(n-2)) / n, with I_0 the distribution function and I_-1
    the density; DLMF 7.18.7 says the same of the repeated integrals of erfc
    """
    if sigma**2 == 0:
        return max(at, 0.0) ** times / math.factorial(times) if times else float(at > 0)
    normal = NormalDist(0.0, sigma)
    before, now = normal.pdf(at), normal.cdf(at)
    for order in range(1, times + 1):
        before, now = now, (at * now + sigma**2 * before) / order
    return now


def halved(parts: tuple[Contribution, ...], row: int) -> tuple[Contribution, ...]:
    """Return the parts with the variation of one of them halved."""
    part = parts[row]
    tighter = replace(part, half_width_mm=part.half_width_mm / 2, u_mm=part.u_mm / 2)
    return (*parts[:row], tighter, *parts[row + 1 :])


def first_order_inside(parts: tuple[Contribution, ...], low_mm: float, high_mm: float) -> float:
    """Return the probability with one normal distribution of the combined uncertainty."""
    middle = sum(part.middle_mm for part in parts)
    spread = math.hypot(*(part.standard_mm for part in parts))
    if spread == 0:
        return float(low_mm <= middle <= high_mm)
    normal = NormalDist(middle, spread)
    return normal.cdf(high_mm) - normal.cdf(low_mm)
