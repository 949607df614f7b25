"""What a measurement is worth before it is taken: expected value of sample information.

A measurement is worth what it saves on average, because after some of its readings something else
would be done. Losses are minutes of work, so value divided by the minutes it takes to measure has
no unit.

References
----------
Raiffa & Schlaifer (1961), Applied Statistical Decision Theory, ch. 4 (preposterior analysis) and
5 (linear losses, the unit normal linear loss integral)
"""

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured

READINGS = 100
"""Readings tried per measurement: the middles of so many equal parts of its distribution."""
SEED = 20_240_301
CELLS_PER_U = 4
"""Draws nearer than a quarter of the reading's uncertainty count as alike."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """What a wrong decision costs, in minutes of work (common practice, no source).

    `needless_min` is one new hole nobody needed: the middle of the 60 to 120 minutes that a
    proposal reckons. `returns_min` is a rubbing barrel that comes back: the watch apart and
    together again at the workshop's expense, the least that an overhaul takes.
    """

    needless_min: float = 90.0
    returns_min: float = 450.0

    def __post_init__(self) -> None:
        for each in (self.needless_min, self.returns_min):
            if not (math.isfinite(each) and each > 0):
                raise InputError(f"a cost is a number of minutes above 0, got {each:g}")

    @property
    def even(self) -> float:
        """Return the probability of rubbing at which one needed hole and leaving it cost alike."""
        return self.needless_min / self.returns_min


USUAL_COSTS = Costs()


def linear_loss_integral(distance: float) -> float:
    """Return the unit normal linear loss integral: how much a standard normal number exceeds it.

    Examples
    --------
    >>> round(linear_loss_integral(0.0), 4), round(linear_loss_integral(1.0), 5)
    (0.3989, 0.08332)

    References
    ----------
    Raiffa & Schlaifer (1961), 11.3: L(u) = f(u) - u G(u), f the density, G the right tail
    """
    normal = NormalDist()
    return normal.pdf(distance) - distance * (1.0 - normal.cdf(distance))


def normal_value(prior: Measured, u: float, *, break_even: float, per_unit: float) -> float:
    """Return what one reading is worth when everything is normal and the losses are linear.

    Two actions; their difference in loss grows by `per_unit` for each unit of the size, and is 0 at
    `break_even`. The mean after the reading is itself normal, with the spread
    prior.u² / sqrt(prior.u² + u²).

    Parameters
    ----------
    prior : what is known of the size before, mean and standard deviation
    u : standard uncertainty of the reading, 0 for a perfect one

    References
    ----------
    Raiffa & Schlaifer (1961), 5.5

    Examples
    --------
    >>> round(normal_value(Measured(0.0, 1.0), 0.0, break_even=0.0, per_unit=10.0), 3)
    3.989
    """
    if prior.u == 0:
        return 0.0
    spread = prior.u**2 / math.hypot(prior.u, u)
    distance = abs(prior.value - break_even) / spread
    return abs(per_unit) * spread * linear_loss_integral(distance)


def sample_value(losses: NDArray[np.float64], size: NDArray[np.float64], u: float) -> float:
    """Return what one reading of a size is worth, from joint draws of losses and size.

    For each of the readings that may come, the draws are weighted by how well they agree with it
    (Bayes' rule); the action is then chosen that loses least. The value is what that saves over the
    action that is best without the reading. It is never below 0.

    Parameters
    ----------
    losses : shape (actions, draws): what each action loses in each draw
    size : shape (draws,): the size that is measured, in the same draws
    u : standard uncertainty of the reading, above 0

    Raises
    ------
    InputError : u is not above 0, or the shapes do not agree
    """
    if not u > 0:
        raise InputError(f"a reading needs a standard uncertainty above 0, got {u:g}")
    if losses.ndim != 2 or losses.shape[1:] != size.shape:
        raise InputError("each action needs one loss for each draw of the size")
    means = losses.mean(axis=1)
    best = int(np.argmin(means))
    after = losses_after(losses - losses[best], size, u)
    return float(np.mean(-after.min(axis=0)))


def losses_after(
    losses: NDArray[np.float64], size: NDArray[np.float64], u: float
) -> NDArray[np.float64]:
    """Return each action's mean loss after each of the readings, shape (actions, readings)."""
    noise = np.random.default_rng(SEED).standard_normal(size.size)
    parts = (np.arange(READINGS) + 0.5) / READINGS
    readings = np.quantile(size + u * noise, parts)
    cells = gathered(losses, size, width=u / CELLS_PER_U)
    off = (readings[:, None] - cells.middle[None, :]) / u
    weights = cells.draws * np.exp(-0.5 * off**2)
    return np.asarray(cells.losses @ (weights / weights.sum(axis=1, keepdims=True)).T)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """Draws gathered by size: each cell's middle, how many draws, and each action's mean loss."""

    middle: NDArray[np.float64]
    draws: NDArray[np.float64]
    losses: NDArray[np.float64]


def gathered(losses: NDArray[np.float64], size: NDArray[np.float64], width: float) -> Cells:
    """Return the draws gathered into cells of one width: many draws then cost little more."""
    place = np.unique(np.floor((size - size.min()) / width), return_inverse=True)[1]
    draws = np.bincount(place).astype(float)
    sums = np.array([np.bincount(place, weights=each) for each in losses])
    return Cells(middle=np.bincount(place, weights=size) / draws, draws=draws, losses=sums / draws)
