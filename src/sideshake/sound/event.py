"""The separate noises of the average tick: each rise of its power that is no chance and no ringing.

A noise that moves from beat to beat rises slowly in the average, one that does not rises at once;
so rises are looked for on three scales.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d

from sideshake.sound.profile import Profile

Floats = NDArray[np.float64]

SCALES_S = (0.125e-3, 0.4e-3, 1.25e-3)
LEAST_RATIOS = (3.0, 2.0, 1.5)
"""What rises out of a ringing noise must stand so many times above it, on each scale: two
resonances that beat against each other rise too, for a moment."""
LEAST_BEFORE_S = 0.5e-3
LEAST_SIGMAS = (8.0, 5.5, 3.8)
CHANCE = 2.0
FORERUNNERS = ((3e-3, 5e-4), (10e-3, 1e-4))
"""What rises out of silence is measured against so many times its chance, and against these shares
of the loudest that comes so soon: the background is made white by a filter that rings before as it
does after (40 dB down 2 ms before a sharp noise, 47 dB at 6 ms, in a room 60 dB down)."""
APART_S = 0.45e-3
LOUD_S = 1e-3
SMEARED_S = 1.5e-3
"""A smeared noise reaches half its height so long at most after it begins to rise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One noise: when it begins against the arrival (s, to its `scale_s`), how loud it is.

    `level` : its loudest millisecond's power above what was there before; 1 is a beat's background
    `before` : the power there before it; `rise` : how many times it raises what rang before
    `sigmas` : how far that is from chance
    `coherent` : whether it was found in the average of waves
    """

    at_s: float
    level: float
    rise: float
    sigmas: float
    scale_s: float
    coherent: bool
    before: float = 0.0


def decibels(ratio: float) -> float:
    """Return a ratio of powers in dB."""
    return 10 * math.log10(max(ratio, 1e-12))


def events_of(profiles: list[Profile]) -> list[Event]:
    """Return the noises of a side's average tick in order of time."""
    found: list[Event] = []
    for profile in profiles:
        sums = np.concatenate([[0.0], np.cumsum(profile.power)])
        for scale_s, ratio, sigmas in zip(SCALES_S, LEAST_RATIOS, LEAST_SIGMAS, strict=True):
            width = profile.cells(scale_s)
            for event in rises(sums, profile, width=width, least=(ratio, sigmas)):
                if all(abs(event.at_s - other.at_s) > max(APART_S, scale_s) for other in found):
                    found.append(event)
    found.sort(key=lambda event: event.at_s)
    ends_s = [*(event.at_s for event in found[1:]), np.inf][: len(found)]
    told = [
        settled(event, until_s, profiles[event.coherent])
        for event, until_s in zip(found, ends_s, strict=True)
    ]
    return [event for event in told if event.level > 0]


def settled(event: Event, until_s: float, profile: Profile) -> Event:
    """Return the event with its own level, and placed where a smeared one mostly begins.

    A step that is smeared normally reaches half its height at the mean of its places.
    """
    level = level_of(event, until_s, profile)
    first = profile.cell_at(event.at_s)
    part = profile.power[first : min(profile.cell_at(until_s), first + profile.cells(SMEARED_S))]
    high = np.flatnonzero(part - event.before > level / 2)
    later_s = float(high[0]) * profile.cell_s if high.size else 0.0
    return replace(event, level=level, at_s=event.at_s + later_s)


def level_of(event: Event, until_s: float, profile: Profile) -> float:
    """Return the power of an event's loudest millisecond, before the next begins, above what was
    there before it."""
    power = profile.power[profile.cell_at(event.at_s) : profile.cell_at(until_s)]
    loud = profile.cells(LOUD_S)
    part = power[: 2 * loud]
    width = min(loud, part.size)
    if width == 0:
        return 0.0
    sums = np.concatenate([[0.0], np.cumsum(part)])
    return float(np.max(sums[width:] - sums[:-width])) / width - event.before


def rises(sums: Floats, profile: Profile, *, width: int, least: tuple[float, float]) -> list[Event]:
    """Return the rises on one scale; `sums` are the running sums of the profile's power."""
    before = max(width, round(LEAST_BEFORE_S / profile.cell_s))
    here = np.arange(before, sums.size - 1 - width)
    after_power = (sums[here + width] - sums[here]) / width
    before_power = (sums[here] - sums[here - before]) / before
    spread = profile.spread * np.hypot(
        np.maximum(after_power, profile.floor) / np.sqrt(width),
        np.maximum(before_power, profile.floor) / np.sqrt(before),
    )
    sigmas = (after_power - before_power) / spread
    chance = CHANCE * profile.floor * profile.spread / np.sqrt(width)
    silence = chance + forerunners(profile, width)[here]
    grown = np.maximum(after_power - profile.floor, silence) / np.maximum(
        before_power - profile.floor, silence
    )
    near = maximum_filter1d(grown, 2 * max(width, round(APART_S / profile.cell_s)) + 1)
    peaks = np.flatnonzero((grown == near) & (grown > least[0]) & (sigmas > least[1]))
    return [
        Event(
            at_s=profile.place_s(int(here[at])),
            level=float(after_power[at] - before_power[at]),
            before=float(before_power[at]),
            rise=float(grown[at]),
            sigmas=float(sigmas[at]),
            scale_s=width * profile.cell_s,
            coherent=profile.spread == 1.0,
        )
        for at in peaks
    ]


def forerunners(profile: Profile, width: int) -> Floats:
    """Return how loud the ringing of what comes may be, in `width` cells from each one on."""
    rings = np.zeros(profile.power.size)
    for soon_s, share in FORERUNNERS:
        ahead = profile.cells(soon_s) + width + 1
        rings += share * maximum_filter1d(
            profile.power, ahead, origin=-(ahead // 2), mode="nearest"
        )
    return rings
