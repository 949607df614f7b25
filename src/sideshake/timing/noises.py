"""The noises of a beat, unlocking, impulse and drop: where they are found, and on which beats."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sideshake.errors import NotEnough
from sideshake.quantities import Measured
from sideshake.sound.listener import PageNote
from sideshake.sound.onset import BEFORE_S, clear_rises, steepness
from sideshake.sound.portrait import Portrait
from sideshake.timing.amplitude import amplitude, page_swing
from sideshake.timing.reading import Reading, mean_time

IMPULSE_FROM_S, IMPULSE_UNTIL_S = 0.8e-3, 0.6e-3
"""An impulse noise is looked for from this long after unlocking to this long before the drop."""
IMPULSE_AGREES_S = 0.25e-3
"""Tick and tock must show it at the same place, or it is taken for an echo of the case."""


NAMES = ("unlocking", "impulse", "drop")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """The lift interval of the page drawn: unlocking to drop, and the amplitude it means."""

    time_s: Measured
    amplitude_deg: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Beat:
    """A beat heard in the stretch: times in seconds after the recording's first sample.

    `at_s` is the moment timed, the same on each beat of a side; a noise that was not found is None.
    """

    at_s: float
    side: int
    unlock_s: float | None = None
    impulse_s: float | None = None
    drop_s: float | None = None

    @property
    def begins_s(self) -> float:
        """Return when the beat is said to come: at unlocking, where that is found."""
        return self.at_s if self.unlock_s is None else self.unlock_s

    def moved(self, by_s: float) -> "Beat":
        """Return the beat so much later."""
        later = [None if each is None else each + by_s for each in self._noises]
        return Beat(
            at_s=self.at_s + by_s,
            side=self.side,
            unlock_s=later[0],
            impulse_s=later[1],
            drop_s=later[2],
        )

    @property
    def _noises(self) -> tuple[float | None, float | None, float | None]:
        return self.unlock_s, self.impulse_s, self.drop_s

    @property
    def noises(self) -> list[tuple[str, float]]:
        """Return the noises found, named, in order of time."""
        named = zip(NAMES, self._noises, strict=True)
        return [(name, at_s) for name, at_s in named if at_s is not None]


def lift_of(reading: Reading) -> Lift:
    """Return the lift interval of the page whose portraits are drawn, the latest.

    Raises
    ------
    NotEnough : the reading or this page carries no amplitude; says why
    """
    if reading.amplitude_deg is None:
        raise NotEnough(reading.no_amplitude)
    note = page_drawn(reading)
    time_s = mean_time([page_swing(note, reading.heard.rate_hz)], reading.heard.rate_hz)
    swing = amplitude(time_s, beat_s=reading.beat_s.value, lift_angle_deg=reading.lift_angle_deg)
    return Lift(time_s=time_s, amplitude_deg=swing)


def page_drawn(reading: Reading) -> PageNote:
    """Return the note of the page that the portraits are of."""
    notes = reading.heard.notes
    return next(note for note in reversed(notes) if any(each is not None for each in note.onsets))


def impulse_ms(portraits: Sequence[Portrait | None], lift: Lift) -> float | None:
    """Return where the impulse noise begins (ms after unlocking), or None if not surely seen."""
    places = [impulse_of(each, lift) for each in portraits if each is not None]
    found = [place for place in places if place is not None]
    if len(found) < 2 or abs(found[0] - found[1]) > IMPULSE_AGREES_S:
        return None
    return 1e3 * (found[0] + found[1]) / 2


def impulse_of(portrait: Portrait, lift: Lift) -> float | None:
    """Return the strongest clear rise (s after unlocking) between unlocking and drop, if any."""
    rate_hz = 1 / portrait.step_s
    power = portrait.power.astype(np.float64)
    rise, after = steepness(power, portrait.noise, rate_hz)
    at = clear_rises(rise, after, portrait.noise, rate_hz)
    since_s = (at + round(BEFORE_S * rate_hz)) / rate_hz + portrait.start_s
    since_s = since_s - portrait.onsets.unlock_s[0]
    inside = (since_s > IMPULSE_FROM_S) & (since_s < lift.time_s.value - IMPULSE_UNTIL_S)
    if not inside.any():
        return None
    strength = (after * rise)[at[inside]]
    return float(since_s[inside][np.argmax(strength)])


def beats_of(reading: Reading, *, start_s: float) -> tuple[Beat, ...]:
    """Return the beats of a reading; `start_s` is when its first sample stood in the recording.

    The noises stand where the average tick and tock have them, and only where the reading carries
    an amplitude, for only then it is known which noise is which.
    """
    noises = [noises_of(reading, side) for side in (0, 1)]
    beats = reading.heard.beats
    return tuple(
        noises[side].moved(start_s + at_s)
        for at_s, side in zip(beats.arrival_s.tolist(), beats.side.tolist(), strict=True)
    )


def noises_of(reading: Reading, side: int) -> Beat:
    """Return a beat of one side that is timed at 0, with the noises its portrait shows."""
    portrait = reading.heard.portraits[side]
    try:
        lift = lift_of(reading)
    except NotEnough:
        lift = None
    if lift is None or portrait is None:
        return Beat(at_s=0.0, side=side)
    unlock_s = float(portrait.onsets.unlock_s[0])
    impulse = impulse_ms(reading.heard.portraits, lift)
    return Beat(
        at_s=0.0,
        side=side,
        unlock_s=unlock_s,
        impulse_s=None if impulse is None else unlock_s + impulse * 1e-3,
        drop_s=float(portrait.onsets.drop_s[0]),
    )
