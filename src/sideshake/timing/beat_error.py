"""The beat error: half the difference of alternate intervals, between unlockings."""

import math
from dataclasses import dataclass

import numpy as np

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.choices import Explanation
from sideshake.sound.explain import span_of
from sideshake.sound.line import BeatLine, fit_line
from sideshake.sound.listener import Heard
from sideshake.timing.amplitude import Swing, mean_of

LOUD_U_S = 1.2e-3
"""Standard uncertainty of a beat error told from loudness alone (checked on three real clocks)."""
RIVAL_SHARE = 0.15
"""A noise with so much of the loudest one's power may be the louder one on the other side."""
MOST_OPEN_S, SURELY = 0.25e-3, 4.0
"""A beat error open by more than the first (half of what is well in beat, trade-facts 3.5.7) is
told only if it is so many times as large as it is open: that a watch is far out of beat is known
long before it is known by how much."""

FEEBLE_DEG = 120.0
"""With less swing few watches go on (memory)."""
OPEN_FROM_MS = 0.05
"""Less is nought in words."""


def beat_error_s(heard: Heard, line: BeatLine, swings: list[Swing]) -> Measured:
    """Return half the difference of alternate intervals (s), tock late being positive.

    The intervals are between unlockings, as the trade hears them (trade-facts 3.1.1, 3.2.6).

    From loudness alone, one side's drop may be matched with the other's unlocking: told is only
    what lies farther apart than the two in a watch that barely goes.

    Raises
    ------
    NotEnough : only one side is heard, or it is open what it is; says within which bounds
    """
    if not np.isfinite(line.start).all():
        raise NotEnough("only one of tick and tock is heard")
    offset = side_offset_s(heard, swings)
    if offset is None:
        raise NotEnough("it is not sure which noises of tick and tock are the same")
    beats = heard.beats
    if swings:  # what a beat comes late by its arrival, unlocking comes early against that
        line = fit_line(
            beats.index.astype(np.float64), beats.side, beats.arrival_s + beats.unlock_s
        )
    late = int(np.count_nonzero(beats.side))
    scatter = line.sigma * math.sqrt(1 / (beats.count - late) + 1 / late)
    value = float(line.start[1] - line.start[0]) + offset.later_s.value
    error = Measured(value, math.hypot(offset.shape_u_s, math.hypot(offset.later_s.u, scatter)))
    if not swings and abs(value) < span_of(FEEBLE_DEG, line.beat):
        raise NotEnough("it is not sure which noises of tick and tock are the same")
    if error.expanded > max(MOST_OPEN_S, abs(error.value) / SURELY):
        raise NotEnough(open_words(error))
    return error


def open_words(error: Measured) -> str:
    """Return within which bounds (ms) a beat error lies that is too open to be told.

    Examples
    --------
    >>> open_words(Measured(-0.4e-3, 0.15e-3)), open_words(Measured(0.1e-3, 0.3e-3))
    ('it may be 0.1 to 0.7 ms', 'it may be anything up to 0.7 ms')
    """
    least, most = (1e3 * (abs(error.value) + way * error.expanded) for way in (-1, 1))
    if least < OPEN_FROM_MS:
        return f"it may be anything up to {most:.1f} ms"
    return f"it may be {least:.1f} to {most:.1f} ms"


@dataclass(frozen=True, slots=True, kw_only=True)
class Offset:
    """How much later (s) after its moment unlocking comes on tock than on tick, uncertain by
    chance, and its uncertainty from how the noises begin."""

    later_s: Measured
    shape_u_s: float


def side_offset_s(heard: Heard, swings: list[Swing]) -> Offset | None:
    """Return the offset of the sides, None if there is nothing to tell it from.

    From the onsets where they are found; else from where tick and tock are loud, which is far less
    sure, and only if they sound alike.
    """
    if swings:
        shape = float(np.mean([swing.offset_shape_u_s for swing in swings]))
        return Offset(later_s=mean_of([swing.offset_s for swing in swings]), shape_u_s=shape)
    loud = [note for note in heard.notes if note.loud_offset_s is not None]
    if not loud:
        return None
    u = max(math.hypot(LOUD_U_S, rivals_s(note.explanation) / 2) for note in loud)
    later_s = Measured(float(np.mean([note.loud_offset_s for note in loud])))
    return Offset(later_s=later_s, shape_u_s=u)


def rivals_s(explanation: Explanation | None) -> float:
    """Return how far apart (s) the noises lie of which tick or tock might be loudest by chance."""
    if explanation is None:
        return 0.0
    apart_s = 0.0
    for events in explanation.events:
        loudest = max((event.level for event in events), default=0.0)
        at_s = [event.at_s for event in events if event.level > RIVAL_SHARE * loudest]
        apart_s = max(apart_s, max(at_s, default=0.0) - min(at_s, default=0.0))
    return apart_s
