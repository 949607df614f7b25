"""Listening to a watch that somebody handles: only the quiet stretches between are heard.

The sound is judged in steps of a tenth of a second that lie at fixed places, so the result cannot
depend on how it was cut into blocks: a stream heard again from disk gives the same stretches.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import NotEnough
from sideshake.sound.listener import Heard, Listener, Samples, as_mono
from sideshake.sound.stillness import Stillness
from sideshake.sound.told import OtherBeats

STEP_S = 0.1
OVERLOOKED_S = 1.0
"""A shorter noise ends no stretch: the beats in it count little, as every beat that lies astray."""
SAME_STEP_S = STEP_S / 2
KEPT_STEPS = 20
"""While it rests the last two seconds are kept: it is known a little late that it was quiet."""
YOUNG_S = 6.0
"""So long a stretch may turn out to have begun too early: `Stillness` looks back 4.8 s."""
OVER_S = 0.5
"""Handling is over when nothing of it was heard for so long."""


class GateStage(StrEnum):
    """What is going on."""

    RESTING = "resting"
    """Not quiet yet, or not for long enough."""
    LISTENING = "listening"
    TOUCHED = "touched"
    """A noise goes on; a short one will be overlooked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuietStretch:
    """A stretch without handling, in samples after the first."""

    first: int
    end: int

    @property
    def length(self) -> int:
        """Return how many samples it has."""
        return self.end - self.first


class HandlingGate:
    """Waits until a watch lies still, listens, and starts afresh after it was handled.

    Parameters
    ----------
    rate_hz, beats_per_hour : as for `Listener`
    rest_s : how long it must have been quiet before it is listened to
    """

    def __init__(
        self, rate_hz: int, *, beats_per_hour: float | None = None, rest_s: float = 0.0
    ) -> None:
        """Begin with nothing heard."""
        self.rate_hz = rate_hz
        self.beats_per_hour = beats_per_hour
        self.rest_s = rest_s
        self.stage = GateStage.RESTING
        self.stillness = Stillness(rate_hz)
        self._listener = self._fresh()
        self._fault: OtherBeats | None = None
        self._over: list[QuietStretch] = []
        self._first = self._end = self._fed = 0
        self._held: list[Samples] = []
        self._noisy = 0
        self._waiting: list[Samples] = []
        self._step = round(STEP_S * rate_hz)

    def feed(self, block: NDArray[Any]) -> None:
        """Hear the next block, as `Listener.feed`."""
        self._waiting.append(as_mono(block))
        samples = np.concatenate(self._waiting)
        whole = samples.size - samples.size % self._step
        for start in range(0, whole, self._step):
            self._judge(samples[start : start + self._step])
        self._waiting = [samples[whole:].copy()]

    @property
    def heard_s(self) -> float:
        """Return how long the stretch is that is listened to; 0 while it is waited for."""
        return 0.0 if self.stage is GateStage.RESTING else (self._end - self._first) / self.rate_hz

    def hear(self) -> Heard:
        """Return what is heard in the present stretch, its times from the stretch's start.

        Raises
        ------
        NotEnough : there is none yet, or no watch is heard in it; says why
        OtherBeats : another beat is heard than the one told
        """
        if self._fault is not None:
            raise self._fault
        if self.stage is GateStage.RESTING:
            raise NotEnough("it is not quiet yet")
        return self._listener.hear()

    def longest(self) -> QuietStretch:
        """Return the longest stretch so far, the present one included; the later of two equals."""
        stretches = list(self._over)
        if self.stage is not GateStage.RESTING:
            stretches.append(QuietStretch(first=self._first, end=self._end))
        return max(
            reversed(stretches), key=lambda each: each.length, default=QuietStretch(first=0, end=0)
        )

    def _fresh(self) -> Listener:
        return Listener(self.rate_hz, beats_per_hour=self.beats_per_hour)

    def _judge(self, samples: Samples) -> None:
        """Take in one step of the sound."""
        self.stillness.feed(samples)
        self._fed += samples.size
        still_s = self.stillness.still_for_s
        if self.stage is GateStage.RESTING:
            self._held = [*self._held, samples][-KEPT_STEPS:]
            if still_s - self.rest_s > SAME_STEP_S:
                self._begin(still_s)
        elif self.stage is GateStage.LISTENING and still_s > 0:
            self._listen(samples)
            if self._handled_within(still_s):
                self.stage = GateStage.RESTING
        else:
            self._touched(samples, still_s)

    def _begin(self, still_s: float) -> None:
        """Listen from where it was quiet for long enough, which may be a little while ago."""
        self.stage, self._fault = GateStage.LISTENING, None
        self._listener = self._fresh()
        steps = min(len(self._held), max(1, int((still_s - self.rest_s) / STEP_S + 0.5)))
        self._first = self._end = self._fed - steps * self._step
        for held in self._held[len(self._held) - steps :]:
            self._listen(held)
        self._held = []

    def _handled_within(self, still_s: float) -> bool:
        """Return whether a young stretch turns out to have begun while hands were still about."""
        young = self._end - self._first < YOUNG_S * self.rate_hz
        return young and self._fed - still_s * self.rate_hz > self._first + self._step

    def _listen(self, samples: Samples) -> None:
        """Hear one step; another beat than the one told ends the stretch."""
        self._end += samples.size
        try:
            self._listener.feed(samples)
        except OtherBeats as fault:
            self._fault = fault
            self._over.append(QuietStretch(first=self._first, end=self._end))
            self.stage = GateStage.RESTING

    def _touched(self, samples: Samples, still_s: float) -> None:
        """Hold the sound back until the noise proves short or long."""
        if self.stage is GateStage.LISTENING:
            self.stage, self._noisy = GateStage.TOUCHED, 0
        self._held.append(samples)
        if still_s == 0:
            self._noisy = len(self._held)
        if self._noisy * STEP_S > OVERLOOKED_S:
            self._over.append(QuietStretch(first=self._first, end=self._end))
            self.stage = GateStage.RESTING
        elif still_s >= OVER_S:
            held, self._held = self._held, []
            self.stage = GateStage.LISTENING
            for step in held:
                if self.stage is GateStage.LISTENING:
                    self._listen(step)
