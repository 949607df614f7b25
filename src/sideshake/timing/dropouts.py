"""Beats in which no sound was lost: where a recorder drops some, all later beats come too early.

A busy computer drops sound in pieces of 10 ms or more and says nothing. A reference's own steps
stay below that: a quartz watch corrects itself by up to 6 ms once a minute.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter

from sideshake.sound.beats import Beats
from sideshake.sound.listener import Heard

Floats = NDArray[np.float64]

LOST_S = 8e-3
ASTRAY = 5
"""Beats over which a median is taken: up to two that lie astray are no loss."""
LEAST = 6


def without_dropouts(heard: Heard) -> Heard:
    """Return the longest stretch of the beats without a loss; all of it where nothing was lost.

    Its duration is then that of the beats alone. Beats that lie astray are left out.
    """
    beats = heard.beats
    if beats.count < LEAST:
        return heard
    rest = rest_of(beats)
    smooth = smoothed(rest)
    sound = beats.part(np.abs(rest - smooth) < LOST_S)
    breaks = losses(sound)
    if not breaks.size:
        return replace(heard, beats=sound)
    edges = np.concatenate([[0], breaks, [sound.count]])
    lasting = sound.arrival_s[edges[1:] - 1] - sound.arrival_s[edges[:-1]]
    longest = int(np.argmax(lasting))
    kept = sound.part(slice(int(edges[longest]), int(edges[longest + 1])))
    return replace(heard, beats=kept, duration_s=float(lasting[longest]))


def losses(beats: Beats) -> NDArray[np.intp]:
    """Return the places of the beats before which sound was lost (or repeated), rising.

    Examples
    --------
    >>> at_s = np.arange(20.0)
    >>> at_s[12:] -= 0.06
    >>> losses(Beats(at_s, np.arange(20), np.ones(20, np.float32)))
    array([12])
    """
    if beats.count < LEAST:
        return np.empty(0, np.intp)
    return np.flatnonzero(np.abs(np.diff(smoothed(rest_of(beats)))) > LOST_S) + 1


def smoothed(rest: Floats) -> Floats:
    """Return the running median: steps stay where they are, single beats astray vanish."""
    return np.asarray(median_filter(rest, size=ASTRAY, mode="reflect"))


def rest_of(beats: Beats) -> Floats:
    """Return each beat's distance from an even beat that no loss has bent (s).

    The beat is the median of those between every second one, and half the usual difference of tick
    and tock is taken off: neither is moved by a few jumps.
    """
    at_s, index = beats.arrival_s, beats.index
    beat_s = float(np.median((at_s[2:] - at_s[:-2]) / (index[2:] - index[:-2])))
    rest = at_s - beat_s * index
    turn = np.diff(beats.side)
    apart = np.diff(rest)[turn != 0] * turn[turn != 0]
    return np.asarray(rest - beats.side * float(np.median(apart)) if apart.size else rest)
