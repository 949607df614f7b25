"""The shape of a jewel's hole, its sizes as they are said, and which of its edges goes in first."""

from enum import StrEnum


class BoreShape(StrEnum):
    """How the wall of a hole runs along the axis."""

    STRAIGHT = "straight"
    OLIVE = "olive"


SIZES = "hole × outside × thickness"
"""The order in which the three sizes are said, everywhere."""
ENTERS_FIRST = "the chamfered edge enters first"
"""On drawing, checks and bench sheet alike.

The part goes in from the inner side: so the pusher bears on the flat face, whose depth counts, and
the thickness with its tolerance does not come into it. The oil sink looks outwards.
"""


def sizes_text(hole_mm: float, outside_mm: float, thickness_mm: float) -> str:
    """Return the three sizes in their order, to a thousandth; one that is below 0 is not known.

    Examples
    --------
    >>> sizes_text(0.92, 1.5, 0.6), sizes_text(0.92, -1, -1)
    ('0.920 × 1.500 × 0.600', '0.920 × ? × ?')
    """
    return " × ".join(
        f"{each:.3f}" if each >= 0 else "?" for each in (hole_mm, outside_mm, thickness_mm)
    )
