"""The listener: the one way sound is analysed, block by block, in memory that does not grow.

Blocks of any length go in; inside, the sound is cut into segments, pages of 30 s at fixed places,
so the result cannot depend on how it was cut into blocks. What is kept for good is some 20 bytes a
beat (6 MB for ten hours of a fast watch).
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError, NotEnough
from sideshake.sound.beats import Beats
from sideshake.sound.choices import Explanation
from sideshake.sound.likeness import HeardKind, Likeness, Trait, against, judged
from sideshake.sound.segment import Segment, hear_segment
from sideshake.sound.template import Onsets, Template
from sideshake.sound.twin import Twin

RATES_HZ = (16000.0, 192000.0)
TOLD_PER_HOUR = (600.0, 72000.0)
PAGE_S = 30.0
MARGIN_S = 0.5
CLIPPED_AT = 0.999
MOST_LEVEL = 1e7
"""Floating samples may be scaled like 24-bit ones; beyond that a file is damaged."""


Samples = NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True)
class SegmentNote:
    """What stays of a page: its place, how many beats it held, its onsets, or why it holds none.

    `explanation` : what the noises of tick and tock may be
    `loud_offset_s` : how much later after its moment tock is loud than tick.
    `likeness` : how like a watch it sounds.
    """

    start_s: float
    end_s: float
    heard: int = 0
    expected: int = 0
    clearness_db: float = float("nan")
    onsets: tuple[Onsets | None, Onsets | None] = (None, None)
    explanation: Explanation | None = None
    loud_offset_s: float | None = None
    likeness: Likeness | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListenerState:
    """What has been heard so far; adding a page gives a new state."""

    beats: tuple[Beats, ...] = ()
    notes: tuple[SegmentNote, ...] = ()
    page: Segment | None = None
    other_beats_per_hour: float | None = None
    twin: Twin | None = None

    def with_page(self, page: Segment, after_s: float, until_s: float) -> "ListenerState":
        """Return the story with the beats of the page that arrive later than `after_s`."""
        beats = page.beats.between(after_s, until_s)
        sides = page.portraits.sides
        clear = [each.clearness_db for each in sides if each is not None]
        note = SegmentNote(
            start_s=after_s,
            end_s=until_s,
            heard=beats.count,
            expected=page.expected,
            clearness_db=max(clear, default=float("nan")),
            onsets=(onsets_of(sides[0]), onsets_of(sides[1])),
            explanation=page.portraits.explanation,
            loud_offset_s=page.loud_offset_s,
            likeness=page.likeness,
        )
        return replace(
            self,
            beats=(*self.beats, beats),
            notes=(*self.notes, note),
            page=page,
            other_beats_per_hour=self.other_beats_per_hour or page.other_beats_per_hour,
            twin=self.twin or page.twin,
        )

    def with_silence(self, after_s: float, until_s: float, reason: str) -> "ListenerState":
        """Return the story with a page in which no watch was heard."""
        note = SegmentNote(start_s=after_s, end_s=until_s, reason=reason)
        return replace(self, notes=(*self.notes, note))


def onsets_of(portrait: Template | None) -> Onsets | None:
    """Return the portrait's onsets, if there is a portrait."""
    return None if portrait is None else portrait.onsets


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """Everything heard in a recording so far.

    `beats_per_hour` and `sides` are those found on the latest page with a watch; `portraits` are
    that page's; `clipped_share` is the share of samples at full scale.
    """

    rate_hz: int
    duration_s: float
    beats: Beats
    notes: tuple[SegmentNote, ...]
    portraits: tuple[Template | None, Template | None]
    beats_per_hour: float
    sides: int
    told: bool
    clipped_share: float
    other_beats_per_hour: float | None
    twin: Twin | None = None

    @property
    def verdict(self) -> HeardKind:
        """Return whether all of it sounds like a watch, or only beats evenly."""
        return judged(self.likenesses)

    @property
    def against(self) -> tuple[Trait, ...]:
        """Return what speaks against a watch, the strongest first."""
        return against(self.likenesses)

    @property
    def likenesses(self) -> list[Likeness]:
        """Return how like a watch each page sounds."""
        return [note.likeness for note in self.notes if note.likeness is not None]


