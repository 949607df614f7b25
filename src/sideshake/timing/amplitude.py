"""Amplitude and beat error from the onsets of unlocking and drop on tick and tock.

Exact for a balance that swings as a sine, symmetric about rest: trade-facts 3.2.1, derived from
simple harmonic motion: A = lift / (2 sin(pi t / (2 beat))).
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.errors import InputError, NotEnough
from sideshake.quantities import Measured
from sideshake.sound.listener import PageNote
from sideshake.sound.portrait import DRAWS, Onsets

Floats = NDArray[np.float64]

ONSET_U_S, ONSET_RATE_HZ = 5.5e-6, 48000.0
"""Standard uncertainty of one onset from the noise's own shape, at 48 kHz; below that it grows as
the square of the sample's length: design/onset.py."""
ONSET_WEIGHT = 4.0
"""How many observations that prior counts for against the one difference of tick and tock."""
BLURRED_DEG = 12.0
MOST_DEG = 360.0
LIFT_RANGE_DEG = (10.0, 90.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """What the portraits say about one page: drop minus unlocking, and tock minus tick (s).

    `time_s` is the mean over the sides; `offset_s` how much later the moment meant lies before the
    true mid-lift on side 1 than on side 0; `groups_s` the time in groups of some 10 s.
    """

    time_s: Measured
    offset_s: Measured
    groups_s: Floats
    start_s: float
    end_s: float


def onset_u_s(rate_hz: float) -> float:
    """Return the standard uncertainty of one onset from its shape."""
    return ONSET_U_S * max(1.0, ONSET_RATE_HZ / rate_hz) ** 2


def page_swing(note: PageNote, rate_hz: float) -> Swing:
    """Return the swing of one page.

    Raises
    ------
    NotEnough : unlocking or drop cannot be seen clearly on both sides
    """
    tick, tock = note.onsets
    if tick is None or tock is None:
        raise NotEnough("only one of tick and tock is heard")
    spans = np.stack([tick.drop_s - tick.unlock_s, tock.drop_s - tock.unlock_s])
    middles = np.stack([middle_s(tick), middle_s(tock)])
    draws = slice(1, 1 + DRAWS)
    if not np.isfinite(spans[:, 0]).all() or np.isfinite(spans[:, draws]).mean() < 0.8:
        raise NotEnough("unlocking and drop do not stand out clearly enough")
    apart = float(spans[0, 0] - spans[1, 0])
    shape2 = (ONSET_WEIGHT * onset_u_s(rate_hz) ** 2 + apart**2 / 4) / (ONSET_WEIGHT + 1)
    shape = math.sqrt(shape2 + (tick.smear_s**2 + tock.smear_s**2) / 4)
    offsets = middles[0] - middles[1]
    return Swing(
        time_s=Measured(float(spans[:, 0].mean()), math.hypot(shape, spread(spans.mean(0)[draws]))),
        offset_s=Measured(float(-offsets[0]), math.hypot(shape, spread(offsets[draws]))),
        groups_s=spans[:, 1 + DRAWS :].mean(axis=0),
        start_s=note.start_s,
        end_s=note.end_s,
    )


def middle_s(onsets: Onsets) -> Floats:
    """Return the middle of lift, when the balance passes the line of centres, in each row."""
    return (onsets.unlock_s + onsets.drop_s) / 2


def spread(draws: Floats) -> float:
    """Return the standard deviation of the draws that are there."""
    return float(np.std(draws[np.isfinite(draws)], ddof=1))


def amplitude_deg(time_s: float, *, beat_s: float, lift_angle_deg: float) -> float:
    """Return the amplitude from the time between unlocking and drop.

    Raises
    ------
    InputError : a time or angle out of its range

    Examples
    --------
    >>> round(amplitude_deg(7.675e-3, beat_s=0.125, lift_angle_deg=52), 1)
    270.0
    """
    require_lift_angle(lift_angle_deg)
    if not 0 < time_s < beat_s:
        raise InputError(f"unlocking to drop takes {time_s} s: it must lie within {beat_s} s")
    return lift_angle_deg / (2 * math.sin(math.pi * time_s / (2 * beat_s)))


def require_lift_angle(lift_angle_deg: float) -> None:
    """Raise InputError for a lift angle that no lever escapement has."""
    low, high = LIFT_RANGE_DEG
    if not low <= lift_angle_deg <= high:
        raise InputError(
            f"a lift angle of {lift_angle_deg:g} degrees cannot be: {low:g} to {high:g} is "
            "allowed, most movements have 48 to 54"
        )


def amplitude(time_s: Measured, *, beat_s: float, lift_angle_deg: Measured) -> Measured:
    """Return the amplitude with its uncertainty (degrees), first order in both inputs.

    Raises
    ------
    NotEnough : above 360 degrees, which no balance swings, or open by more than 12 degrees
        because the portrait is blurred
    """
    value = amplitude_deg(time_s.value, beat_s=beat_s, lift_angle_deg=lift_angle_deg.value)
    turn = math.pi / (2 * beat_s)
    from_time = value * turn / math.tan(turn * time_s.value) * time_s.u
    if value > MOST_DEG:
        raise NotEnough("the two strongest noises stand too close to be unlocking and drop")
    if from_time > BLURRED_DEG:
        raise NotEnough(f"the portrait is too blurred: the amplitude is open by {from_time:.0f}°")
    from_lift = value / lift_angle_deg.value * lift_angle_deg.u
    return Measured(value, math.hypot(from_time, from_lift))


def out_of_beat_deg(beat_error_s: float, *, beat_s: float, amplitude: float) -> float:
    """Return by how many degrees the balance's rest point is off (trade-facts 3.2.8).

    Examples
    --------
    >>> round(out_of_beat_deg(1e-3, beat_s=0.2, amplitude=270), 3)
    2.121
    """
    return amplitude * math.sin(math.pi * beat_error_s / (2 * beat_s))


def mean_of(parts: list[Measured], *, common_u: float = 0.0) -> Measured:
    """Return the mean of values that share an uncertainty of `common_u` and are else independent.

    If they scatter more than they should, their own scatter counts.
    """
    values = np.array([part.value for part in parts])
    own = np.array([max(part.u**2 - common_u**2, 0.0) for part in parts])
    u2 = float(own.sum()) / len(parts) ** 2
    if len(parts) > 1:
        u2 = max(u2, float(np.var(values, ddof=1)) / len(parts))
    return Measured(float(values.mean()), math.sqrt(u2 + common_u**2))
