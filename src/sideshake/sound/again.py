"""Noises on the way to the drop that come back on the other side: an echo, a bounce, a second hit.

Such a noise follows its own cause in the same way on tick and tock.
A side's noises are named by the numbers of unlocking, impulse and drop among its events, -1 for
one that is not heard.
"""

import math

import numpy as np
from numpy.typing import NDArray

from sideshake.sound.event import Event

Floats = NDArray[np.float64]
Named = tuple[int, int, int]

ALIKE_S, ALIKE_DB = 0.3e-3, 6.0
"""How far the two may differ, in their distance from their cause and in their loudness against it
(from memory: the case is the same, the pallets are not)."""

LOUDEST = 0.25
"""What has more of the drop's power than this may be the drop itself."""


def alike_between(
    events: tuple[tuple[Event, ...], tuple[Event, ...]], named: list[list[Named]]
) -> Floats:
    """Return how many unnamed noises on the way come alike on both sides.

    For each pair of ways to name the noises of tick and tock, shape (ticks, tocks).
    """
    tick, tock = (followers(*side) for side in zip(events, named, strict=True))
    apart = [
        np.abs(a[:, None, :, None] - b[None, :, None, :]) for a, b in zip(tick, tock, strict=True)
    ]
    alike = (apart[0] < ALIKE_S) & (apart[1] < ALIKE_DB)
    counts = alike.any(axis=3).sum(axis=2), alike.any(axis=2).sum(axis=2)
    return np.asarray(np.minimum(*counts), np.float64)


def followers(events: tuple[Event, ...], named: list[Named]) -> tuple[Floats, Floats]:
    """Return how long after its cause each unnamed noise on the way comes (s), and its loudness
    against it (dB): shape (ways, noises), NaN where there is none."""
    after = np.full((len(named), len(events)), np.nan)
    louder = after.copy()
    for row, ways in enumerate(named):
        known = [at for at in ways if at >= 0]
        for at in range(min(known) + 1, ways[2]):
            if at not in known and events[at].level < LOUDEST * events[ways[2]].level:
                cause = events[max(one for one in known if one < at)]
                after[row, at] = events[at].at_s - cause.at_s
                louder[row, at] = 10 * math.log10(events[at].level / cause.level)
    return after, louder
