"""What comes back with each turn of the escape wheel, in sentences; none where chance may do it."""

import math

import numpy as np

from sideshake.core.quantities import Measured
from sideshake.timing.turn.fold import WheelTurn
from sideshake.wording import figures, ngettext, noop
from sideshake.wording import gettext as _

SIDES = (noop("tick"), noop("tock"))
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
    return _(
        "With each turn of the escape wheel the beats swing early and late by {size}: look at the "
        "wheel for run-out and at its pivots."
    ).format(size=figures(ms(turn.wave_s)))


def place_words(turn: WheelTurn) -> str:
    """Return what single places mean, the one farthest off named."""
    out = turn.stands_out
    most = int(np.argmax(np.where(out, np.abs(turn.apart_s), 0.0)))
    late = Measured(abs(float(turn.apart_s[most])), float(turn.apart_u_s[most]))
    more = int(np.count_nonzero(out)) - 1
    said = comes_late(more) if turn.apart_s[most] > 0 else comes_early(more)
    return said.format(
        beat=most + 1,
        of=turn.places,
        side=_(SIDES[most % 2]),
        size=figures(ms(late)),
        more=more,
    )


def comes_late(more: int) -> str:
    """Return that a beat comes late, and how many more stand out, to be filled in."""
    if not more:
        return _(
            "With each turn of the escape wheel beat {beat} of {of}, a {side}, comes {size} late: "
            "look at the wheel's teeth and at the leaves of its pinion."
        )
    return ngettext(
        "With each turn of the escape wheel beat {beat} of {of}, a {side}, comes {size} late, and "
        "{more} more stands out: look at the wheel's teeth and at the leaves of its pinion.",
        "With each turn of the escape wheel beat {beat} of {of}, a {side}, comes {size} late, and "
        "{more} more stand out: look at the wheel's teeth and at the leaves of its pinion.",
        more,
    )


def comes_early(more: int) -> str:
    """Return that a beat comes early, and how many more stand out, to be filled in."""
    if not more:
        return _(
            "With each turn of the escape wheel beat {beat} of {of}, a {side}, comes {size} early: "
            "look at the wheel's teeth and at the leaves of its pinion."
        )
    return ngettext(
        "With each turn of the escape wheel beat {beat} of {of}, a {side}, comes {size} early, and "
        "{more} more stands out: look at the wheel's teeth and at the leaves of its pinion.",
        "With each turn of the escape wheel beat {beat} of {of}, a {side}, comes {size} early, and "
        "{more} more stand out: look at the wheel's teeth and at the leaves of its pinion.",
        more,
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
