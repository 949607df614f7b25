"""The ways to name the noises of tick and tock, and how sure it is which is meant."""

import math
from dataclasses import dataclass

from sideshake.sound.event import Event

SURE, WITHIN_REACH = 0.985, 0.01
"""How probable an explanation must be to be told alone, and another one to be told beside it."""
NEAR_SHARE = 0.08
"""Choices whose spans differ by no more than this are told as one, open by their difference."""
NOTHING = -1
"""The number of a noise that is not heard."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Naming:
    """One way to name the noises of a side; the numbers of events, -1 for one that is not heard.

    `span_s` : from unlocking to drop; `share` : the impulse's place on that way
    `impulse_s` : from impulse to drop; NaN where one of the two is not heard
    `unlock_db`, `impulse_db`, `limit_db` : levels against the drop; the last of the faintest noise
        heard
    `score` : logarithm of the probability of all that does not depend on the other side
    """

    unlock: int
    impulse: int
    drop: int
    span_s: float
    share: float
    impulse_s: float
    unlock_db: float
    impulse_db: float
    limit_db: float
    score: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SidesExplained:
    """One explanation of both sides: the namings of tick and tock, and its probability."""

    tick: Naming
    tock: Naming
    probability: float

    @property
    def span_s(self) -> float:
        """Return the mean time from unlocking to drop."""
        return (self.tick.span_s + self.tock.span_s) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """What tick and tock may be, the most probable first; choices of like span are one.

    `events` : the noises of tick and of tock that the namings number
    `hidden` : probability that unlocking is not among the noises heard on both sides
    `evidence` : logarithm of their probability if they are an escapement's, -inf if a side has none
    `limit_db` : the faintest noise that would be heard, against the loudest
    """

    events: tuple[tuple[Event, ...], tuple[Event, ...]]
    choices: tuple[SidesExplained, ...]
    hidden: float
    limit_db: float
    evidence: float = -math.inf

    @property
    def sure(self) -> bool:
        """Return whether the first choice is so probable that the others need not be told."""
        return bool(self.choices) and self.choices[0].probability > SURE

    @property
    def nearly_sure(self) -> bool:
        """Return whether what is within reach lies close together and leaves nothing else."""
        likely = self.likely
        near = bool(likely) and self.open_s < NEAR_SHARE * likely[0].span_s
        return near and sum(one.probability for one in likely) > SURE

    @property
    def open_s(self) -> float:
        """Return how far the spans within reach lie from the most probable one; 0 if it is sure."""
        if self.sure:
            return 0.0
        return max((abs(one.span_s - self.likely[0].span_s) for one in self.likely), default=0.0)

    @property
    def unlocking_sure(self) -> bool:
        """Return whether it is sure which noises are unlocking, be the drop what it may."""
        ways = {(one.tick.unlock, one.tock.unlock) for one in self.likely}
        return len(ways) == 1 and sum(one.probability for one in self.likely) > SURE

    @property
    def likely(self) -> tuple[SidesExplained, ...]:
        """Return the choices that are within reach."""
        return tuple(one for one in self.choices if one.probability > WITHIN_REACH)
