"""How far the noises of tick and tock are those of an escapement, in their order."""

import math
from dataclasses import dataclass

import numpy as np

from sideshake.sound.arrival import Arrivals
from sideshake.sound.choices import Explanation
from sideshake.sound.event import LEAST_SIGMAS, Event, events_of
from sideshake.sound.explain import EXTRA_SPREAD_DB, EXTRA_SPREAD_MS, explained
from sideshake.sound.profile import Profile, envelope_powers, side_profiles, turned
from sideshake.sound.windows import Windows

EARLIER_RATE, SOON_RATE, LATER_RATE = 0.3, 0.6, 0.1
SOON_S = 15e-3
"""Noises before the loudest, soon after it and later, in a side of what has no escapement."""
BY_EVIDENCE = ((-16.0, -8.0, -3.0, 0.0, 4.0, 10.0), (-1.5, -1.2, -0.5, 0.0, 2.0, 5.0))
BY_SPACING = ((0.03, 0.08, 0.3, 0.5), (1.5, 1.0, 0.6, -0.5))
SPACED_SHARE = (0.004, 0.18)
"""An earlier noise may be unlocking if it comes this share of a beat before the loudest."""
ONE_SIDE, NO_SIDE, NO_NOISE = -0.6, -1.0, -1.5
CLEARER_DB = (15.0, 30.0)
"""What is missing counts up to twice as much where the tick stands so far above the room."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Noises:
    """What is known of the average tick and tock: profiles, separate noises, what they may be."""

    profiles: tuple[list[Profile], list[Profile]]
    events: tuple[list[Event], list[Event]]
    explanation: Explanation


def noises_of(windows: Windows, arrivals: Arrivals, beat_s: float) -> Noises:
    """Return the noises of the page's average tick and tock."""
    powers = envelope_powers(windows.spectra, windows)
    sides = [np.flatnonzero(arrivals.heard & (windows.side == side)) for side in (0, 1)]
    tick, tock = (turned(windows, powers, arrivals.shift, rows) for rows in sides)
    profiles = (side_profiles(windows, powers, tick), side_profiles(windows, powers, tock))
    events = (events_of(profiles[0]), events_of(profiles[1]))
    return Noises(
        profiles=profiles,
        events=events,
        explanation=explained(
            *events, beat_s=beat_s, deepest=(deepest(profiles[0]), deepest(profiles[1]))
        ),
    )


def deepest(profiles: list[Profile]) -> float:
    """Return the faintest level that would be taken for a noise on a side."""
    seen = (LEAST_SIGMAS[0] * one.floor * max(one.spread, 1e-3) for one in profiles)
    return max(min(seen, default=0.0), 0.0) + 1e-9


def order_nats(noises: Noises, beat_s: float, *, spaced: bool) -> float:
    """Return how many nats the order of the noises counts for an escapement.

    `spaced` : whether a like spacing on both sides counts although the rest fits badly
    """
    ratio = noises.explanation.evidence - chance_evidence(noises.explanation)
    by_evidence = float(np.interp(ratio, *BY_EVIDENCE)) if math.isfinite(ratio) else NO_NOISE
    return max(by_evidence, spacing_nats(noises.events, beat_s)) if spaced else by_evidence


def chance_evidence(explanation: Explanation) -> float:
    """Return the logarithm of the probability of such noises where there is no escapement.

    Each side has a loudest noise, and others before and after it by chance.
    """
    found = 0.0
    for events in explanation.events:
        loudest = max(events, key=lambda event: event.level, default=None)
        for event in events:
            if event is loudest or loudest is None:
                continue
            soon = event.at_s - loudest.at_s < SOON_S
            rate = SOON_RATE if soon else LATER_RATE
            rate = EARLIER_RATE if event.at_s < loudest.at_s else rate
            found += math.log(rate / (EXTRA_SPREAD_DB * EXTRA_SPREAD_MS))
    return found


def spacing_nats(events: tuple[list[Event], list[Event]], beat_s: float) -> float:
    """Return how many nats it counts that both sides have a noise as long before the loudest."""
    ticks, tocks = (earlier_s(side, beat_s) for side in events)
    ratios = [abs(math.log(tick / tock)) for tick in ticks for tock in tocks]
    if ratios:
        return float(np.interp(min(ratios), *BY_SPACING))
    return ONE_SIDE if ticks or tocks or not all(events) else NO_SIDE


def earlier_s(events: list[Event], beat_s: float) -> list[float]:
    """Return how long before the loudest noise others come that may be unlocking."""
    if not events:
        return []
    loudest = max(events, key=lambda event: event.level)
    least, most = (share * beat_s for share in SPACED_SHARE)
    before = (loudest.at_s - event.at_s for event in events)
    return [gap_s for gap_s in before if least < gap_s < most]


def missing_nats(order: float, clear_db: float) -> float:
    """Return what bad order counts at such clearness: the clearer the tick, the more."""
    return order * float(1 + np.interp(clear_db, CLEARER_DB, (0.0, 1.0)))
