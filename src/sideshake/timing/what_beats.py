"""What beats: a watch, or only something that beats evenly; then its beat is told and no more."""

import math

import numpy as np

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import SECONDS_PER_DAY, Measured
from sideshake.sound.likeness import HeardKind, Trait
from sideshake.sound.line import fit_line
from sideshake.sound.listener import Heard
from sideshake.timing.nominal import per_hour

MOST_REASONS = 3
LEAST_A_SIDE, APART_SIGMAS, LEAST_APART_S_PER_DAY = 15, 7.0, 2.0
LITTLE = "too little of a watch is heard in it"
REASONS = {
    Trait.SIDES: "tick and tock are one and the same sound",
    Trait.SWELLS: "tick and tock swell alike",
    Trait.CHANGE: "its beats are unlike each other, or copies of one",
    Trait.COPIES: "each beat is a copy of the last",
    Trait.JITTER: "it beats more exactly than any escapement",
    Trait.EVEN: "it beats less evenly than an escapement",
    Trait.BAND: "it is more of a tone than a tick",
    Trait.HISS: "it is hiss, not the ring of something hard",
    Trait.IN_BEAT: "one beat comes much sooner than the other",
    Trait.SILENCE: "it is never quiet between the beats",
    Trait.SHARP: "its noises last too long",
    Trait.HEARD: "many beats are missing",
    Trait.ORDER: "no unlocking and drop can be made out",
    Trait.FEW: "each beat holds too many noises",
    Trait.CLEAR: "it hardly stands out of the room",
}
SAME_REASON = {Trait.SWELLS: Trait.SIDES, Trait.CHANGE: Trait.COPIES}
"""Of two traits that say nearly the same only the plainer one is said."""


class NoWatch(NotEnough):
    """Something beats evenly and does not sound like a watch."""

    def __init__(self, per_hour: Measured, against: tuple[Trait, ...]) -> None:
        """Keep the beats an hour, and what speaks against a watch, the strongest first."""
        self.per_hour, self.against = per_hour, against
        super().__init__(
            f"something beats evenly, {per_hour.text()} times an hour, but it does not sound like "
            f"a watch: {reasons(against)}"
        )


class TwoWatches(NotEnough):
    """Two watches of the same beat are heard in turn, each of them every other time."""

    def __init__(self, per_hour: float, apart: Measured) -> None:
        """Keep the beats an hour of each, and by how much (s a day) one gains on the other."""
        self.per_hour, self.apart = per_hour, apart
        super().__init__(
            f"two watches of about {per_hour:.0f} beats an hour are heard in turn, one of which "
            f"gains {apart.text()} s a day on the other: take one away"
        )


def refuse_two_in_turn(heard: Heard) -> None:
    """Raise TwoWatches if every other beat keeps another time than those between.

    Tick and tock of one watch cannot drift apart: they are the two halves of one swing.
    """
    lines = [side_line(heard, side) for side in (0, 1)]
    if any(line is None for line in lines):
        return
    (tick_s, tick_u), (tock_s, tock_u) = lines[0] or (0.0, 0.0), lines[1] or (0.0, 0.0)
    apart = Measured(
        abs(tick_s / tock_s - 1) * SECONDS_PER_DAY,
        math.hypot(tick_u, tock_u) / tock_s * SECONDS_PER_DAY,
    )
    if apart.value > max(APART_SIGMAS * apart.u, LEAST_APART_S_PER_DAY):
        raise TwoWatches(3600 / tick_s / 2, apart)


def side_line(heard: Heard, side: int) -> tuple[float, float] | None:
    """Return one side's beat (s) by itself, and its standard uncertainty; None of few beats."""
    some = heard.beats.side == side
    count = int(np.count_nonzero(some))
    if count < LEAST_A_SIDE:
        return None
    index = heard.beats.index[some].astype(np.float64)
    line = fit_line(index, np.zeros(count, np.int8), heard.beats.arrival_s[some])
    return line.beat, line.sigma * math.sqrt(12 / count) / float(np.ptp(index))


def refuse_no_watch(heard: Heard, beat_s: Measured) -> None:
    """Raise NoWatch if what was heard does not sound like a watch."""
    if heard.verdict is not HeardKind.WATCH:
        raise NoWatch(per_hour(beat_s), heard.against)


def reasons(against: tuple[Trait, ...]) -> str:
    """Return in words what speaks against a watch.

    Examples
    --------
    >>> reasons((Trait.BAND, Trait.COPIES, Trait.CHANGE))
    'it is more of a tone than a tick, and each beat is a copy of the last'
    """
    plain = [trait for trait in against if SAME_REASON.get(trait) not in against]
    words = [REASONS[trait] for trait in plain[:MOST_REASONS]] or [LITTLE]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])}, and {words[-1]}"
