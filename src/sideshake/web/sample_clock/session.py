"""What is in memory of a sound clock's check: one stream of sound, judged in two ways."""

import math
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
from django.utils import timezone
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from sideshake.core.errors import InputError, NotEnough
from sideshake.sample_clock.checked import (
    SURE_S,
    ClockFound,
    How,
    clock_from_tick,
    require_reference,
    require_worth_keeping,
)
from sideshake.sample_clock.computer import SystemClock, system_clock
from sideshake.sample_clock.counted import clock_from_counts
from sideshake.sound.listener import PAGE_S, Heard, Listener
from sideshake.timing.dropouts import losses
from sideshake.web.readings.listening_session import RENEWED_S, SHARE
from sideshake.web.readings.listening_sound import BYTES, fresh_part

WARMED_UP_S = 2.0
"""What a browser had gathered before it began to send comes at once; it tells nothing of time."""
CRYSTAL_MOST_PPM = 200.0
"""No sound card's crystal is further off (from memory of the trade)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reference:
    """A tick whose beat is known, and the microphone that hears it."""

    recorder: str
    beats_per_hour: float
    within_ppm: float

    def __post_init__(self) -> None:
        require_reference(self.within_ppm)
        if not self.recorder.strip():
            raise InputError(_("the microphone needs a name"))

    def by_tick(self, heard: Heard) -> ClockFound:
        """Return the clock of the microphone, by the tick it has heard.

        Raises
        ------
        InputError, NotEnough : as `clock_from_tick`
        """
        return clock_from_tick(
            heard,
            beats_per_hour=self.beats_per_hour,
            within_ppm=self.within_ppm,
            name=self.recorder,
            date=today(),
        )


@dataclass(slots=True)
class ClockCheck:
    """A check that goes on: one stream, two ways to judge it."""

    reference: Reference
    rate_hz: int
    listener: Listener
    system: Callable[[], SystemClock] = system_clock
    """How well this computer's own clock is known."""
    lock: threading.Lock = field(default_factory=threading.Lock)
    have: int = 0
    counts: list[int] = field(default_factory=list)
    at_s: list[float] = field(default_factory=list)
    lost: int = 0
    """How often sound was lost on the way: the tick came too early."""
    found: dict[How, ClockFound] = field(default_factory=dict)
    why_not: dict[How, str] = field(default_factory=dict)
    anew_at: int = 0
    renew_at: float = 0.0
    touched_at: float = 0.0

    @property
    def heard_s(self) -> float:
        """Return how long it has listened."""
        return self.have / self.rate_hz

    def take(self, first: int, pcm: bytes, at_s: float) -> None:
        """Hear samples, the first of which is number `first`, that had come by `at_s`."""
        fresh = fresh_part(pcm, first, have=self.have)
        self.have += len(fresh) // BYTES
        self.hear(np.frombuffer(fresh, dtype="<i2"))
        self.touched_at = at_s
        if fresh and self.heard_s > WARMED_UP_S:
            self.counts.append(self.have)
            self.at_s.append(at_s)

    def hear(self, samples: NDArray[np.int16]) -> None:
        """Listen for the tick; where something else ticks, begin anew."""
        try:
            self.listener.feed(samples)
        except InputError as fault:
            self.why_not[How.TICK] = str(fault)
            self.hear_anew()

    def renew(self) -> None:
        """Judge anew by both ways, unless that was done just now."""
        begun = time.monotonic()
        if begun < self.renew_at:
            return
        for how, judge in ((How.TICK, self.by_tick), (How.COUNTS, self.by_counts)):
            try:
                self.found[how] = judge()
            except (InputError, NotEnough) as fault:
                self.why_not[how] = str(fault)
        self.renew_at = begun + max(RENEWED_S, SHARE * (time.monotonic() - begun))

    def by_tick(self) -> ClockFound:
        """Return the surest clock by the tick so far; where the tick breaks off, hear it anew."""
        try:
            heard = self.listener.hear()
        except (NotEnough, InputError):
            if self.have - self.anew_at > PAGE_S * self.rate_hz:
                self.hear_anew()
            raise
        found = self.reference.by_tick(heard)
        broken = losses(heard.beats).size
        if broken or heard.notes[-1].reason:
            self.lost += broken
            self.hear_anew()
        before = self.found.get(How.TICK, found)
        return min(
            before, found, key=lambda each: (bool(self.refusal(each)), each.clock.fast_ppm.u)
        )

    def hear_anew(self) -> None:
        """Listen for the tick as if nothing had been heard."""
        self.listener = Listener(self.rate_hz, beats_per_hour=self.reference.beats_per_hour)
        self.anew_at = self.have

    def by_counts(self) -> ClockFound:
        """Return the clock by this computer's own.

        Raises
        ------
        NotEnough : nothing keeps that clock right; too little was counted; or sound was lost
        """
        self.found.pop(How.COUNTS, None)
        system = self.system()
        if not system.kept:
            raise NotEnough(_("nothing is known to keep this computer's clock right"))
        if not self.counts:
            raise NotEnough(_("nothing was counted yet"))
        counted_s = (self.counts[-1] - self.counts[0]) / self.rate_hz
        try:
            clock = clock_from_counts(
                np.array(self.counts, np.int64),
                np.array(self.at_s),
                rate_hz=self.rate_hz,
                system_within_ppm=system.within_ppm(max(counted_s, 1.0)),
                name=self.reference.recorder,
                date=today(),
            )
        except InputError:
            raise NotEnough(lost_words()) from None
        if abs(clock.fast_ppm.value) > CRYSTAL_MOST_PPM:
            raise NotEnough(lost_words())
        return ClockFound(clock=replace(clock, how=How.COUNTS), heard_s=counted_s, within_ppm=0.0)

    def refusal(self, found: ClockFound) -> str:
        """Return why a clock that was found cannot be stored as it is; empty when it can."""
        if found.heard_s < SURE_S:
            return _(
                "At least %(least).0f s without a loss are needed; there are %(longest).0f."
            ) % {"least": SURE_S, "longest": math.floor(found.heard_s)}
        try:
            require_worth_keeping(found.clock)
        except NotEnough as fault:
            return fault.sentence
        return ""


def today() -> str:
    """Return today's date in the workshop's time zone."""
    return timezone.localdate().isoformat()


def lost_words() -> str:
    """Return why a count says nothing when it is further off than any crystal."""
    return _("no crystal is that far off: sound is lost on the way")
