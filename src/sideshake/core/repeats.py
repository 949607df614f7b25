"""One size read several times, or once from its last digit: how well it is known."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import NormalDist, fmean, stdev

from sideshake.core.errors import InputError

COVERAGE = 2.0
"""Expanded uncertainty is twice the standard one, close to 95 % (GUM 6.2, 6.3)."""
RECTANGLE = 1.0 / math.sqrt(3.0)
"""Standard uncertainty over the limit within which a value surely lies (GUM 4.3.7)."""
STUDENT = (13.97, 4.53, 3.31, 2.87, 2.65, 2.52, 2.43, 2.37, 2.32, 2.28)
"""Student's t that holds as much as twice the standard uncertainty, 1 to 10 degrees of freedom
(GUM table G.2, column 95.45 %)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeats:
    """Readings of one size, all in one unit, and what each cause adds to the mean's uncertainty.

    Parameters
    ----------
    readings : at least one
    resolution : the step in which they are read
    instrument_u : what all of them share, as a standard uncertainty; 0 where it is not known

    Raises
    ------
    InputError : no reading, or a step or an instrument below 0

    References
    ----------
    GUM (JCGM 100:2008) 4.2 (type A), F.2.2.1 (resolution), G.3 (few readings: Student's t)

    Examples
    --------
    >>> three = Repeats(readings=(0.921, 0.924, 0.923), resolution=0.001)
    >>> f"{three.mean:.4f} {three.repeatability_u:.4f} {three.resolution_u:.4f} {three.u:.4f}"
    '0.9227 0.0020 0.0003 0.0020'
    """

    readings: Sequence[float]
    resolution: float
    instrument_u: float = 0.0

    def __post_init__(self) -> None:
        if not self.readings:
            raise InputError("there is no reading")
        if not all(map(math.isfinite, (*self.readings, self.resolution, self.instrument_u))):
            raise InputError(f"every reading must be a finite number, got {self.readings}")
        if min(self.resolution, self.instrument_u) < 0:
            raise InputError(
                f"a step and an instrument's uncertainty are 0 or more, got {self.resolution} "
                f"and {self.instrument_u}"
            )

    @property
    def mean(self) -> float:
        """Return the mean of the readings."""
        return fmean(self.readings)

    @property
    def repeatability_u(self) -> float:
        """Return what their scatter adds: for few readings more than s/root n, by Student's t.

        Twice it is the half-width of Student's interval; 0 for one reading, whose scatter nobody
        knows.
        """
        count = len(self.readings)
        if count == 1:
            return 0.0
        return student(count - 1) / COVERAGE * stdev(self.readings) / math.sqrt(count)

    @property
    def resolution_u(self) -> float:
        """Return what the step adds: any value within half of it is as likely."""
        return self.resolution / 2 * RECTANGLE

    @property
    def u(self) -> float:
        """Return the standard uncertainty of the mean."""
        return math.hypot(self.repeatability_u, self.resolution_u, self.instrument_u)


@dataclass(frozen=True, slots=True, kw_only=True)
class PooledScatter:
    """How one reading scatters, learnt from several sizes each read more than once.

    Parameters
    ----------
    deviation : the pooled standard deviation of one reading
    freedom : the degrees of freedom behind it
    """

    deviation: float
    freedom: int

    @property
    def u(self) -> float:
        """Return the standard uncertainty of one reading; few degrees of freedom make it more."""
        return student(self.freedom) / COVERAGE * self.deviation


def pooled(groups: Iterable[Sequence[float]]) -> PooledScatter | None:
    """Return how one reading scatters; None where nothing was read more than once.

    Parameters
    ----------
    groups : the readings of one size each

    References
    ----------
    GUM (JCGM 100:2008) 4.2.4 and H.3.6: a pooled estimate of variance, weighed by its freedom

    Examples
    --------
    >>> found = pooled([(0.921, 0.924, 0.923), (0.510, 0.512), (0.300,)])
    >>> f"{found.deviation:.5f} {found.freedom}"
    '0.00149 3'
    """
    several = [each for each in groups if len(each) > 1]
    freedom = sum(len(each) - 1 for each in several)
    if not freedom:
        return None
    squares = sum((len(each) - 1) * stdev(each) ** 2 for each in several)
    return PooledScatter(deviation=math.sqrt(squares / freedom), freedom=freedom)


def student(freedom: int) -> float:
    """Return Student's t for as much as two standard deviations of the normal distribution hold.

    References
    ----------
    GUM table G.2; above 10 degrees of freedom Abramowitz and Stegun 26.7.5
    """
    if freedom <= len(STUDENT):
        return STUDENT[freedom - 1]
    z = NormalDist().inv_cdf(NormalDist().cdf(COVERAGE))
    first = (z**3 + z) / 4
    second = (5 * z**5 + 16 * z**3 + 3 * z) / 96
    return z + first / freedom + second / freedom**2
