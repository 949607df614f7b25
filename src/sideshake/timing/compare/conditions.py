"""Under which conditions a watch was heard, and what it means when they differ."""

from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.timing.positions.summary import WOUND, Position

WOUND_WORDS = {"full": "fully wound", "24h": "24 hours after full wind"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """How the watch lay, was wound, and whether its chronograph ran; None or "" if not noted."""

    position: Position | None = None
    wound: str = ""
    chronograph_on: bool = False

    def __post_init__(self) -> None:
        if self.wound not in WOUND:
            raise InputError(f'wound is "full", "24h" or "", got {self.wound!r}')

    @property
    def place(self) -> str:
        """Return how the watch lay, with a running chronograph; "" where nothing was noted."""
        parts = [named(self.position)] if self.position else []
        return ", ".join([*parts, *(["chronograph running"] if self.chronograph_on else [])])

    @property
    def short(self) -> str:
        """Return how the watch lay as briefly as can be, such as "CH"."""
        running = ", chronograph running" if self.chronograph_on else ""
        return f"{self.position or 'not noted'}{running}"

    @property
    def words(self) -> str:
        """Return all that was noted."""
        wound = WOUND_WORDS[self.wound] if self.wound else ""
        return ", ".join(part for part in (self.place, wound) if part) or "nothing noted"


def named(position: Position) -> str:
    """Return a position with its plain words.

    Examples
    --------
    >>> named(Position.CH)
    'CH, dial up'
    """
    return f"{position}, {position.words}"


def unlike(before: Conditions, after: Conditions) -> list[str]:
    """Return a caution for each condition that differs, or was not noted.

    References
    ----------
    Lying against hanging, full wind against 24 hours, a running chronograph: trade-facts 3.5.8 to
    3.5.10 and 10.6, published by makers and in textbooks
    """
    asked = (
        unlike_positions(before, after),
        unlike_wind(before, after),
        unlike_chronograph(before, after),
    )
    return [text for text in asked if text]


def unlike_positions(before: Conditions, after: Conditions) -> str:
    """Say so if the watch lay otherwise."""
    if before.position is None or after.position is None:
        when = which(before.position, after.position)
        return f"How it lay was not noted {when}: rate and amplitude depend on it."
    if before.position == after.position:
        return ""
    lay = f"Before it lay {named(before.position)}; after it lay {named(after.position)}"
    if before.position.lying == after.position.lying:
        return f"{lay}: rate and amplitude differ between positions by themselves."
    return f"{lay}: a sound watch swings up to 50° less hanging than lying, and goes otherwise."


def which(before: object, after: object) -> str:
    """Return for which of the two nothing was noted."""
    if not before and not after:
        return "either time"
    return "after" if before else "before"


def unlike_wind(before: Conditions, after: Conditions) -> str:
    """Say so if it was wound otherwise."""
    if not before.wound or not after.wound:
        when = which(before.wound, after.wound)
        return f"How far it was wound was not noted {when}: the amplitude depends on it."
    if before.wound == after.wound:
        return ""
    return (
        f"Before it was {WOUND_WORDS[before.wound]}, after {WOUND_WORDS[after.wound]}: a sound "
        "watch swings up to 50° less at 24 hours."
    )


def unlike_chronograph(before: Conditions, after: Conditions) -> str:
    """Say so if the chronograph ran for one of them only."""
    if before.chronograph_on == after.chronograph_on:
        return ""
    when = "before" if before.chronograph_on else "after"
    return f"The chronograph ran only {when}: it takes 10 to 40° of the amplitude by itself."
