"""One figure before and after: the change, whether it is real, and whether it is for the better."""

import math
from dataclasses import dataclass
from enum import StrEnum
from statistics import NormalDist
from typing import Any

import numpy as np

from sideshake.core.quantities import COVERAGE_FACTOR, Measured, probability_below
from sideshake.movement.escapement import KNOCKING_DEG, LEVER

SURE = NormalDist().cdf(COVERAGE_FACTOR)
"""So likely is a change to be on its side of 0 when its 95 % interval just leaves out 0."""


REACH, STEPS = 8.0, 2001
"""How far, in standard deviations, and how finely the values of one rate are gone through."""
LEAST_REST = 1e-6
"""Below this share of the whole, two rates err together entirely."""


class ComparedFigure(StrEnum):
    """The figures compared; the value is its name."""

    AMPLITUDE = "amplitude"
    RATE = "rate"
    BEAT_ERROR = "beat error"

    @property
    def unit(self) -> str:
        """Return the unit as it follows a number."""
        return UNITS[self]


UNITS = {
    ComparedFigure.AMPLITUDE: "°",
    ComparedFigure.RATE: " s a day",
    ComparedFigure.BEAT_ERROR: " ms",
}
PHRASES = {
    ComparedFigure.AMPLITUDE: (
        "It swings {size} further than before",
        "It swings {size} less far than before",
        "It swings as far as before",
    ),
    ComparedFigure.RATE: (
        "It goes {size} faster than before",
        "It goes {size} slower than before",
        "It goes as fast as before",
    ),
    ComparedFigure.BEAT_ERROR: (
        "It is out of beat by {size} more than before",
        "It is out of beat by {size} less than before",
        "It is as much out of beat as before",
    ),
}
"""More, less, and no difference that can be told."""


class Turn(StrEnum):
    """What a change means."""

    BETTER = "better"
    WORSE = "worse"
    OTHER = "different"
    NONE = "not to be told apart"


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A figure before and after, and the change between them (after minus before).

    `place` : where it was read, such as "CH, dial up"
    `more` : probability that the change is above 0
    `mean` : whether it is of the mean over several positions
    """

    what: ComparedFigure
    place: str
    before: Measured
    after: Measured
    change: Measured
    more: float
    turn: Turn
    mean: bool = False

    @property
    def real(self) -> bool:
        """Return whether the 95 % interval of the change leaves out 0, also as it is printed."""
        return self.turn is not Turn.NONE

    @property
    def sentence(self) -> str:
        """Return the change in words, with its 95 % interval where there is none to be told."""
        more, less, same = PHRASES[self.what]
        unit = self.what.unit
        if not self.real:
            told = [f"{self.change.text(sign=True)}{unit}", *([self.place] if self.place else [])]
            return f"{same}, as far as can be told ({', '.join(told)})."
        size = f"{Measured(abs(self.change.value), self.change.u).text()}{unit}"
        said = (more if self.change.value > 0 else less).format(size=size)
        return f"{said}{self.verdict}{f' ({self.place})' if self.place else ''}."

    @property
    def verdict(self) -> str:
        """Return what a change of rate means; that of the others is plain."""
        if self.what is not ComparedFigure.RATE or self.turn is Turn.OTHER:
            return ""
        return ", nearer to true" if self.turn is Turn.BETTER else ", further from true"


def difference(
    what: ComparedFigure, before: Any, after: Any, *, place: str, mean: bool = False
) -> Difference:
    """Return the difference of two values of the `uncertainties` package, correlations kept."""
    change = measured(after - before)
    return Difference(
        what=what,
        place=place,
        before=measured(before),
        after=measured(after),
        change=change,
        more=1 - probability_below(change, 0.0) if change.u or change.value else 0.5,
        turn=Turn.NONE if change.is_nothing else TURNS[what](before, after),
        mean=mean,
    )


def measured(value: Any) -> Measured:
    """Return a value of the `uncertainties` package as ours."""
    return Measured(float(value.nominal_value), float(value.std_dev))


def turn_of_amplitude(before: Any, after: Any) -> Turn:
    """Return what a real change of amplitude means: up to a healthy swing more is better.

    Beyond that more is only different, until it knocks (trade-facts 3.5.5, 3.5.18).
    """
    was, now = before.nominal_value, after.nominal_value
    if max(was, now) >= KNOCKING_DEG:
        return Turn.WORSE if now > was else Turn.BETTER
    if min(was, now) >= LEVER.healthy_deg:
        return Turn.OTHER
    return Turn.BETTER if now > was else Turn.WORSE


def turn_of_beat_error(before: Any, after: Any) -> Turn:
    """Return what a real change of beat error means: less is better."""
    return Turn.BETTER if after.nominal_value < before.nominal_value else Turn.WORSE


def turn_of_rate(before: Any, after: Any) -> Turn:
    """Return what a real change of rate means: nearer to 0 is better, if that is surely so."""
    nearer = probability_nearer(before, after)
    if nearer >= SURE:
        return Turn.BETTER
    return Turn.WORSE if nearer <= 1 - SURE else Turn.OTHER


def probability_nearer(before: Any, after: Any) -> float:
    """Return the probability that `after` is nearer to 0 than `before` (normal, correlated).

    For each value that `before` may have, `after` is normal about its regression on it; the chance
    that it lies within plus and minus that value is averaged over all of them.

    Examples
    --------
    >>> from uncertainties import ufloat
    >>> round(probability_nearer(ufloat(-40, 1), ufloat(4, 1)), 3)
    1.0
    """
    from uncertainties import covariance_matrix

    (first, both), (_, last) = covariance_matrix((before, after))
    steps = np.linspace(-REACH, REACH, STEPS) if first else np.zeros(1)
    weight = np.exp(-(steps**2) / 2)
    was = before.nominal_value + math.sqrt(first) * steps
    slope = both / first if first else 0.0
    now = after.nominal_value + slope * (was - before.nominal_value)
    rest = math.sqrt(max(0.0, last - slope * both))
    if rest <= LEAST_REST * math.sqrt(last) or rest == 0:
        within = (np.abs(now) < np.abs(was)).astype(np.float64)
    else:
        normal = np.vectorize(NormalDist().cdf)
        within = normal((np.abs(was) - now) / rest) - normal((-np.abs(was) - now) / rest)
    return float(weight @ within / weight.sum())


TURNS = {
    ComparedFigure.AMPLITUDE: turn_of_amplitude,
    ComparedFigure.RATE: turn_of_rate,
    ComparedFigure.BEAT_ERROR: turn_of_beat_error,
}
