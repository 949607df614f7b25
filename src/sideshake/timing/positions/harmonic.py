"""The first harmonic of the hanging rates: how much, and which way up, the rate turns with a watch.

What pulls downward, a heavy spot of the balance or the spring's own weight, makes a rate that goes
round with the watch like a cosine, wherever between two positions it points. Three of the four
hanging positions tell it; the fourth tells whether there is anything else.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from sideshake.core.correlated import with_common
from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.timing.positions.summary import Position

UP_DEG: dict[str, float] = {
    Position.H12: 0.0,
    Position.H3: 90.0,
    Position.H6: 180.0,
    Position.H9: 270.0,
}
"""Which way is up in each hanging position of ISO 3158, clockwise from 12 o'clock."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Harmonic:
    """The part of the hanging rates that turns with the watch.

    `size_s_per_day` : by how much the fastest way up gains against the mean of all
    `fastest_up_deg` : that way, clockwise from 12 o'clock seen from the dial side
    `left_s_per_day` : half of what the means of the two opposite pairs differ by, which nothing
        that turns with the watch can make; None when only three positions were heard
    """

    size_s_per_day: Measured
    fastest_up_deg: Measured
    left_s_per_day: Measured | None

    @property
    def is_all(self) -> bool:
        """Return whether the rates hold nothing else, as far as that was heard."""
        return self.left_s_per_day is None or self.left_s_per_day.holds(0.0)


def first_harmonic(rates: Mapping[Position, Measured]) -> Harmonic:
    """Return the first harmonic of the rates in three or four hanging positions (s/day).

    The arrow's direction is chosen after reading, which makes it longer than the truth by what the
    rates scatter across it: that is taken off. An error common to all positions cancels.

    Parameters
    ----------
    rates : by position, each with its own uncertainty; lying positions are left aside

    Raises
    ------
    NotEnough : fewer than three hanging positions were heard

    References
    ----------
    Least squares on 1, cos and sin of the direction that is up; trade-facts 4.2.9 (derived)

    Examples
    --------
    >>> found = first_harmonic({Position.H12: Measured(7.0, 0.1), Position.H3: Measured(7.0, 0.1),
    ...     Position.H6: Measured(-7.0, 0.1), Position.H9: Measured(-7.0, 0.1)})
    >>> found.size_s_per_day.text(), found.fastest_up_deg.text()
    ('9.90 ± 0.14', '45.0 ± 0.8')
    """
    hung = [(math.radians(UP_DEG[p]), rate) for p, rate in rates.items() if p in UP_DEG]
    if len(hung) < 3:
        raise NotEnough(
            f"what turns with the watch is told from three hanging positions, got {len(hung)}"
        )
    wave = np.array([[1.0, math.cos(up), math.sin(up)] for up, _ in hung])
    weights = np.linalg.pinv(wave)
    values = [rate for _, rate in hung]
    right = math.atan2(*(summed(weights[row], values).value for row in (2, 1)))
    along = summed(math.cos(right) * weights[1] + math.sin(right) * weights[2], values)
    across = summed(math.cos(right) * weights[2] - math.sin(right) * weights[1], values)
    length = math.sqrt(max(0.0, along.value**2 - across.u**2))
    return Harmonic(
        size_s_per_day=Measured(length, along.u),
        fastest_up_deg=Measured(
            math.degrees(right) % 360.0, min(180.0, math.degrees(across.u / max(length, 1e-9)))
        ),
        left_s_per_day=left_over(hung),
    )


def summed(weights: Any, values: list[Measured]) -> Measured:
    """Return the weighted sum of the rates; the weights add to nothing, so what is common cancels.

    (The weights of cosine and sine are those of a least-squares fit that has a mean of its own.)
    """
    return with_common([(float(w), each) for w, each in zip(weights, values, strict=True)], 0.0)


def left_over(hung: list[tuple[float, Measured]]) -> Measured | None:
    """Return half the difference between the means of the opposite pairs, with all four heard."""
    if len(hung) < len(UP_DEG):
        return None
    return with_common([(math.cos(2 * up) / 4, rate) for up, rate in hung], 0.0)
