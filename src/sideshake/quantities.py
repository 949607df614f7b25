"""Measured values: a number never travels without its standard uncertainty.

Propagation is left to the `uncertainties` package (first order, correlations kept), which follows
the GUM (JCGM 100:2008).
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

from sideshake.errors import InputError

SECONDS_PER_DAY = 86400.0
COVERAGE_FACTOR = 2.0
"""Expanded uncertainty is twice the standard one, close to 95 % (GUM 6.2, 6.3)."""

_WRITTEN = re.compile(r"^\s*([-+]?[\d.eE+-]*?\d\.?)\s*(?:\+-|\+/-|±)\s*([\d.eE-]+)\s*$")


@dataclass(frozen=True, slots=True)
class Measured:
    """A value and its standard uncertainty (one standard deviation), in the same unit.

    Examples
    --------
    >>> Measured(6.21, 0.2).text()
    '6.2 ± 0.4'
    """

    value: float
    u: float = 0.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and math.isfinite(self.u)):
            raise InputError(f"a measured value must be finite, got {self.value} with u {self.u}")
        if self.u < 0:
            raise InputError(f"a standard uncertainty is 0 or more, got {self.u}")

    @property
    def expanded(self) -> float:
        """Return the half-width of the 95 % interval."""
        return COVERAGE_FACTOR * self.u

    def holds(self, value: float) -> bool:
        """Return whether the 95 % interval holds `value`."""
        return abs(value - self.value) <= self.expanded

    def text(self, *, sign: bool = False) -> str:
        """Return "value ± expanded", rounded to what the uncertainty supports."""
        if self.u == 0:
            return f"{self.value:+g}" if sign else f"{self.value:g}"
        places = decimals(self.expanded)
        number = f"{self.value:{'+' if sign else ''}.{places}f}"
        if float(number) == 0:
            number = number.lstrip("+-")  # nothing has no sign
        return f"{number} ± {self.expanded:.{places}f}".replace("-", "−")

    @classmethod
    def parse(cls, text: str) -> "Measured":
        """Return the value written as "0.52" or "0.52 +- 0.01" (the second is standard).

        Raises
        ------
        InputError : the text is neither
        """
        written = _WRITTEN.match(text)
        parts = written.groups() if written else (text, "0")
        try:
            return cls(float(parts[0]), float(parts[1]))
        except ValueError:
            raise InputError(f"cannot read {text!r}: write 0.52 or 0.52+-0.01") from None


def decimals(uncertainty: float) -> int:
    """Return the decimals to print: one digit of the uncertainty, two if it begins with 1 or 2.

    References
    ----------
    GUM 7.2.6: at most two significant digits of an uncertainty
    """
    first = math.floor(math.log10(uncertainty))
    leading = uncertainty / 10**first
    return max(0, -first + (1 if leading < 2.95 else 0))


def propagate(formula: Callable[..., Any], *inputs: Measured) -> Measured:
    """Return the formula's value with first-order propagated uncertainty (inputs independent).

    The formula must use plain arithmetic or `uncertainties.umath`.

    Examples
    --------
    >>> propagate(lambda a, b: a - b, Measured(5.0, 0.3), Measured(3.0, 0.4))
    Measured(value=2.0, u=0.5)

    References
    ----------
    GUM (JCGM 100:2008) eq. 10
    """
    from uncertainties import ufloat

    result = formula(*(ufloat(each.value, each.u) if each.u else each.value for each in inputs))
    return Measured(
        float(getattr(result, "nominal_value", result)), getattr(result, "std_dev", 0.0)
    )


def probability_below(value: Measured, limit: float) -> float:
    """Return the probability that the true value lies below the limit (normal distribution).

    An exact value lies below it, or not.

    Examples
    --------
    >>> probability_below(Measured(0.05, 0.01), 0.05)
    0.5
    """
    if value.u == 0:
        return float(value.value < limit)
    return NormalDist(value.value, value.u).cdf(limit)


def ppm_to_s_per_day(ppm: float) -> float:
    """Return the rate in seconds a day that a relative error in parts per million makes.

    Examples
    --------
    >>> f"{ppm_to_s_per_day(1.0):.4f}"
    '0.0864'
    """
    return ppm * 1e-6 * SECONDS_PER_DAY
