"""Sums, means, differences and spreads of values that share a part of their uncertainty.

What several values have in common (the error of one clock, one lift angle, one instrument) does not
average out in their mean and drops out of their difference; only what each has of its own does
otherwise. This is the one place in which that is reckoned.
"""

import math
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import permutations
from typing import Any

from sideshake.core.errors import InputError
from sideshake.core.quantities import COVERAGE_FACTOR, Measured

STUDENTIZED_RANGE = {2: 2.772, 3: 3.314, 4: 3.633, 5: 3.858, 6: 4.030}
"""What the largest minus the smallest of k independent normal values with standard deviation 1
stays below in 95 of 100 cases (NIST/SEMATECH e-Handbook 7.4.7.1 names the method; any table of the
studentized range, no limit of degrees of freedom)."""

Weighted = Sequence[tuple[float, Measured]]


def with_common(parts: Weighted, common_u: float) -> Measured:
    """Return the weighted sum of values that share an error of one size, such as one clock's.

    Parameters
    ----------
    parts : weights, and values whose uncertainties are independent of each other
    common_u : a standard uncertainty that all of them have besides, always with the same sign, in
        their unit; it counts by the sum of the weights, so it cancels in a difference and stays
        whole in a mean

    References
    ----------
    GUM (JCGM 100:2008) 5.2.2, eq. 13

    Examples
    --------
    >>> with_common([(0.5, Measured(4.0, 0.3)), (0.5, Measured(6.0, 0.3))], 2.0).value
    5.0
    """
    own = sum((weight * each.u) ** 2 for weight, each in parts)
    common = sum(weight for weight, _ in parts) * common_u
    return Measured(value_of(parts), math.sqrt(own + common**2))


def with_share(parts: Weighted, share_u: float | None) -> Measured:
    """Return the weighted sum of values that share a factor, such as amplitudes a lift angle.

    Parameters
    ----------
    parts : weights, and values whose uncertainties hold the factor's part already
    share_u : relative standard uncertainty of that factor. None when it is not told: then what they
        share may be anything from nothing to all, and the larger of the two uncertainties is taken,
        for a mean as for a difference

    References
    ----------
    GUM (JCGM 100:2008) 5.2.2, eq. 13; the variance is linear in the shared part, so its largest
    value lies at one end

    Examples
    --------
    >>> with_share([(1.0, Measured(280.0, 8.4)), (-1.0, Measured(240.0, 7.2))], 0.03).text()
    '40.0 ± 2.4'
    """
    value = value_of(parts)
    if share_u is None:
        apart = math.sqrt(sum((weight * each.u) ** 2 for weight, each in parts))
        return Measured(value, max(apart, abs(sum(weight * each.u for weight, each in parts))))
    own = sum((weight * without_share(each, share_u).u) ** 2 for weight, each in parts)
    return Measured(value, math.sqrt(own + (share_u * value) ** 2))


def widened(value: Measured, *more_u: float) -> Measured:
    """Return a value with further standard uncertainties that are independent of its own.

    Examples
    --------
    >>> widened(Measured(6.0, 0.3), 0.4)
    Measured(value=6.0, u=0.5)
    """
    return Measured(value.value, math.hypot(value.u, *more_u))


def left_of(u: float, common_u: float) -> float:
    """Return what is left of a standard uncertainty without a part of it; never below nothing.

    Examples
    --------
    >>> left_of(0.5, 0.3), left_of(0.5, 0.6)
    (0.4, 0.0)
    """
    return math.sqrt(max(0.0, u**2 - common_u**2))


def without_share(value: Measured, share_u: float) -> Measured:
    """Return a value as if the factor it shares, known to `share_u` of itself, were exact.

    Examples
    --------
    >>> without_share(Measured(200.0, 5.0), 0.02).u
    3.0
    """
    return Measured(value.value, left_of(value.u, share_u * value.value))


def relative_u(factor: Measured) -> float:
    """Return the relative standard uncertainty of a factor, such as a lift angle."""
    return factor.u / factor.value


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


@dataclass(slots=True)
class SharedErrors:
    """Errors by name, so that several values may hold the same ones, each in its own measure.

    Each is a variable of the `uncertainties` package, of mean 0 and deviation 1: whatever is
    reckoned from values that hold it keeps their correlation.

    References
    ----------
    GUM (JCGM 100:2008) 5.2 and F.1.2.3

    Examples
    --------
    >>> known = SharedErrors()
    >>> before, after = (known.value(rate, 0.1, {"clock": 2.0}) for rate in (12.0, 5.0))
    >>> round(before.std_dev, 2), round((after - before).std_dev, 2)
    (2.0, 0.14)
    """

    named: dict[Hashable, Any] = field(default_factory=dict)

    def value(self, value: float, own_u: float, shares: Mapping[Any, float] | None = None) -> Any:
        """Return a value with an error of its own and with its share of errors that have a name.

        Parameters
        ----------
        own_u : standard uncertainty that nothing else shares
        shares : standard uncertainty by each shared error, with the sign in which it acts
        """
        from uncertainties import ufloat

        found = value + own_u * ufloat(0.0, 1.0)
        for name, u in (shares or {}).items():
            found += u * self.named.setdefault(name, ufloat(0.0, 1.0))
        return found
