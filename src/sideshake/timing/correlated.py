"""Means, differences and spreads of several readings that share a part of their uncertainty."""

import math
from collections.abc import Sequence
from itertools import permutations

from sideshake.core.errors import InputError
from sideshake.core.quantities import COVERAGE_FACTOR, Measured

STUDENTIZED_RANGE = {2: 2.772, 3: 3.314, 4: 3.633, 5: 3.858, 6: 4.030}
"""What the largest minus the smallest of k independent normal values with standard deviation 1
stays below in 95 of 100 cases (NIST/SEMATECH e-Handbook 7.4.7.1 names the method; any table of the
studentized range, no limit of degrees of freedom)."""

Weighted = Sequence[tuple[float, Measured]]


def with_common(parts: Weighted, common_u: float) -> Measured:
    """Return the weighted sum of values whose own uncertainties are independent.

    `common_u` is a standard uncertainty that all of them have besides, always with the same sign:
    it counts by the sum of the weights, so it cancels in a difference and stays whole in a mean.

    Examples
    --------
    >>> with_common([(0.5, Measured(4.0, 0.3)), (0.5, Measured(6.0, 0.3))], 2.0).value
    5.0

    References
    ----------
    GUM (JCGM 100:2008) 5.2.2, eq. 13
    """
    own = sum((weight * each.u) ** 2 for weight, each in parts)
    common = sum(weight for weight, _ in parts) * common_u
    return Measured(value_of(parts), math.sqrt(own + common**2))


def with_share(parts: Weighted, share_u: float | None) -> Measured:
    """Return the weighted sum of values that share a factor, such as amplitudes a lift angle.

    `share_u` is the relative standard uncertainty of that factor, which each value's uncertainty
    holds already. None when it is not told: then what they share may be anything from nothing to
    all, and the larger of the two uncertainties is taken, for a mean as for a difference.

    References
    ----------
    GUM (JCGM 100:2008) 5.2.2, eq. 13; the variance is linear in the shared part, so its largest
    value lies at one end
    """
    value = value_of(parts)
    if share_u is None:
        apart = math.sqrt(sum((weight * each.u) ** 2 for weight, each in parts))
        return Measured(value, max(apart, abs(sum(weight * each.u for weight, each in parts))))
    own = sum((weight**2) * own_variance(each, share_u) for weight, each in parts)
    return Measured(value, math.sqrt(own + (share_u * value) ** 2))


def own_variance(value: Measured, share_u: float) -> float:
    """Return the variance left without the shared factor's part; never below nothing."""
    return max(0.0, value.u**2 - (share_u * value.value) ** 2)


def value_of(parts: Weighted) -> float:
    """Return the weighted sum."""
    return sum(weight * each.value for weight, each in parts)


def mean_parts(values: Sequence[Measured], weight: float = 1.0) -> list[tuple[float, Measured]]:
    """Return the values weighted alike, so that their sum is `weight` times the mean."""
    return [(weight / len(values), each) for each in values]


def largest_minus_smallest(values: Sequence[Measured]) -> Measured:
    """Return the spread of independent values, its 95 % interval honest about the picking.

    The largest and the smallest are picked after reading, so the uncertainty of a difference of two
    would promise too much: of values that are all alike, the picked two still differ. Here the
    intervals of all differences hold at once, 95 times in 100 (Tukey and Kramer); the spread's
    reaches from the value to the largest upper end among them, and as far below.

    Raises
    ------
    InputError : fewer than two values, or more than six

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods 7.4.7.1, Tukey's method, unequal sizes
    """
    factor = STUDENTIZED_RANGE.get(len(values))
    if factor is None:
        raise InputError(f"a spread is that of 2 to 6 positions, got {len(values)}")
    pairs = list(permutations(values, 2))
    spread = max(high.value - low.value for high, low in pairs)
    ends = (
        high.value - low.value + factor * math.sqrt((high.u**2 + low.u**2) / 2)
        for high, low in pairs
    )
    return Measured(spread, max(0.0, max(ends) - spread) / COVERAGE_FACTOR)
