"""Hear a watch while it ticks before the microphone."""

import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Event

import numpy as np
from numpy.typing import NDArray

from sideshake.analysis.hearing import NOTHING_KNOWN, KnownForHearing, reading_of
from sideshake.command.hearing import HearingOutcome, say_failure
from sideshake.command.kept_sound import kept_sound
from sideshake.command.microphone import (
    NO_MICROPHONE,
    Device,
    Samples,
    SoundSource,
    devices,
    open_microphone,
    sound_library,
)
from sideshake.command.say import CommandAnswer, Grid
from sideshake.command.screen import Screen, screen
from sideshake.core.errors import InputError, NotEnough
from sideshake.sound.clock import SampleClock
from sideshake.sound.listener import Listener
from sideshake.sound.recording import FULL_SCALE
from sideshake.sound.stillness import Stillness
from sideshake.timing.reading import Reading

SECONDS = (5.0, 36000.0)
SHOW_EVERY_S = 0.5
REST = 3.0
"""Hearing what there is so far is left alone for three times as long as it took."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveAsked:
    """What is known of the watch to listen to, at most how long to listen, and where to keep it."""

    clock: SampleClock
    known: KnownForHearing = NOTHING_KNOWN
    seconds: float | None = None
    keep: Path | None = None

    def __post_init__(self) -> None:
        if self.seconds is not None and not SECONDS[0] <= self.seconds <= SECONDS[1]:
            raise InputError(
                f"--seconds {self.seconds:g} cannot be used: {SECONDS[0]:g} to {SECONDS[1]:g} "
                "is allowed"
            )


def read_live(device: str | None, asked: LiveAsked) -> HearingOutcome:
    """Return what is heard at the microphone."""
    with open_microphone(device, sound_library()) as source:
        return outcome_of(source, asked)


def outcome_of(source: SoundSource, asked: LiveAsked) -> HearingOutcome:
    """Return the reading of the sound, or why there is none, and where the sound was kept."""
    name = source.name if asked.keep is None else str(asked.keep)
    readings: dict[str, Reading] = {}
    failures: dict[str, InputError | NotEnough] = {}
    try:
        readings[name] = hear_live(source, asked)
    except NotEnough as why:
        failures[name] = why
        say_failure(name, why)
    written = [] if asked.keep is None else [name]
    return HearingOutcome(
        readings=readings, failures=failures, notes=source.troubles, written=written
    )


def device_list() -> CommandAnswer:
    """Return the microphones as an answer."""
    return told_devices(devices(sound_library()))


def told_devices(found: list[Device]) -> CommandAnswer:
    """Return what to say of the microphones."""
    if not found:
        return CommandAnswer(
            schema="devices", sentences=[f"N{NO_MICROPHONE[1:]}."], figures={"devices": []}
        )
    rows = [(str(each.number), each.name, str(each.rate_hz)) for each in found]
    grid = Grid(title="", columns=("number", "name", "Hz"), rows=rows, numbers=(0, 2))
    return CommandAnswer(
        schema="devices",
        sentences=["Choose one with --device and its number or a part of its name."],
        grids=[grid],
        figures={"devices": found},
    )


def hear_live(source: SoundSource, asked: LiveAsked) -> Reading:
    """Return the reading of all the sound until its end, the time asked for, or Ctrl-C.

    Raises
    ------
    InputError : the sound cannot be kept, or what was asked for does not fit what is heard
    NotEnough : no watch was heard
    """
    ear = Ear(source, asked)
    with kept_sound(asked.keep, source) as keep, stop_asked() as stop, screen() as shown:
        for arrived in source.blocks:
            block = arrived[: ear.room]
            keep(block)
            ear.take(block, shown)
            if stop.is_set() or not ear.room:
                break
    return ear.reading()


class Ear:
    """What has been heard so far, and when it was last shown."""

    def __init__(self, source: SoundSource, asked: LiveAsked) -> None:
        """Begin with nothing heard."""
        self._rate_hz, self._asked = source.rate_hz, asked
        self._listener = Listener(source.rate_hz, beats_per_hour=asked.known.per_hour)
        self._stillness = Stillness(source.rate_hz)
        self._heard = 0
        self._shown_s = self._told_s = 0.0
        self._rest_s = SHOW_EVERY_S
        self._told: Reading | NotEnough | InputError = NotEnough("a few seconds are needed first")

    @property
    def room(self) -> int:
        """Return how many more samples are wanted."""
        most_s = SECONDS[1] if self._asked.seconds is None else self._asked.seconds
        return round(most_s * self._rate_hz) - self._heard

    def take(self, block: Samples, shown: Screen) -> None:
        """Hear a block; show every half second what is heard."""
        samples = as_recorded(block)
        self._listener.feed(samples)
        self._stillness.feed(samples)
        self._heard += block.shape[0]
        heard_s = self._heard / self._rate_hz
        if shown.watched and heard_s - self._shown_s >= SHOW_EVERY_S:
            self._shown_s = heard_s
            self._tell_so_far(heard_s)
            shown.show(self._told, heard_s, self._stillness)

    def reading(self) -> Reading:
        """Return the reading of everything heard."""
        asked = self._asked
        return reading_of(self._listener.hear(), asked.known, asked.clock)

    def _tell_so_far(self, heard_s: float) -> None:
        if heard_s - self._told_s < self._rest_s:
            return
        began_s = time.perf_counter()
        try:
            self._told = self.reading()
        except (NotEnough, InputError) as why:
            self._told = why
        self._told_s = heard_s
        self._rest_s = max(SHOW_EVERY_S, REST * (time.perf_counter() - began_s))


def as_recorded(block: Samples) -> NDArray[np.float32]:
    """Return the samples as reading a recording gives them, full scale 1."""
    return block.astype(np.float32) / FULL_SCALE


@contextmanager
def stop_asked() -> Iterator[Event]:
    """Yield what Ctrl-C sets; a second Ctrl-C stops at once, without an answer."""
    asked = Event()

    def ask(_signal: int, _frame: object) -> None:
        if asked.is_set():
            raise KeyboardInterrupt
        asked.set()

    before = signal.signal(signal.SIGINT, ask)
    try:
        yield asked
    finally:
        signal.signal(signal.SIGINT, before)
