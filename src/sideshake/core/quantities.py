"""Measured values: a number never travels without its standard uncertainty.

Propagation is left to the `uncertainties` package (first order, correlations kept), which follows
the GUM (JCGM 100:2008).
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from statistics import NormalDist
from typing import Any

from sideshake.core.errors import InputError
from sideshake.core.repeats import COVERAGE, RECTANGLE, Repeats

SECONDS_PER_DAY = 86400.0
COVERAGE_FACTOR = COVERAGE
PER_CENT = 0.01
HOW_TO_WRITE = (
    "write 0.52, or 0.52 ± 0.01 (the 95 % interval; +- will do), 0.52 ± 0.01 standard (one "
    "standard deviation), 0.52 ± 0.01 limit (surely within), or several readings: 0.52 0.53 0.52"
)
MEANT = {"": 1 / COVERAGE_FACTOR, "standard": 1.0, "limit": RECTANGLE}
"""What is behind ± over the standard uncertainty, by the word that may follow it."""
UNITS = {"°": ("°", "deg"), "mg·cm²": ("mg·cm²", "mg cm2", "mg·cm2")}
"""Units that are written in more than one way."""

_SIZE = r"(?:\d{1,30}\.?\d{0,30}|\.\d{1,30})(?:[eE][-+]?\d{1,3})?"
_NUMBER = rf"[-+]?{_SIZE}"
_WRITTEN = re.compile(
    rf"({_NUMBER}(?:(?:\s*[,;]\s+|\s+){_NUMBER})*)"
    rf"(?:\s*\+-\s*({_SIZE})\s*(standard|limit)?)?"
)
_APART = re.compile(r"[,;\s]+")


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

    @property
    def is_nothing(self) -> bool:
        """Return whether its 95 % interval holds 0 as it is printed, as it does wherever it holds
        0 in full.

        Examples
        --------
        >>> Measured(4.2, 2.0).text(), Measured(4.2, 2.0).holds(0.0), Measured(4.2, 2.0).is_nothing
        ('4 ± 4', False, True)
        """
        if self.u == 0:
            return self.value == 0
        places = decimals(self.expanded)
        return round(abs(self.value), places) <= round(self.expanded, places)

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

    def typed(self) -> str:
        """Return "value ± expanded" in full, for a field in which it can be changed.

        Examples
        --------
        >>> Measured(0.9214, 0.0031).typed()
        '0.9214 ± 0.0062'
        """
        return f"{self.value:.10g} ± {self.expanded:.6g}" if self.u else f"{self.value:.10g}"

    @classmethod
    def parse(cls, text: str, unit: str = "") -> "Measured":
        """Return the value as it was written; a plain number is exact.

        What `text` prints can be read back and means the same: behind ± (or +-) stands the
        half-width of the 95 % interval. The word "standard" behind it says one standard deviation,
        "limit" that the value surely lies within, anywhere. Several readings give their mean; what
        is behind their ± is the instrument's and comes on top of scatter and last digit.

        Parameters
        ----------
        unit : may stand behind the number, such as "mm"; "%" lets a share be written in per cent

        Raises
        ------
        InputError : the text is none of these

        References
        ----------
        GUM (JCGM 100:2008) 4.3.3, 4.3.7, 6.2

        Examples
        --------
        >>> Measured.parse("0.52 ± 0.01"), Measured.parse("0.52+-0.01 standard")
        (Measured(value=0.52, u=0.005), Measured(value=0.52, u=0.01))
        >>> Measured.parse("0.52 0.53 0.54").text()
        '0.530 ± 0.027'
        """
        written = _WRITTEN.fullmatch(_plain(text, unit))
        if written is None:
            of = f" in {unit}" if unit else ""
            raise InputError(f"cannot read {text!r}{of}: {HOW_TO_WRITE}")
        figures, within, word = written.groups()
        repeats = _repeats(figures, MEANT[word or ""] * float(within or 0))
        u = repeats.instrument_u if len(repeats.readings) == 1 else repeats.u
        scale = PER_CENT if unit == "%" and unit in text else 1.0
        return cls(repeats.mean * scale, u * scale)

    @staticmethod
    def readings(text: str, unit: str = "") -> tuple[float, ...]:
        """Return the single readings in what was written; the ± behind them is left out.

        Raises
        ------
        InputError : as `parse`

        Examples
        --------
        >>> Measured.readings("0.921 0.923 ± 0.004 mm", "mm")
        (0.921, 0.923)
        """
        Measured.parse(text, unit)
        figures = _plain(text, unit).partition("+-")[0]
        return tuple(float(each) for each in _APART.split(figures.strip()))

    @classmethod
    def read(cls, text: str, unit: str = "") -> "Measured":
        """Return the value as `parse` does, a plain number as well as its last digit tells.

        Examples
        --------
        >>> Measured.read("0.520").text()
        '0.5200 ± 0.0006'
        """
        found = cls.parse(text, unit)
        if found.u or "+-" in _plain(text, unit):
            return found
        scale = PER_CENT if unit == "%" and unit in text else 1.0
        return cls(found.value, _repeats(_plain(text, unit), 0.0).u * scale)


def _plain(text: str, unit: str) -> str:
    """Return what was written with one sign for each thing, and without its unit."""
    for sign, plain in (("\N{MINUS SIGN}", "-"), ("±", "+-"), ("+/-", "+-"), ("\xa0", " ")):
        text = text.replace(sign, plain)
    text = text.strip()
    *_, word = text.split() or [""]
    word = word if word in MEANT else ""
    text = text.removesuffix(word).strip()
    for each in UNITS.get(unit, (unit,)):
        text = text.removesuffix(each).strip()
    return f"{text} {word}".strip()


def _repeats(figures: str, instrument_u: float) -> Repeats:
    """Return the readings in a text of one number or several, read to their finest digit."""
    written = _APART.split(figures.strip())
    finest = min(int(Decimal(each).as_tuple().exponent) for each in written)
    return Repeats(
        readings=tuple(float(each) for each in written),
        resolution=float(f"1e{finest}"),
        instrument_u=instrument_u,
    )


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
