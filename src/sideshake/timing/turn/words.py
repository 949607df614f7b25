"""What comes back with each turn of the escape wheel, in sentences; none where chance may do it."""

import math

import numpy as np

from sideshake.core.quantities import Measured
from sideshake.timing.turn.fold import WheelTurn

SIDES = ("tick", "tock")
MOSTLY_WAVE = 0.5
"""From this share of what comes back on, a wave is what is said; below, the places are."""


def repeats(turn: WheelTurn) -> list[str]:
    """Return what comes back with each turn, if it is more than chance makes.

    What causes it is common practice, without a source.

    Examples
    --------
    >>> from sideshake.sound.listener import Listener
    >>> from sideshake.sound.simulate import SimulatedWatch, simulate
    >>> from sideshake.timing.turn.fold import fold
    >>> from sideshake.timing.reading import read
    >>> listener = Listener(48000)
    >>> listener.feed(simulate(SimulatedWatch(beats_per_hour=18000), duration_s=30).samples)
    >>> repeats(fold(read(listener.hear()), 15))
    []
    """
    if turn.waves and wave_share(turn) >= MOSTLY_WAVE:
        return [wave_words(turn)]
    return [place_words(turn)] if turn.stands_out.any() else []


def wave_share(turn: WheelTurn) -> float:
    """Return how much of what comes back swings once a turn: a share of the mean square."""
    chance = float(np.mean(turn.apart_u_s**2))
    whole = float(np.mean(turn.apart_s**2)) - chance
    return turn.wave_s.value**2 / 2 / max(whole, chance)


def wave_words(turn: WheelTurn) -> str:
    """Return what a wave means."""
    return (
        f"With each turn of the escape wheel the beats swing early and late by {ms(turn.wave_s)}: "
        "look at the wheel for run-out and at its pivots."
    )


def place_words(turn: WheelTurn) -> str:
    """Return what single places mean, the one farthest off named."""
    out = turn.stands_out
    most = int(np.argmax(np.where(out, np.abs(turn.apart_s), 0.0)))
    late = Measured(abs(float(turn.apart_s[most])), float(turn.apart_u_s[most]))
    way = "late" if turn.apart_s[most] > 0 else "early"
    more = int(np.count_nonzero(out)) - 1
    others = f", and {more} more {'stand' if more > 1 else 'stands'} out" if more else ""
    return (
        f"With each turn of the escape wheel beat {most + 1} of {turn.places}, a "
        f"{SIDES[most % 2]}, comes {ms(late)} {way}{others}: look at the wheel's teeth and at the "
        "leaves of its pinion."
    )


def ms(late_s: Measured) -> str:
    """Return a time in milliseconds, or in microseconds where it is small.

    Examples
    --------
    >>> ms(Measured(52e-6, 4e-6)), ms(Measured(2.1e-4, 1e-5))
    ('52 ± 8 µs', '0.210 ± 0.020 ms')
    """
    if late_s.value < 1e-4 and math.isfinite(late_s.u):
        return f"{Measured(late_s.value * 1e6, late_s.u * 1e6).text()} µs"
    return f"{Measured(late_s.value * 1e3, late_s.u * 1e3).text()} ms"
