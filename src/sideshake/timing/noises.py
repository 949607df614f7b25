"""The noises of a beat, unlocking, impulse and drop: where they are found, and on which beats."""

from dataclasses import dataclass

import numpy as np

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.choices import SidesExplained
from sideshake.sound.explain import SIDES_SHARE
from sideshake.sound.listener import SegmentNote
from sideshake.timing.amplitude import amplitude, page_swing
from sideshake.timing.reading import Reading
from sideshake.timing.swings import mean_time

NAMES = ("unlocking", "impulse", "drop")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """The lift interval of the page drawn: unlocking to drop, and the amplitude it means.

    `impulse_share` : where on the way the impulse begins, None where that is not surely seen
    """

    time_s: Measured
    amplitude_deg: Measured
    impulse_share: float | None


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
    explanation = note.explanation
    if explanation is None or not (explanation.sure or explanation.nearly_sure):
        raise NotEnough("it is not sure which noises are unlocking and drop")
    time_s = mean_time([page_swing(note)])
    swing = amplitude(time_s, beat_s=reading.beat_s.value, lift_angle_deg=reading.lift_angle_deg)
    return Lift(
        time_s=time_s, amplitude_deg=swing, impulse_share=impulse_share(explanation.choices[0])
    )


def page_drawn(reading: Reading) -> SegmentNote:
    """Return the note of the page that the portraits are of."""
    notes = reading.heard.notes
    return next(note for note in reversed(notes) if any(each is not None for each in note.onsets))


def impulse_share(choice: SidesExplained) -> float | None:
    """Return where on the way from unlocking to drop the impulse begins, or None.

    Tick and tock must show it at the same place, or it is taken for an echo of the case.
    """
    places = (choice.tick.share, choice.tock.share)
    if not np.isfinite(places).all() or abs(places[0] - places[1]) > SIDES_SHARE:
        return None
    return sum(places) / 2


def impulse_ms(lift: Lift) -> float | None:
    """Return where the impulse noise begins (ms after unlocking), or None if not surely seen."""
    return None if lift.impulse_share is None else 1e3 * lift.impulse_share * lift.time_s.value


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
    impulse = impulse_ms(lift)
    return Beat(
        at_s=0.0,
        side=side,
        unlock_s=unlock_s,
        impulse_s=None if impulse is None else unlock_s + impulse * 1e-3,
        drop_s=float(portrait.onsets.drop_s[0]),
    )
