"""Noises on the way to the drop that come back: an echo, a bounce, a second hit.

Such a noise follows its own cause in the same way on tick and tock; and an echo follows every
noise of its side alike, the drop too.
A side's noises are named by the numbers of unlocking, impulse and drop among its events, -1 for
one that is not heard.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.sound.event import Event, decibels

Floats = NDArray[np.float64]
Named = tuple[int, int, int]

ALIKE_S, ALIKE_DB = 0.3e-3, 6.0
"""How far the two may differ, in their distance from their cause and in their loudness against it
(from memory: the case is the same, the pallets are not)."""

LOUDEST = 0.25
"""What has more of the drop's power than this may be the drop itself."""

ECHO_S = 15e-3
"""So long after the drop its echoes are looked for."""


@dataclass(frozen=True, slots=True)
class Followers:
    """The unnamed noises on the way of each way to name a side, shape (ways, noises).

    `after_s`, `under_db` : how long after its cause each comes and how loud against it, NaN where
    there is none or where the drop's echoes foretell it; `foretold` : shape (ways,), how many
    they foretell
    """

    after_s: Floats
    under_db: Floats
    foretold: Floats


def again_between(
    events: tuple[tuple[Event, ...], tuple[Event, ...]], named: list[list[Named]]
) -> Floats:
    """Return how many unnamed noises on the way are foretold or come alike on both sides.

    For each pair of ways to name the noises of tick and tock, shape (ticks, tocks).
    """
    tick, tock = (followers(*side) for side in zip(events, named, strict=True))
    apart_s, apart_db = (
        np.abs(a[:, None, :, None] - b[None, :, None, :])
        for a, b in ((tick.after_s, tock.after_s), (tick.under_db, tock.under_db))
    )
    alike = (apart_s < ALIKE_S) & (apart_db < ALIKE_DB)
    counts = alike.any(axis=3).sum(axis=2), alike.any(axis=2).sum(axis=2)
    return np.asarray(tick.foretold[:, None] + tock.foretold + np.minimum(*counts), np.float64)


def followers(events: tuple[Event, ...], named: list[Named]) -> Followers:
    """Return the unnamed noises on the way."""
    nothing = np.full((len(named), len(events)), np.nan)
    found = Followers(nothing, nothing.copy(), np.zeros(len(named)))
    answers = [answers_to_drop(events, drop) for drop in range(len(events))]
    for row, (unlock, impulse, drop) in enumerate(named):
        known = [at for at in (unlock, impulse, drop) if at >= 0]
        for at in (one for one in range(min(known), drop) if one not in known):
            causes = [events[one] for one in known if one < at]
            if any(is_foretold(events[at], cause, answers[drop]) for cause in causes):
                found.foretold[row] += 1
            elif events[at].level < LOUDEST * events[drop].level:
                found.after_s[row, at] = events[at].at_s - causes[-1].at_s
                found.under_db[row, at] = decibels(events[at].level / causes[-1].level)
    return found


def answers_to_drop(events: tuple[Event, ...], drop: int) -> list[tuple[float, float]]:
    """Return how long after the drop each fainter noise comes (s), and how loud against it (dB)."""
    cause = events[drop]
    return [
        (one.at_s - cause.at_s, decibels(one.level / cause.level))
        for one in events[drop + 1 :]
        if one.at_s - cause.at_s < ECHO_S and one.level < cause.level
    ]


def is_foretold(one: Event, cause: Event, answers: list[tuple[float, float]]) -> bool:
    """Return whether a noise follows its cause as one of the answers does the drop: a room answers
    every noise alike."""
    after_s, under_db = one.at_s - cause.at_s, decibels(one.level / cause.level)
    return any(
        abs(after_s - late_s) < ALIKE_S and abs(under_db - fainter_db) < ALIKE_DB
        for late_s, fainter_db in answers
    )
