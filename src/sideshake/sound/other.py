"""A second watch in the same sound."""

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import NotEnough
from sideshake.sound.arrival import Arrivals
from sideshake.sound.tempo import Tempo, find_tempo, refuse_music
from sideshake.sound.windows import Windows

SILENCED_BEFORE_S, SILENCED_MOST_S, SILENCED_SHARE = 0.012, 0.06, 0.24
SAME_MULTIPLE = 0.003
OTHER_SIGMAS = 7.5


def other_tempo(
    loudness: NDArray[np.float64],
    frame_s: float,
    tempo: Tempo,
    windows: Windows,
    arrivals: Arrivals,
) -> float | None:
    """Return the beats per hour of a second watch, or None if there is none to be heard.

    The beats found are silenced; what then still repeats, with a period that is no whole
    number of half beats, is another watch.
    """
    span = windows.span
    start = (windows.start + span.lead + arrivals.shift) / span.rate_hz / frame_s
    beat = tempo.period_s / 2 / frame_s
    before, after = (
        SILENCED_BEFORE_S / frame_s,
        min(SILENCED_MOST_S / frame_s, SILENCED_SHARE * beat),
    )
    first = np.rint(start[arrivals.heard] - before).astype(np.intp)
    frames = first[:, None] + np.arange(round(before + after))
    rest = loudness.copy()
    rest[np.clip(frames, 0, rest.size - 1)] = np.median(loudness)
    try:
        other = find_tempo(rest, frame_s)
        refuse_music(rest, frame_s, other)
    except NotEnough:
        return None
    half_beats = 4 * other.period_s / tempo.period_s
    same = abs(half_beats / max(1, round(half_beats)) - 1) < SAME_MULTIPLE
    return None if same or other.sigmas < OTHER_SIGMAS else other.beats_per_hour
