"""Under which conditions a watch was heard, and what it means when they differ."""

from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.timing.positions.summary import WOUND, Position
from sideshake.wording import gettext as _
from sideshake.wording import noop

WOUND_WORDS = {"full": noop("fully wound"), "24h": noop("24 hours after full wind")}
NOT_NOTED = {
    (True, False): noop("How it lay was not noted before: rate and amplitude depend on it."),
    (False, True): noop("How it lay was not noted after: rate and amplitude depend on it."),
    (True, True): noop("How it lay was not noted either time: rate and amplitude depend on it."),
}
"""By for which of the two it was not noted: before, after."""
WIND_NOT_NOTED = {
    (True, False): noop("How far it was wound was not noted before: the amplitude depends on it."),
    (False, True): noop("How far it was wound was not noted after: the amplitude depends on it."),
    (True, True): noop(
        "How far it was wound was not noted either time: the amplitude depends on it."
    ),
}


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
        return ", ".join([*parts, *([_("chronograph running")] if self.chronograph_on else [])])

    @property
    def short(self) -> str:
        """Return how the watch lay as briefly as can be, such as "CH"."""
        running = [_("chronograph running")] if self.chronograph_on else []
        return ", ".join([self.position or _("not noted"), *running])

    @property
    def words(self) -> str:
        """Return all that was noted."""
        wound = _(WOUND_WORDS[self.wound]) if self.wound else ""
        return ", ".join(part for part in (self.place, wound) if part) or _("nothing noted")


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
        return _(NOT_NOTED[before.position is None, after.position is None])
    if before.position == after.position:
        return ""
    alike = before.position.lying == after.position.lying
    said = (
        noop(
            "Before it lay {before}; after it lay {after}: rate and amplitude differ between "
            "positions by themselves."
        )
        if alike
        else noop(
            "Before it lay {before}; after it lay {after}: a sound watch swings up to 50° less "
            "hanging than lying, and goes otherwise."
        )
    )
    return _(said).format(before=named(before.position), after=named(after.position))


def unlike_wind(before: Conditions, after: Conditions) -> str:
    """Say so if it was wound otherwise."""
    if not before.wound or not after.wound:
        return _(WIND_NOT_NOTED[not before.wound, not after.wound])
    if before.wound == after.wound:
        return ""
    return _(
        "Before it was {before}, after {after}: a sound watch swings up to 50° less at 24 hours."
    ).format(before=_(WOUND_WORDS[before.wound]), after=_(WOUND_WORDS[after.wound]))


def unlike_chronograph(before: Conditions, after: Conditions) -> str:
    """Say so if the chronograph ran for one of them only."""
    if before.chronograph_on == after.chronograph_on:
        return ""
    if before.chronograph_on:
        return _("The chronograph ran only before: it takes 10 to 40° of the amplitude by itself.")
    return _("The chronograph ran only after: it takes 10 to 40° of the amplitude by itself.")
