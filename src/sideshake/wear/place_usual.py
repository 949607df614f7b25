"""What is usual at each kind of place of a watch, where its sheet does not say: sizes and plays.

Pivots are from memory; endshakes are those of a training school's exam setting (secondary trade
page) or from memory, as each line says. Millimetres.
"""

from dataclasses import dataclass
from enum import StrEnum

from sideshake.wear.bearing import NormalPlay

MEMORY = "from memory"
PRACTICE = "common practice, no source"
SCHOOL = "a training school's exam setting for a movement of 37 mm"
SCHOOL_SHARE = 0.5
"""A setting is given as one figure; as much as half of it either way is taken for usual."""


class PlaceKind(StrEnum):
    """What turns at a place of a watch."""

    BARREL = "barrel"
    CENTRE = "centre"
    THIRD = "third"
    FOURTH = "fourth"
    ESCAPE = "escape"
    TRAIN = "another wheel of the train"
    PALLETS = "pallets"
    BALANCE = "balance"
    ROTOR_POST = "rotor on a post"
    ROTOR_BALLS = "rotor on balls"
    CHRONOGRAPH = "chronograph"
    CALENDAR = "calendar"
    HANDS = "motion work"
    STEM = "stem"


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualSizes:
    """Usual pivots (from, to), and the usual endshake; a play where the pivot's size is no rule."""

    pivot_mm: tuple[float, float]
    endshake: NormalPlay | None = None
    play: NormalPlay | None = None
    jewelled: bool = False


def usual_range(low_mm: float, high_mm: float, source: str) -> NormalPlay:
    """Return a usual range and where it is from."""
    return NormalPlay(low_mm=low_mm, high_mm=high_mm, source=source, confidence="low to medium")


def at_school(setting_mm: float) -> NormalPlay:
    """Return the range about an exam setting."""
    low, high = (setting_mm * (1 + way * SCHOOL_SHARE) for way in (-1, 1))
    return usual_range(round(low, 3), round(high, 3), SCHOOL)


LOOSE = usual_range(0.02, 0.05, PRACTICE)
"""Of wheels on plain posts, hands' wheels and the stem."""
K = PlaceKind
USUAL: dict[PlaceKind, UsualSizes] = {
    K.BARREL: UsualSizes(pivot_mm=(0.6, 2.0), endshake=usual_range(0.03, 0.08, MEMORY)),
    K.CENTRE: UsualSizes(pivot_mm=(0.3, 1.6), endshake=at_school(0.05)),
    K.THIRD: UsualSizes(pivot_mm=(0.12, 0.40), endshake=at_school(0.04), jewelled=True),
    K.FOURTH: UsualSizes(pivot_mm=(0.10, 0.40), endshake=at_school(0.03), jewelled=True),
    K.ESCAPE: UsualSizes(pivot_mm=(0.07, 0.20), endshake=at_school(0.02), jewelled=True),
    K.TRAIN: UsualSizes(pivot_mm=(0.08, 0.60), endshake=usual_range(0.01, 0.05, MEMORY)),
    K.PALLETS: UsualSizes(
        pivot_mm=(0.07, 0.20), endshake=usual_range(0.02, 0.03, MEMORY), jewelled=True
    ),
    K.BALANCE: UsualSizes(
        pivot_mm=(0.06, 0.18), endshake=usual_range(0.02, 0.05, MEMORY), jewelled=True
    ),
    K.ROTOR_POST: UsualSizes(pivot_mm=(0.4, 4.0), play=usual_range(0.005, 0.02, PRACTICE)),
    K.ROTOR_BALLS: UsualSizes(pivot_mm=(1.0, 8.0), play=usual_range(0.005, 0.02, PRACTICE)),
    K.CHRONOGRAPH: UsualSizes(pivot_mm=(0.08, 1.0), endshake=usual_range(0.01, 0.04, PRACTICE)),
    K.CALENDAR: UsualSizes(pivot_mm=(0.2, 5.0), play=LOOSE),
    K.HANDS: UsualSizes(pivot_mm=(0.5, 3.0), play=LOOSE),
    K.STEM: UsualSizes(pivot_mm=(0.5, 2.5), play=LOOSE),
}
