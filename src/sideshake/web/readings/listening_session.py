"""What is in memory of a live reading. It can be made anew from the disk at any time."""

import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from sideshake.analysis.hearing import NOTHING_KNOWN, KnownForHearing, reading_of
from sideshake.core.errors import InputError, NotEnough
from sideshake.sound.clock import SampleClock
from sideshake.sound.handling_gate import HandlingGate
from sideshake.sound.recording import FULL_SCALE
from sideshake.timing import reading as timed
from sideshake.timing.stopping_rule import StoppingRule, enough
from sideshake.web.models import Reading, Round
from sideshake.web.readings.hearing import clock_of, known_for, why_not
from sideshake.web.readings.listening_sound import BYTES, live_file, pieces, samples_in

MOST_PATIENCE_S = 0.5
RENEWED_S = 0.35
"""Figures are not made anew more often than this."""
SHARE = 3.0
"""Hearing one watch takes at most a third of the time, so that several can be heard."""


@dataclass(slots=True)
class Session:
    """A live reading: what is heard of it, and how it is read."""

    attention: HandlingGate
    clock: SampleClock
    wanted: StoppingRule | None = None
    known: KnownForHearing = NOTHING_KNOWN
    lock: threading.Lock = field(default_factory=threading.Lock)
    have: int = 0
    reading: timed.Reading | None = None
    reason: str = ""
    renew_at: float = field(default_factory=time.monotonic)
    fresh: bool = False
    """Whether the figures were made anew for the answer that is given now."""

    def feed(self, pcm: bytes) -> None:
        """Hear further samples."""
        # scaled as the file is when it is read again: the figures agree to the last digit
        self.attention.feed(np.frombuffer(pcm, dtype="<i2").astype(np.float32) / FULL_SCALE)
        self.have += len(pcm) // BYTES

    def renew(self) -> None:
        """Make the figures anew, unless that was done just now or another watch is being heard."""
        overdue_s = time.monotonic() - self.renew_at
        patience_s = min(MOST_PATIENCE_S, overdue_s)
        self.fresh = overdue_s >= 0 and ONE_AT_A_TIME.acquire(timeout=patience_s)
        if not self.fresh:
            return
        try:
            self.hear()
        finally:
            ONE_AT_A_TIME.release()

    def hear(self) -> None:
        """Make the figures anew."""
        begun = time.monotonic()
        try:
            self.reading = reading_of(self.attention.hear(), self.known, self.clock)
            self.reason = ""
        except (InputError, NotEnough) as fault:
            self.reading, self.reason = None, why_not(fault)
        self.renew_at = begun + max(RENEWED_S, SHARE * (time.monotonic() - begun))

    @property
    def enough(self) -> str:
        """Return why it may stop; empty while it should go on."""
        if self.wanted is None or self.reading is None:
            return ""
        return enough(self.reading, self.wanted, self.attention.heard_s)


ONE_AT_A_TIME = threading.Lock()
"""Two hearings at once would only hinder each other; who has waited longest has most patience."""
SESSIONS: dict[int, Session] = {}
MAKING = threading.Lock()


def session_of(reading: Reading) -> Session:
    """Return what is in memory of a live reading; heard anew from the disk when it is not there.

    Raises
    ------
    InputError : the reading is not live any more
    """
    path, rate_hz = live_file(reading)
    with MAKING:
        session = SESSIONS.get(reading.pk)
        if session is None or session.have > samples_in(path):
            session = SESSIONS[reading.pk] = heard_again(reading, path, rate_hz)
    return session


def heard_again(reading: Reading, path: Path, rate_hz: int) -> Session:
    """Return a session that has heard all that is on the disk."""
    known, round_ = known_for(reading), reading.round
    rest_s = float(round_.rest_s) if round_ else 0.0
    session = Session(
        attention=HandlingGate(rate_hz, beats_per_hour=known.per_hour, rest_s=rest_s),
        clock=clock_of(reading),
        wanted=wanted_in(round_) if round_ else None,
        known=known,
    )
    for pcm in pieces(path):
        session.feed(pcm)
    return session


def wanted_in(round_: Round) -> StoppingRule:
    """Return when a position of a round may stop."""
    return StoppingRule(
        rate_s_per_day=round_.wanted_rate_s_per_day,
        amplitude_deg=round_.wanted_amplitude_deg,
        least_s=float(round_.least_s),
        most_s=float(round_.most_s),
    )
