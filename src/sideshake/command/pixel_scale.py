"""The scale of a photograph for wheels and pivots, as it is given on the command line."""

import math
from typing import Annotated

from cyclopts import Parameter

from sideshake.errors import InputError
from sideshake.photo.light import Photograph
from sideshake.photo.scale import POINT_PX
from sideshake.quantities import Measured
from sideshake.repeats import RECTANGLE

Place = Annotated[tuple[float, float], Parameter(negative="")]
Points = Annotated[tuple[float, float, float, float], Parameter(negative="")]

PRESSED_PX = POINT_PX * RECTANGLE
"""Standard uncertainty of a point pressed by hand."""
LEAST_APART = 20
"""How many times as far the two points of a rule must lie apart."""


def mm_per_px(
    photo: Photograph, *, um_a_pixel: str | None, points: Points | None, length_mm: str | None
) -> Measured | None:
    """Return millimetres a pixel, or none if no scale is given.

    Parameters
    ----------
    um_a_pixel : as `sideshake look hole` tells it, such as "12.10+-0.05"
    points : x y x y of two places on a rule, hundredths of width and height
    length_mm : how far apart they are

    Raises
    ------
    InputError : both scales, half of one, or points that coincide
    """
    if um_a_pixel is not None and points is None and length_mm is None:
        given = Measured.read(um_a_pixel, "µm")
        if given.value <= 0:
            raise InputError(f"--um-a-pixel must be above 0, got {um_a_pixel}")
        return Measured(given.value / 1000, given.u / 1000)
    if um_a_pixel is None and points is None and length_mm is None:
        return None
    if um_a_pixel is not None or points is None or length_mm is None:
        raise InputError("give one scale: --um-a-pixel, or --points together with --length-mm")
    return by_points(photo, points, Measured.read(length_mm, "mm"))


def by_points(photo: Photograph, points: Points, length: Measured) -> Measured:
    """Return the scale by two points on a rule.

    Raises
    ------
    InputError : they lie too near to each other, or the length is not above 0
    """
    first, second = photo.at(*points[:2]), photo.at(*points[2:])
    apart = math.dist(first, second)
    if apart < LEAST_APART * PRESSED_PX or length.value <= 0:
        raise InputError(
            f"the two points of the rule lie {apart:.0f} pixels and {length.value:g} mm apart; at "
            f"least {LEAST_APART * PRESSED_PX:.0f} pixels and more than 0 mm are needed"
        )
    share = math.hypot(math.sqrt(2) * PRESSED_PX / apart, length.u / length.value)
    return Measured(length.value / apart, length.value / apart * share)
