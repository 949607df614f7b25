"""The separate noises of the average tick: each rise of its power that is no chance and no ringing.

A noise that moves from beat to beat rises slowly in the average, one that does not rises at once;
so rises are looked for on three scales.
"""

from dataclasses import dataclass

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
CHANCE, FORERUNNER = 2.0, 5e-4
"""What rises out of silence is measured against so many times its chance, and against this share of
the loudest: the background is made white by a filter that rings before as it does after."""
APART_S = 0.45e-3
LOUD_S = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One noise: when it begins against the arrival (s, to its `scale_s`), how loud it is.

    `level` : its loudest millisecond's power above what was there before; 1 is a beat's background
    `rise` : how many times it raises what rang before; `sigmas` : how far that is from chance
    `coherent` : whether it was found in the average of waves
    """

    at_s: float
    level: float
    rise: float
    sigmas: float
    scale_s: float
    coherent: bool


def events_of(profiles: list[Profile]) -> list[Event]:
    """Return the noises of a side's average tick in order of time."""
    found: list[Event] = []
    for profile in profiles:
        sums = np.concatenate([[0.0], np.cumsum(profile.power)])
        for scale_s, ratio, sigmas in zip(SCALES_S, LEAST_RATIOS, LEAST_SIGMAS, strict=True):
            width = max(1, round(scale_s / profile.cell_s))
            for event in rises(sums, profile, width=width, least=(ratio, sigmas)):
                if all(abs(event.at_s - other.at_s) > max(APART_S, scale_s) for other in found):
                    found.append(event)
    return sorted(found, key=lambda event: event.at_s)


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
    silence = CHANCE * profile.floor * profile.spread / np.sqrt(width) + FORERUNNER * power_top(
        sums
    )
    grown = np.maximum(after_power - profile.floor, silence) / np.maximum(
        before_power - profile.floor, silence
    )
    near = maximum_filter1d(grown, 2 * max(width, round(APART_S / profile.cell_s)) + 1)
    peaks = np.flatnonzero((grown == near) & (grown > least[0]) & (sigmas > least[1]))
    loud = max(1, round(LOUD_S / profile.cell_s))
    levels = [loudest(sums, int(here[at]), loud) - before_power[at] for at in peaks]
    return [
        Event(
            at_s=profile.place_s(int(here[at])),
            level=level,
            rise=float(grown[at]),
            sigmas=float(sigmas[at]),
            scale_s=width * profile.cell_s,
            coherent=profile.spread == 1.0,
        )
        for at, level in zip(peaks, levels, strict=True)
        if level > 0
    ]


def power_top(sums: Floats) -> float:
    """Return the greatest power there is."""
    return float(np.max(np.diff(sums)))


def loudest(sums: Floats, at: int, width: int) -> float:
    """Return the greatest mean power over `width` cells that begin within that width of `at`."""
    first = np.arange(at, min(at + width, sums.size - 1 - width) + 1)
    if first.size == 0:
        return float((sums[-1] - sums[at]) / (sums.size - 1 - at))
    return float(np.max(sums[first + width] - sums[first])) / width
