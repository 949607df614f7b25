"""Made-up sounds that no watch made: to see whether an ear that listens for watches says so.

`sounds()` makes them one at a time; `KINDS` has the maker of each kind. See README.md.
"""

from collections.abc import Iterator

import numpy as np

from not_a_watch import animals, machines, music, office, signals, surroundings
from not_a_watch.room import Recorder, Sound, as_it_is, at_a_level, in_a_room, recorded

__all__ = ["KINDS", "Sound", "sounds"]

_IN_A_ROOM = (
    animals.KINDS | office.KINDS | music.KINDS | machines.KINDS | signals.KINDS | surroundings.KINDS
)

KINDS: dict[str, Recorder] = {
    kind: recorded(kind, maker, finish)
    for makers, finish in (
        (_IN_A_ROOM, in_a_room),
        (surroundings.ALONE, at_a_level),
        (surroundings.AS_IT_IS, as_it_is),
    )
    for kind, maker in makers.items()
}


def sounds(seed: int = 0, count: int = 300) -> Iterator[Sound]:
    """Yield so many sounds, the kinds in turn; the n-th depends on the seed and n alone."""
    makers = tuple(KINDS.values())
    for number in range(count):
        yield makers[number % len(makers)](np.random.default_rng((seed, number)))
