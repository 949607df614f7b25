"""The beat error: half the difference of alternate intervals, between unlockings."""

import math

import numpy as np

from sideshake.quantities import Measured
from sideshake.sound.explain import Explanation
from sideshake.sound.line import Line
from sideshake.sound.listener import Heard
from sideshake.timing.amplitude import Swing, mean_of

LOUD_U_S = 1.2e-3
"""Standard uncertainty of a beat error told from loudness alone (checked on three real clocks)."""
RIVAL_SHARE = 0.15
"""A noise with so much of the loudest one's power may be the louder one on the other side."""
OPEN_SHARE = 0.02
"""A beat error open by more than this share of the beat says nothing."""


def beat_error_s(heard: Heard, line: Line, swings: list[Swing]) -> Measured | None:
    """Return half the difference of alternate intervals (s), tock late being positive.

    The intervals are between unlockings, as the trade hears them (trade-facts 3.1.1, 3.2.6).
    """
    if not np.isfinite(line.start).all():
        return None
    offset = side_offset_s(heard, swings)
    if offset is None:
        return None
    late = int(np.count_nonzero(heard.beats.side))
    counts = (heard.beats.count - late, late)
    sides = line.sigma * math.sqrt(1 / counts[0] + 1 / counts[1])
    value = float(line.start[1] - line.start[0]) + offset.value
    error = Measured(value, math.hypot(offset.u, sides))
    return None if error.expanded > OPEN_SHARE * line.beat else error


def side_offset_s(heard: Heard, swings: list[Swing]) -> Measured | None:
    """Return how much later after its moment unlocking comes on tock than on tick.

    From the onsets where they are found; else from where tick and tock are loud, which is far less
    sure, and only if they sound alike.
    """
    if swings:
        mean = mean_of([swing.offset_s for swing in swings])
        shape = float(np.mean([swing.offset_shape_u_s for swing in swings]))
        return Measured(mean.value, math.hypot(mean.u, shape))
    loud = [note for note in heard.notes if note.loud_offset_s is not None]
    if not loud:
        return None
    u = max(math.hypot(LOUD_U_S, rivals_s(note.explanation) / 2) for note in loud)
    return Measured(float(np.mean([note.loud_offset_s for note in loud])), u)


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
