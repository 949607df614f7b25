"""The printed card that gives a photograph its scale: two rings of dots round a window.

Our own design. Dots, because the middle of a dot does not care how far the ink ran or how long was
exposed. Two rings of different size, because one ring alone cannot tell a lens that bends lines
from a nearer card. Three larger dots in the outer ring tell how the card lies, that it is not
mirrored, and which of the three sizes it is: no two sizes share their steps, turned or mirrored.

On the card x points right and y up, in millimetres from the middle of its window.
"""

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.core.repeats import RECTANGLE

DOTS_A_RING = 24
INNER_RING, OUTER_RING = 1.25, 1.75
DOT, LARGE_DOT = 0.07, 0.12
HALF_SIDE = 2.05
"""Radii of the rings and of the dots, and half the card's side, over the radius of its window."""
LINE_MM = 100.0
"""How long the two lines are that are measured on the print."""
MOST_OFF_MM = 6.0
"""A line that came out further off than this was not measured, or not printed as it should be."""
MOST_U_MM = 0.5
CALLIPER_U_MM = 0.03 * RECTANGLE
"""The limit of error of a calliper over 100 mm is 0.03 mm (common practice, no source)."""


class ScaleCardSize(Enum):
    """The three sizes; the value is the diameter of the window in millimetres."""

    SMALL = 10.0
    MIDDLE = 24.0
    LARGE = 50.0

    @property
    def steps(self) -> tuple[int, int, int]:
        """Return the steps from each larger dot to the next, counter-clockwise: 24 together."""
        return STEPS[self]

    @property
    def word(self) -> str:
        """Return the size in a word."""
        return self.name.lower()


STEPS = {
    ScaleCardSize.SMALL: (5, 7, 12),
    ScaleCardSize.MIDDLE: (4, 9, 11),
    ScaleCardSize.LARGE: (3, 8, 13),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """One dot of a card as drawn: where it is (mm), its radius (mm), whether it is a larger one."""

    x_mm: float
    y_mm: float
    radius_mm: float
    large: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """How long the two 100 mm lines came out, measured by calliper once for each printer.

    Parameters
    ----------
    across_mm, along_mm : the line along the card's x, and the one along its y

    Raises
    ------
    InputError : a line is further than 6 mm from 100 mm, or known to worse than 0.5 mm

    Examples
    --------
    >>> Print(across_mm=Measured(99.6, 0.02), along_mm=Measured(100.2, 0.02)).scale
    (0.996, 1.002)
    """

    across_mm: Measured
    along_mm: Measured

    def __post_init__(self) -> None:
        for line in (self.across_mm, self.along_mm):
            if abs(line.value - LINE_MM) > MOST_OFF_MM or line.u > MOST_U_MM:
                raise InputError(
                    f"a line of the card measures {line.text()} mm; it must be within "
                    f"{MOST_OFF_MM:.0f} mm of 100 mm and known to {2 * MOST_U_MM:.0f} mm: "
                    "print without fitting to the page, and measure the line with a calliper"
                )

    @property
    def scale(self) -> tuple[float, float]:
        """Return how much longer than drawn the print is, along x and along y."""
        return self.across_mm.value / LINE_MM, self.along_mm.value / LINE_MM

    @property
    def relative_u(self) -> float:
        """Return the standard uncertainty of the scale; both lines share one calliper."""
        return max(self.across_mm.u, self.along_mm.u) / LINE_MM


AS_DRAWN = Print(across_mm=Measured(LINE_MM), along_mm=Measured(LINE_MM))


def dots(size: ScaleCardSize) -> tuple[Dot, ...]:
    """Return the dots of a card: the inner ring, then the outer; each counter-clockwise from +x.

    The outer ring begins with a larger dot at 3 o'clock; the inner ring stands half a step on.

    Examples
    --------
    >>> small = dots(ScaleCardSize.SMALL)
    >>> len(small), sum(each.large for each in small), round(small[24].x_mm, 3)
    (48, 3, 8.75)
    """
    window_mm = size.value / 2
    step = 2 * math.pi / DOTS_A_RING
    large = large_places(size)
    inner = [ring_dot(window_mm, INNER_RING, (k + 0.5) * step) for k in range(DOTS_A_RING)]
    outer = [
        ring_dot(window_mm, OUTER_RING, k * step, large=k in large) for k in range(DOTS_A_RING)
    ]
    return (*inner, *outer)


def large_places(size: ScaleCardSize) -> tuple[int, int, int]:
    """Return which dots of the outer ring are the larger ones.

    Examples
    --------
    >>> large_places(ScaleCardSize.SMALL)
    (0, 5, 12)
    """
    first, second, _ = size.steps
    return 0, first, first + second


def ring_dot(window_mm: float, ring: float, angle_rad: float, *, large: bool = False) -> Dot:
    """Return one dot of a ring."""
    return Dot(
        x_mm=window_mm * ring * math.cos(angle_rad),
        y_mm=window_mm * ring * math.sin(angle_rad),
        radius_mm=window_mm * (LARGE_DOT if large else DOT),
        large=large,
    )


def places_mm(size: ScaleCardSize, printed: Print = AS_DRAWN) -> NDArray[np.float64]:
    """Return where the dots' middles lie on the print, in the order of `dots`.

    Returns
    -------
    shape (48, 2), mm from the middle of the window, x right, y up
    """
    drawn = np.array([(each.x_mm, each.y_mm) for each in dots(size)])
    return drawn * printed.scale


def dot_pitch_mm(size: ScaleCardSize) -> float:
    """Return the distance from dot to dot in the inner ring (mm)."""
    return math.pi * size.value * INNER_RING / DOTS_A_RING
