"""A standard deviation that a few values far off do not move: from the median's distances."""

import math

import numpy as np
from numpy.typing import NDArray

MAD_TO_SIGMA = 1.4826
"""From the median distance to the standard deviation of normal values: 1 / 0.6745 (Rousseeuw and
Croux 1993, JASA 88, 1273)."""
IN_THE_PLANE = 1 / math.sqrt(2 * math.log(2))
"""The same for distances in a plane (Rayleigh's distribution): 1 / 1.1774."""


def spread(values: NDArray[np.float64]) -> float:
    """Return the standard deviation of the middle half about the median.

    Examples
    --------
    >>> round(spread(np.array([1.0, 2.0, 3.0, 4.0, 500.0])), 4)
    1.4826
    """
    return MAD_TO_SIGMA * float(np.median(np.abs(values - np.median(values))))
