"""What beats: a watch, or only something that beats evenly; then its beat is told and no more."""

from sideshake.errors import NotEnough
from sideshake.quantities import Measured
from sideshake.sound.likeness import Trait, Verdict
from sideshake.sound.listener import Heard

MOST_REASONS = 3
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


def refuse_no_watch(heard: Heard, beat_s: Measured) -> None:
    """Raise NoWatch if what was heard does not sound like a watch."""
    if heard.verdict is not Verdict.WATCH:
        raise NoWatch(per_hour(beat_s), heard.against)


def per_hour(beat_s: Measured) -> Measured:
    """Return beats per hour from the time of one beat."""
    return Measured(3600 / beat_s.value, 3600 / beat_s.value**2 * beat_s.u)


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
