"""Trying a microphone: is it loud enough, is it the right one, and what does it hear?

The sound is judged as it comes, by the same ear as at a visit; nothing of it is kept.
"""

import time
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from django.utils.translation import gettext_lazy
from numpy.typing import NDArray

from sideshake.sample_clock.kept import known_clock
from sideshake.sound.handling_gate import HandlingGate
from sideshake.sound.listener import CLIPPED_AT
from sideshake.sound.recording import FULL_SCALE
from sideshake.web.base.underway import Underway
from sideshake.web.readings.listening_session import Session
from sideshake.web.readings.listening_sound import QUIET_DB, fresh_part

WANTED_S = 30.0
"""So long a watch is heard without handling; then the reading stands."""
MOST_S = 75.0
"""Longer nobody is kept waiting for a reading that does not come."""
PIECE_S = 0.5
"""A watch of 14 400 beats an hour or more ticks twice in it."""
SILENT_DB = -85.0
"""A microphone that is off gives less than the last of 16 bits, -90 dB."""
LOUD_SHARE = 0.1
"""A knock now and then may touch full scale; a tenth of all pieces is no knock (assumed)."""


class MicrophoneLoudness(StrEnum):
    """How loud a microphone is."""

    SILENT = "silent"
    QUIET = "quiet"
    LOUD = "loud"
    GOOD = "good"


@dataclass(slots=True)
class Trial:
    """A microphone that is being tried."""

    session: Session
    touched_at: float
    peaks: list[float] = field(default_factory=list)
    """The loudest sample of each whole half second; full scale is 1."""
    rest: NDArray[np.int16] = field(default_factory=lambda: np.empty(0, np.int16))

    def take(self, first: int, pcm: bytes) -> None:
        """Hear samples, the first of which is number `first`."""
        fresh = fresh_part(pcm, first, have=self.session.have)
        self.touched_at = time.monotonic()
        if fresh and not self.over:
            self.measure(np.frombuffer(fresh, "<i2"))
            self.session.feed(fresh)
        self.session.renew()

    def measure(self, samples: NDArray[np.int16]) -> None:
        """Note how loud each half second is."""
        length = round(PIECE_S * self.session.attention.rate_hz)
        waiting = np.concatenate([self.rest, samples])
        whole = waiting.size // length * length
        pieces = np.abs(waiting[:whole].astype(np.float64)).reshape(-1, length)
        self.peaks += (pieces.max(axis=1) / FULL_SCALE).tolist()
        self.rest = waiting[whole:]

    @property
    def level_db(self) -> float | None:
        """Return how loud the ticks are: the median of the half seconds' loudest samples."""
        if not self.peaks:
            return None
        return float(20 * np.log10(max(float(np.median(self.peaks)), 1e-6)))

    @property
    def loudness(self) -> MicrophoneLoudness | None:
        """Return how loud it is; None before the first half second."""
        level_db = self.level_db
        if level_db is None:
            return None
        if level_db < SILENT_DB:
            return MicrophoneLoudness.SILENT
        if np.mean(np.array(self.peaks) >= CLIPPED_AT) > LOUD_SHARE:
            return MicrophoneLoudness.LOUD
        return MicrophoneLoudness.QUIET if level_db < QUIET_DB else MicrophoneLoudness.GOOD

    @property
    def over(self) -> bool:
        """Return whether it has heard enough, or nothing for so long that it gives up."""
        session = self.session
        heard = session.reading is not None and session.attention.heard_s >= WANTED_S
        return heard or session.have >= MOST_S * session.attention.rate_hz


TRIALS: Underway[Trial] = Underway(gone=gettext_lazy("this trial is over; begin a new one"))


def begin(recorder: str, rate_hz: int) -> str:
    """Return the key of a trial that has begun.

    Raises
    ------
    InputError : a sample rate that cannot be heard with
    """
    session = Session(attention=HandlingGate(rate_hz, rest_s=0.0), clock=known_clock(recorder))
    return TRIALS.begin(Trial(session, touched_at=time.monotonic()))


def take_in(key: str, first: int, pcm: bytes) -> Trial:
    """Return a trial after hearing further samples.

    Raises
    ------
    InputError : there is none of that key any more
    Missing : there is a gap before `first`
    """
    trial = TRIALS.at(key)
    with trial.session.lock:
        trial.take(first, pcm)
    return trial
