"""Before and after: which readings or rounds of a watch belong beside each other."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from sideshake.core.errors import NotEnough
from sideshake.timing.compare.compared import Comparison, compare
from sideshake.timing.compare.reading_figures import ReadingFigures


@dataclass(frozen=True, slots=True, kw_only=True)
class ToCompare:
    """A reading, or the readings of a round, that may be compared as one.

    `taken` : when the last of them was taken; any number that rises with time
    `after` : whether that was after the work
    """

    readings: tuple[ReadingFigures, ...]
    taken: int
    after: bool
    whole_round: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PairCompared:
    """Two of them, and what has changed from one to the other."""

    before: ToCompare
    after: ToCompare
    compared: Comparison


def usual_pair(found: Sequence[ToCompare]) -> PairCompared | None:
    """Return the last after the work and the last heard alike before that, as the watch came.

    Rounds come first; a single reading is like another in the same position, wind and chronograph.

    Parameters
    ----------
    found : in order of time

    Returns
    -------
    None where no two were heard alike with a figure in common
    """
    for whole in (True, False):
        after = [each for each in found if each.after and each.whole_round == whole]
        before = [each for each in found if not each.after and each.whole_round == whole]
        for last, first in product(reversed(after), reversed(before)):
            if first.taken < last.taken and alike(first, last):
                pair = compared_pair(first, last)
                if pair is not None:
                    return pair
    return None


def alike(before: ToCompare, after: ToCompare) -> bool:
    """Return whether two were heard in the same wind, and at one place at least in the same way."""
    return not {each.conditions for each in before.readings}.isdisjoint(
        each.conditions for each in after.readings
    )


def compared_pair(before: ToCompare, after: ToCompare) -> PairCompared | None:
    """Return two compared; None when they have no figure in common."""
    try:
        compared = compare(before.readings, after.readings)
    except NotEnough:
        return None
    return PairCompared(before=before, after=after, compared=compared)
