"""The amplitude along time, with what one of its values is worth by itself."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from sideshake.core.errors import NotEnough
from sideshake.timing.reading import Reading

Floats = NDArray[np.float64]

LEAST_VALUES = 4
BESIDE = 0.975


@dataclass(frozen=True, slots=True, kw_only=True)
class AmplitudeCourse:
    """The amplitude (degrees) in stretches of some 10 s: when, how far, and the band's half-width.

    `half_deg` is the 95 % half-width of one value by how much neighbours differ; what all share,
    the lift angle first, is not in it: `common_deg`, at 95 % too.
    """

    at_s: Floats
    deg: Floats
    half_deg: float
    common_deg: float


def amplitude_course(reading: Reading) -> AmplitudeCourse:
    """Return the amplitude along time with its 95 % band.

    A course that changes slowly hardly differs from one value to the next; what neighbours differ
    by is scatter. A real change from one stretch to the next widens the band.

    Raises
    ------
    NotEnough : no amplitude, or fewer than four stretches of 10 s

    References
    ----------
    von Neumann (1941), Ann. Math. Stat. 12, 367-395: variance from the mean square successive
    difference; as sure as 2 (n - 1)^2 / (3 n - 4) degrees of freedom make it
    """
    degrees, swing = reading.amplitudes_deg, reading.amplitude_deg
    if swing is None or degrees.size < LEAST_VALUES:
        raise NotEnough(
            "the amplitude along time needs four stretches of 10 s in which it is heard"
        )
    n = degrees.size
    sigma = math.sqrt(float(np.sum(np.diff(degrees) ** 2)) / (2 * (n - 1)))
    free = 2 * (n - 1) ** 2 / (3 * n - 4)
    return AmplitudeCourse(
        at_s=reading.amplitudes_at_s,
        deg=degrees,
        half_deg=float(special.stdtrit(free, BESIDE)) * sigma,
        common_deg=swing.expanded,
    )
