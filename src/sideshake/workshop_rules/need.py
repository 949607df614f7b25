"""Possible, advised, necessary: how much a watch asks for a piece of work."""

from collections.abc import Iterable
from enum import StrEnum


class WorkNeed(StrEnum):
    """How much the watch asks for it, the least first."""

    POSSIBLE = "possible"
    ADVISED = "advised"
    NECESSARY = "necessary"


def most_needed(needs: Iterable[WorkNeed]) -> WorkNeed:
    """Return the greatest of some needs; what nothing asks for is possible.

    Examples
    --------
    >>> most_needed([WorkNeed.ADVISED, WorkNeed.NECESSARY]).value, most_needed([]).value
    ('necessary', 'possible')
    """
    return max(needs, key=list(WorkNeed).index, default=WorkNeed.POSSIBLE)
