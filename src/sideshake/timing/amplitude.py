"""Amplitude and beat error from the onsets of unlocking and drop on tick and tock.

Exact for a balance that swings as a sine, symmetric about rest: trade-facts 3.2.1, derived from
simple harmonic motion: A = lift / (2 sin(pi t / (2 beat))).
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.choices import SidesExplained
from sideshake.sound.explain import SIDES_SPAN
from sideshake.sound.listener import SegmentNote
from sideshake.sound.onset import DRAWS
from sideshake.sound.template import Onsets

Floats = NDArray[np.float64]

UNEQUAL_SHARE = 2 * SIDES_SPAN
"""Lifts and drops may make the times from unlocking to drop of tick and tock differ by this share;
what they differ by more is an error of one of them, and half of that an error of the mean."""
UNLIKE_SHARE, UNLIKE_SIDES_SHARE = 0.85, 0.7
"""What of an onset's uncertainty by its shape two noises do not share, unlocking and drop, and
unlocking on tick and on tock: what puts both late moves no time between them (fitted on the second
simulator: experiments/README.md)."""
LEAST_DRAWS = 0.8
DRAWN_SHARE = 0.3
"""What of the draws' spread is an error of the mean of the beats heard: where draws lie far apart
each takes one of two rises for the beginning, all beats together mostly the right one (fitted on
the second simulator: experiments/README.md)."""
MIDDLE = (0.1587, 0.8413)
COARSE_SHARE, COARSE_LONG_SHARE = 0.025, 0.015
"""Standard uncertainty of a time between noises that were noticed but not placed exactly, as a
share of it (on both simulators 95 of 100 lie within twice that), and how much too long it is, for
a smeared unlocking is noticed early."""
BLURRED_DEG = 12.0
MOST_DEG = 360.0
LIFT_RANGE_DEG = (10.0, 90.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """What the portraits say about one page (s).

    `time_s` : from unlocking to drop, mean over the sides and these beats, uncertain by how well
        their averages show it; `shape_u_s` : its uncertainty from how the noises begin, the same on
        each page; `scatter_u_s` : how far other beats' mean would lie off
    `offset_s` : how much later against its arrival unlocking comes on tock than on tick, uncertain
    by how well the average noises show their beginning, and `offset_shape_u_s`
    `groups_s` : the time in groups of some 10 s
    """

    time_s: Measured
    shape_u_s: float
    offset_s: Measured
    offset_shape_u_s: float
    groups_s: Floats
    start_s: float
    end_s: float
    scatter_u_s: float = 0.0


def page_swing(note: SegmentNote) -> Swing:
    """Return the swing of one page whose noises are surely explained.

    Raises
    ------
    NotEnough : unlocking or drop cannot be placed on both sides
    """
    tick, tock = note.onsets
    if tick is None or tock is None:
        raise NotEnough("only one of tick and tock is heard")
    spans = np.stack([tick.drop_s - tick.unlock_s, tock.drop_s - tock.unlock_s])
    draws = slice(1, 1 + DRAWS)
    if not np.isfinite(spans[:, 0]).all() or np.isfinite(spans[:, draws]).mean() < LEAST_DRAWS:
        raise NotEnough("unlocking and drop do not stand out clearly enough")
    shapes = [each for side in (tick, tock) for each in (side.unlock_u_s, side.drop_u_s)]
    owns = np.stack([tick.own_s[1] - tick.own_s[0], tock.own_s[1] - tock.own_s[0]])
    begins = [
        each - side.own_s[0] for each, side in zip(alike_s(tick, tock), (tick, tock), strict=True)
    ]
    return Swing(
        time_s=chance_of(drawn((spans - owns).mean(axis=0))),
        scatter_u_s=drawn(spans.mean(axis=0)).u,
        shape_u_s=math.hypot(
            UNLIKE_SHARE * math.hypot(*shapes) / 2, unequal_s(spans[:, 0]) / 2, open_s(note) / 2
        ),
        offset_s=chance_of(drawn(begins[1] - begins[0])),
        offset_shape_u_s=UNLIKE_SIDES_SHARE * math.hypot(tick.unlock_u_s, tock.unlock_u_s),
        groups_s=spans[:, 1 + DRAWS :].mean(axis=0),
        start_s=note.start_s,
        end_s=note.end_s,
    )


def alike_s(tick: Onsets, tock: Onsets) -> tuple[Floats, Floats]:
    """Return where unlocking begins on both sides, told in the same way: by powers alone, if that
    is the only way on one of them."""
    alone = (tick.alone_s, tock.alone_s)
    if (tick.by_wave and tock.by_wave) or not all(np.isfinite(each[0]) for each in alone):
        return tick.unlock_s, tock.unlock_s
    return alone


def coarse(choice: SidesExplained, note: SegmentNote) -> Swing:
    """Return the swing of a page by a choice whose noises were not placed exactly."""
    return Swing(
        time_s=Measured(choice.span_s * (1 - COARSE_LONG_SHARE)),
        shape_u_s=COARSE_SHARE * choice.span_s,
        offset_s=Measured(0.0),
        offset_shape_u_s=0.0,
        groups_s=np.empty(0),
        start_s=note.start_s,
        end_s=note.end_s,
    )


def open_s(note: SegmentNote) -> float:
    """Return by how much it is open which noises unlocking and drop are."""
    return 0.0 if note.explanation is None else note.explanation.open_s


def unequal_s(spans_s: Floats) -> float:
    """Return by how much the two sides' times differ more than a sound watch's may."""
    apart = abs(float(spans_s[0] - spans_s[1]))
    return max(0.0, apart - UNEQUAL_SHARE * float(spans_s.mean()))


def drawn(rows: Floats) -> Measured:
    """Return the value over all beats with the scatter of the bootstrap draws that are there.

    Half of what the middle 68 of 100 span, which is one standard deviation of normal ones: a draw
    or two that took the rise before for the beginning are no scatter.
    """
    draws = rows[1 : 1 + DRAWS]
    low, high = np.quantile(draws[np.isfinite(draws)], MIDDLE)
    return Measured(float(rows[0]), float(high - low) / 2)


def chance_of(draws: Measured) -> Measured:
    """Return what draws say of the beats heard, uncertain by their share of the draws' spread."""
    return Measured(draws.value, DRAWN_SHARE * draws.u)


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


def mean_of(parts: list[Measured]) -> Measured:
    """Return the mean of independent values; if they scatter more than they should, that counts."""
    values = np.array([part.value for part in parts])
    u2 = sum(part.u**2 for part in parts) / len(parts) ** 2
    if len(parts) > 1:
        u2 = max(u2, float(np.var(values, ddof=1)) / len(parts))
    return Measured(float(values.mean()), math.sqrt(u2))
