"""One figure before and after: the change, whether it is real, and whether it is for the better."""

import math
from dataclasses import dataclass
from enum import StrEnum
from statistics import NormalDist
from typing import Any

import numpy as np

from sideshake.core.quantities import COVERAGE_FACTOR, Measured, probability_below
from sideshake.movement.escapement import KNOCKING_DEG, LEVER
from sideshake.wording import figures, noop
from sideshake.wording import gettext as _

SURE = NormalDist().cdf(COVERAGE_FACTOR)
"""So likely is a change to be on its side of 0 when its 95 % interval just leaves out 0."""


REACH, STEPS = 8.0, 2001
"""How far, in standard deviations, and how finely the values of one rate are gone through."""
LEAST_REST = 1e-6
"""Below this share of the whole, two rates err together entirely."""


class ComparedFigure(StrEnum):
    """The figures compared; the value is its name."""

    AMPLITUDE = noop("amplitude")
    RATE = noop("rate")
    BEAT_ERROR = noop("beat error")

    @property
    def unit(self) -> str:
        """Return the unit as it follows a number."""
        if self is ComparedFigure.RATE:
            return " " + _("s a day")
        return "°" if self is ComparedFigure.AMPLITUDE else " ms"


class Turn(StrEnum):
    """What a change means."""

    BETTER = noop("better")
    WORSE = noop("worse")
    OTHER = noop("different")
    NONE = noop("not to be told apart")


PHRASES = {
    ComparedFigure.AMPLITUDE: (
        noop("It swings {size} further than before"),
        noop("It swings {size} less far than before"),
        noop("It swings as far as before, as far as can be told ({told})."),
    ),
    ComparedFigure.RATE: (
        noop("It goes {size} faster than before"),
        noop("It goes {size} slower than before"),
        noop("It goes as fast as before, as far as can be told ({told})."),
    ),
    ComparedFigure.BEAT_ERROR: (
        noop("It is out of beat by {size} more than before"),
        noop("It is out of beat by {size} less than before"),
        noop("It is as much out of beat as before, as far as can be told ({told})."),
    ),
}
"""More, less, and no difference that can be told."""
OF_RATE = {
    Turn.BETTER: (
        noop("It goes {size} faster than before, nearer to true"),
        noop("It goes {size} slower than before, nearer to true"),
    ),
    Turn.WORSE: (
        noop("It goes {size} faster than before, further from true"),
        noop("It goes {size} slower than before, further from true"),
    ),
}
"""What a change of rate means is said with it; that of the others is plain."""


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
            told = [figures(f"{self.change.text(sign=True)}{unit}")]
            told += [self.place] if self.place else []
            return _(same).format(told=", ".join(told))
        if self.what is ComparedFigure.RATE:
            more, less = OF_RATE.get(self.turn, (more, less))
        size = figures(f"{Measured(abs(self.change.value), self.change.u).text()}{unit}")
        said = _(more if self.change.value > 0 else less).format(size=size)
        return f"{said} ({self.place})." if self.place else f"{said}."


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
