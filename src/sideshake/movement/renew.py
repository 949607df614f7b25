"""Sheets and measurements written when +- meant one standard deviation, carried over to today."""

import re
from decimal import Decimal

from sideshake.core.errors import InputError

MARK = "# In this file +- is the half-width of the 95 % interval."
_STANDARD = re.compile(
    r"(?P<before>[\"']\s*[-+]?[\d.]+\s*(?:\+-|\+/-|±)\s*)(?P<u>\d+\.?\d*|\.\d+)(?P<end>\s*[\"'])"
)
"""A quoted text that holds a number with its +- and nothing else."""


def doubled(text: str) -> str:
    """Return the text with every +- doubled: one standard deviation becomes the 95 % interval.

    What says of itself what it is ("0.92+-0.01 standard") stays.

    Examples
    --------
    >>> doubled('hole_mm = "0.925+-0.003"'), doubled('hole_mm = "0.925+-0.003 standard"')
    ('hole_mm = "0.925+-0.006"', 'hole_mm = "0.925+-0.003 standard"')
    """
    return _STANDARD.sub(
        lambda found: f"{found['before']}{2 * Decimal(found['u'])}{found['end']}", text
    )


def renewed(text: str) -> str:
    """Return an old sheet's text in today's meaning, marked so that it is not done twice.

    Raises
    ------
    InputError : it carries the mark already
    """
    if MARK in text:
        raise InputError("this file says already that its +- is the 95 % interval")
    return f"{MARK}\n{doubled(text)}"