class Listener:
    """Hears a watch in a stream of samples.

    Parameters
    ----------
    rate_hz : samples per second, 16 000 to 192 000
    beats_per_hour : what the watch should have, when known; otherwise it is found (5000 to 43 200)

    Raises
    ------
    InputError : either is outside its range

    Examples
    --------
    >>> from sideshake.sound.simulate import SimulatedWatch, simulate
    >>> listener = Listener(48000)
    >>> listener.feed(simulate(SimulatedWatch(beats_per_hour=18000), duration_s=10).samples)
    >>> listener.hear().beats.count
    50
    """

    def __init__(self, rate_hz: int, *, beats_per_hour: float | None = None) -> None:
        """Begin with nothing heard."""
        require_within("a sample rate", rate_hz, RATES_HZ, "Hz")
        if beats_per_hour is not None:
            require_within("the beats of", beats_per_hour, TOLD_PER_HOUR, "an hour")
        self.rate_hz = int(rate_hz)
        self.beats_per_hour = beats_per_hour
        self._story = ListenerState()
        self._blocks: list[Samples] = []
        self._fed = 0
        self._clipped = 0

    def feed(self, block: NDArray[Any]) -> None:
        """Hear the next block, shape (n,) or (n, channels); channels are averaged.

        Whole-number samples are scaled by their type's range, floating ones are full scale at 1.

        Raises
        ------
        InputError : the block has another shape or holds values that are not finite
        """
        samples = as_mono(block)
        if samples.size and max(samples.max(), -samples.min()) >= CLIPPED_AT:
            self._clipped += int(np.count_nonzero(np.abs(samples) >= CLIPPED_AT))
        while samples.size:
            room = self._page_closes_at - self._fed
            self._blocks.append(samples[:room])
            self._fed += min(room, samples.size)
            samples = samples[room:]
            if self._fed == self._page_closes_at:
                self._close_page()

    def hear(self) -> Heard:
        """Return everything heard so far; more may be fed afterwards.

        Raises
        ------
        NotEnough : no watch is heard; says why
        """
        story = self._told_to_the_end()
        if story.page is None:
            reasons = [note.reason for note in story.notes if note.reason]
            raise NotEnough(reasons[-1] if reasons else "there is no sound")
        return Heard(
            rate_hz=self.rate_hz,
            duration_s=self._fed / self.rate_hz,
            beats=Beats.join(story.beats),
            notes=story.notes,
            portraits=story.page.portraits.sides,
            beats_per_hour=story.page.tempo.beats_per_hour,
            sides=story.page.tempo.sides,
            told=self.beats_per_hour is not None,
            clipped_share=self._clipped / self._fed,
            other_beats_per_hour=story.other_beats_per_hour,
            twin=story.twin,
        )

    @property
    def _told_s(self) -> float:
        return self._story.notes[-1].end_s if self._story.notes else 0.0

    @property
    def _page_closes_at(self) -> int:
        return round((self._told_s + PAGE_S + MARGIN_S) * self.rate_hz)

    def _close_page(self) -> None:
        until_s = self._told_s + PAGE_S
        samples = np.concatenate(self._blocks)
        self._story = self._next(samples, until_s)
        keep = min(samples.size, round((PAGE_S + MARGIN_S) * self.rate_hz))
        self._blocks = [samples[samples.size - keep :].copy()]

    def _told_to_the_end(self) -> ListenerState:
        if self._fed <= round(self._told_s * self.rate_hz):
            return self._story
        return self._next(np.concatenate(self._blocks), self._fed / self.rate_hz)

    def _next(self, samples: Samples, until_s: float) -> ListenerState:
        """Return the story with the samples, the newest ones there are, heard up to `until_s`."""
        most = round((PAGE_S + 2 * MARGIN_S) * self.rate_hz)
        samples = samples[-most:]
        try:
            page = hear_segment(
                samples,
                self.rate_hz,
                start_s=(self._fed - samples.size) / self.rate_hz,
                beats_per_hour=self.beats_per_hour,
                before=self._story.page,
            )
        except NotEnough as reason:
            return self._story.with_silence(self._told_s, until_s, str(reason))
        return self._story.with_page(page, self._told_s, until_s)


def as_mono(block: NDArray[Any]) -> Samples:
    """Return the block as one channel of float32 samples, full scale 1."""
    block = np.asarray(block)
    if block.ndim not in (1, 2) or not np.issubdtype(block.dtype, np.number):
        raise InputError(f"a block is samples or (samples, channels), got shape {block.shape}")
    if block.ndim == 2:
        block = block[:, 0] if block.shape[1] == 1 else block
    with np.errstate(over="ignore"):  # what is too large becomes infinite, and is told below
        samples = block.astype(np.float32)
    if np.issubdtype(block.dtype, np.integer):
        samples /= np.float32(np.iinfo(block.dtype).max)
    if samples.ndim == 2:
        with np.errstate(over="ignore", invalid="ignore"):
            samples = samples.mean(axis=1)
    if samples.size and not max(-samples.min(), samples.max()) <= MOST_LEVEL:
        raise InputError(
            "the sound holds values that are not numbers (NaN or infinite) or far too large; "
            "save the recording anew with 16 or 24 bits"
        )
    return samples


def require_within(what: str, value: float, allowed: tuple[float, float], unit: str) -> None:
    """Raise InputError unless the value lies in the allowed range."""
    if not allowed[0] <= value <= allowed[1]:
        raise InputError(
            f"{what} {value:.10g} {unit} cannot be used: {allowed[0]:.10g} to {allowed[1]:.10g} "
            "is allowed"
        )
