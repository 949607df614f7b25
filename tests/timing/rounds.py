"""Rounds written down by hand, for the tests of what they say."""

from sideshake.core.quantities import Measured
from sideshake.timing.positions.summary import HeardRound, InPosition, Position

VINTAGE = {"CH": (21, 275), "FH": (-1, 291), "3H": (-11, 245), "6H": (14, 245), "9H": (-27, 245),
           "12H": (-68, 245)}  # fmt: skip
"""A published vintage example (secondary trade page, trade-facts 4.2.10) in the positions of a
watch with its crown at 3 (trade-facts 2.1.7); the hanging amplitudes are only given as over 240."""
PITTED = {"CH": (1, 280), "FH": (9, 260)}
MENDED = {"CH": (9, 280), "FH": (9, 280)}
"""A pitted cap jewel before and after (secondary trade page, trade-facts 3.5.17)."""


def round_of(figures, *, rate_u=0.0, swing_u=0.0, running=None, clock_u=0.0, **more):
    """Return a round from {position: (rate, amplitude[, beat error])}; `running` likewise."""
    readings = [one(p, each, rate_u, swing_u, on=False) for p, each in figures.items()]
    readings += [one(p, each, rate_u, swing_u, on=True) for p, each in (running or {}).items()]
    return HeardRound(readings=tuple(readings), clock_u_s_per_day=clock_u, **more)


def one(position, figures, rate_u, swing_u, *, on):
    """Return one reading of a round."""
    rate, swing, error = (*figures, None, None)[:3]
    return InPosition(
        position=Position(position),
        rate_s_per_day=None if rate is None else Measured(rate, rate_u),
        amplitude_deg=None if swing is None else Measured(swing, swing_u),
        beat_error_ms=None if error is None else Measured(error, 0.05),
        chronograph_on=on,
    )
