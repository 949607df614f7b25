"""Wear that nobody measured: none or much, never less than none.

In units of the play a sound bearing has. Most bearings of a watch that arrives have hardly worn,
some have worn far: two exponential distributions mixed, because neither the years of service nor
the care are known. The shares are common practice, no source; `SHAPE_SOURCE` is what the answer
says of them.
"""

import math

import numpy as np
from numpy.typing import NDArray

WORN_SHARE = 0.25
"""One bearing in four has worn far."""
LITTLE, FAR = 0.2, 2.0
"""Mean wear of the others, and of those, in plays of a sound bearing."""
MEAN = (1 - WORN_SHARE) * LITTLE + WORN_SHARE * FAR
SD = math.sqrt(2 * ((1 - WORN_SHARE) * LITTLE**2 + WORN_SHARE * FAR**2) - MEAN**2)
"""Mean and standard deviation of the mixture (an exponential's second moment is twice its mean
squared)."""
SHAPE_SOURCE = (
    "unmeasured holes are taken to have grown by a fifth of their sound play in three of four, by "
    "twice that play in one of four (common practice, no source)"
)


def growth(size: int, random: np.random.Generator) -> NDArray[np.float64]:
    """Return draws of unmeasured wear, in plays of a sound bearing; never below 0."""
    mean = np.where(random.random(size) < WORN_SHARE, FAR, LITTLE)
    return np.asarray(mean * random.standard_exponential(size))


def beyond(plays: float) -> float:
    """Return the probability that unmeasured wear exceeds so many sound plays.

    Examples
    --------
    >>> beyond(0.0), round(beyond(2.0), 3)
    (1.0, 0.092)
    """
    over = max(plays, 0.0)
    return (1 - WORN_SHARE) * math.exp(-over / LITTLE) + WORN_SHARE * math.exp(-over / FAR)
