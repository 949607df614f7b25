"""The tempo of a segment, when the beats per hour are told and when they are not.

Telling the right number must change nothing: what is found without it is taken wherever it agrees.
Only where nothing is found, or where what is found may be half of what is meant because one of tick
and tock cannot be heard, is it looked for near the number told.
"""

from contextlib import suppress

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError, NotEnough
from sideshake.sound.tempo import (
    SLOWEST_PER_HOUR,
    TOLD_TOLERANCE,
    Silent,
    Tempo,
    TooSlow,
    find_tempo,
)

Floats = NDArray[np.float64]

ROUGHLY = 0.05
"""What is heard slower than a watch is not sharpened."""
LEAST_SLOW_BEATS = 8
"""Fewer beats of a clock slower than any watch are hardly ever read; experiments/told.py counts."""


class OtherBeats(InputError):  # noqa: N818 - said of the beats
    """Another beat is heard than the one told, and without the number it is read."""

    def __init__(self, heard_per_hour: float, told_per_hour: float) -> None:
        """Keep both."""
        self.heard_per_hour, self.told_per_hour = heard_per_hour, told_per_hour
        super().__init__(
            f"{heard_per_hour:.0f} beats an hour are heard, not {told_per_hour:.10g}; "
            "leave the number out to have it found"
        )


def page_tempo(
    loudness: Floats, frame_s: float, told: float | None, known_s: float | None
) -> Tempo:
    """Return the tempo of a page: as found, but near the beat known from before or told.

    Parameters
    ----------
    told : beats per hour, if told; it means nothing once a watch was heard
    known_s : the beat (s) heard before in this recording, if there was one

    Raises
    ------
    OtherBeats : something else is heard than `told`
    NotEnough : nothing is; says why
    """
    if known_s is not None:
        return known_tempo(loudness, frame_s, 3600 / known_s)
    if told is not None:
        return told_tempo(loudness, frame_s, told)
    return find_tempo(loudness, frame_s)


def known_tempo(loudness: Floats, frame_s: float, known: float) -> Tempo:
    """Return the tempo near the beats per hour known, unless another stands out further.

    Raises
    ------
    NotEnough : nothing is heard
    """
    try:
        free = find_tempo(loudness, frame_s)
    except NotEnough:
        return find_tempo(loudness, frame_s, beats_per_hour=known)
    if abs(free.beats_per_hour / known - 1) < TOLD_TOLERANCE:
        return free
    with suppress(NotEnough):
        near = find_tempo(loudness, frame_s, beats_per_hour=known)
        if near.sigmas >= free.sigmas or may_hide(free, known):
            return near
    return free


def told_tempo(loudness: Floats, frame_s: float, told: float) -> Tempo:
    """Return what is found unasked if it is the one told, else what is found near that.

    Raises
    ------
    OtherBeats : something else is heard
    NotEnough : nothing is
    """
    try:
        free = find_tempo(loudness, frame_s)
    except TooSlow as other:
        return slow_tempo(loudness, frame_s, told, other)
    except Silent:
        raise
    except NotEnough:
        return near_told(loudness, frame_s, told)
    if abs(free.beats_per_hour / told - 1) < TOLD_TOLERANCE:
        return free
    if may_hide(free, told):
        with suppress(NotEnough):
            return near_told(loudness, frame_s, told)
    raise OtherBeats(free.beats_per_hour, told)


def may_hide(free: Tempo, told: float) -> bool:
    """Return whether `told` may be right although another tempo is found.

    Twice what is found: if only one of tick and tock is heard. A part of it: below what is looked
    for unasked, where a beat with an echo is found as several.
    """
    if told < SLOWEST_PER_HOUR:
        half_beats = 2 * free.beats_per_hour / told
        return abs(half_beats / max(1, round(half_beats)) - 1) < TOLD_TOLERANCE
    twice = abs(2 * free.beats_per_hour / told - 1) < TOLD_TOLERANCE
    return twice and free.sides == 1


def slow_tempo(loudness: Floats, frame_s: float, told: float, other: TooSlow) -> Tempo:
    """Return the tempo near `told` where something slower than a watch is heard.

    Raises
    ------
    NotEnough : what is heard is not the one told
    """
    times = told / other.per_hour
    if min(abs(times - 1), abs(times / 2 - 1)) < ROUGHLY:
        return near_told(loudness, frame_s, told)
    raise NotEnough(f"about {other.per_hour:.0f} beats an hour are heard, not {told:.10g}")


def near_told(loudness: Floats, frame_s: float, told: float) -> Tempo:
    """Return the tempo near the one told.

    Raises
    ------
    NotEnough : there is none, or the sound is too short for so slow a beat, and how long is enough
    """
    least_s = LEAST_SLOW_BEATS * 3600 / told
    if told < SLOWEST_PER_HOUR and loudness.size * frame_s < least_s:
        raise NotEnough(
            f"{loudness.size * frame_s:.1f} s of sound is too short for {told:.10g} beats an hour: "
            f"{least_s:.0f} s is the least"
        )
    return find_tempo(loudness, frame_s, beats_per_hour=told)
