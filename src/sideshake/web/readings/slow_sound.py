"""A stretch of a recording, to be heard slowly: its sound, and the beats heard in it."""

import io
import math
from dataclasses import dataclass, replace

import numpy as np
import soundfile
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from sideshake.analysis.hearing import reading_of
from sideshake.core.errors import InputError, NotEnough
from sideshake.drawings.slow_sound import Scene, scene_of
from sideshake.sound.listener import Listener, as_mono
from sideshake.sound.recording import open_recording
from sideshake.sound.slow import SLOWER, loudness, slowed
from sideshake.timing.noises import Beat, beats_of
from sideshake.web.models import Reading
from sideshake.web.readings.heard_rows import HEARD
from sideshake.web.readings.hearing import file_of, known_for

LENGTHS_S = (1.0, 2.0, 4.0)
AROUND_S = 10.0
"""So much round the stretch is heard to find its beats; the rest of the recording is not read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlowStretch:
    """Which stretch is asked for, and how many times slower it is to be played."""

    reading: Reading
    start_s: float
    length_s: float
    times: int

    def __post_init__(self) -> None:
        if self.reading.recording is None:
            raise InputError(_("this reading has no recording"))
        if self.times not in SLOWER:
            raise InputError(_("a stretch is played 1, 2, 4 or 8 times slower"))
        if self.length_s not in LENGTHS_S:
            raise InputError(_("a stretch is 1, 2 or 4 seconds long"))
        if not 0 <= self.start_s < self.whole_s:
            raise InputError(
                _("a stretch begins within the recording, from 0 to %(end).1f s")
                % {"end": self.whole_s}
            )

    @property
    def whole_s(self) -> float:
        """Return how long the whole recording is."""
        return 0.0 if self.reading.recording is None else self.reading.recording.duration_s

    @property
    def end_s(self) -> float:
        """Return where the stretch ends."""
        return min(self.start_s + self.length_s, self.whole_s)

    @property
    def before_s(self) -> float | None:
        """Return where the stretch before begins; None at the beginning."""
        return max(0.0, self.start_s - self.length_s) if self.start_s > 0 else None

    @property
    def next_s(self) -> float | None:
        """Return where the next stretch begins; None at the end."""
        after_s = self.start_s + self.length_s
        return after_s if after_s < self.whole_s else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """The beats heard round a stretch, or why there are none."""

    beats: tuple[Beat, ...]
    reason: str = ""


def samples_between(
    reading: Reading, start_s: float, end_s: float
) -> tuple[NDArray[np.float32], int]:
    """Return the sound from one time to another as one channel, and its rate; nothing else is read.

    Raises
    ------
    InputError : there is no recording, or it cannot be read there
    """
    if reading.recording is None:
        raise InputError(_("this reading has no recording"))
    with open_recording(file_of(reading.recording)) as sound:
        return as_mono(sound.stretch(start_s, end_s)), sound.rate_hz


def slow_wav(stretch: SlowStretch) -> bytes:
    """Return the stretch as a WAV file that plays so many times slower."""
    samples, rate_hz = samples_between(stretch.reading, stretch.start_s, stretch.end_s)
    played = slowed(samples, rate_hz, times=stretch.times)
    written = io.BytesIO()
    soundfile.write(written, played.samples, played.rate_hz, format="WAV", subtype="PCM_16")
    return written.getvalue()


def scene(stretch: SlowStretch) -> tuple[Scene, str]:
    """Return the picture of the stretch laid out, and why no beat is marked ("" if some are)."""
    samples, rate_hz = samples_between(stretch.reading, stretch.start_s, stretch.end_s)
    marked = beats_round(stretch)
    course = loudness(samples, rate_hz)
    drawn = scene_of(course, marked.beats, start_s=stretch.start_s, end_s=stretch.end_s)
    return drawn, marked.reason


def beats_round(stretch: SlowStretch) -> Marked:
    """Return the beats heard in some seconds round the stretch, by the recording's own clock."""
    reading = stretch.reading
    start_s, end_s = round_about(stretch)
    samples, rate_hz = samples_between(reading, start_s, end_s)
    heard_before = reading.said_watch or reading.state == HEARD
    known = replace(known_for(reading), said_watch=heard_before)
    try:
        listener = Listener(rate_hz, beats_per_hour=known.per_hour)
        listener.feed(samples)
        found = reading_of(listener.hear(), known)
    except (InputError, NotEnough) as why:
        return Marked(beats=(), reason=str(why))
    return Marked(beats=beats_of(found, start_s=start_s))


def round_about(stretch: SlowStretch) -> tuple[float, float]:
    """Return from when to when is heard: some 10 s round the stretch, within the recording.

    It begins a whole number of double beats after the recording's beginning, where the beat is
    known, so that a tick stays a tick from stretch to stretch.
    """
    start_s = max(0.0, stretch.start_s - (AROUND_S - stretch.length_s) / 2)
    per_hour = stretch.reading.beats_per_hour
    if per_hour:
        rate = (stretch.reading.rate_s_per_day or 0.0) / 86400
        double_s = 7200 / per_hour / (1 + rate)
        start_s = math.floor(start_s / double_s) * double_s
    return start_s, min(stretch.whole_s, start_s + AROUND_S + 1.0)
