"""The scale of a photograph for wheels and pivots, as it is given on the command line."""

from typing import Annotated

from cyclopts import Parameter

from sideshake.errors import InputError
from sideshake.photo.light import Photograph
from sideshake.photo.scale import ByPoints, scaled_by_points
from sideshake.quantities import Measured

Place = Annotated[tuple[float, float], Parameter(negative="")]
Points = Annotated[tuple[float, float, float, float], Parameter(negative="")]


def mm_per_px(
    photo: Photograph,
    at: tuple[float, float],
    *,
    um_a_pixel: str | None,
    points: Points | None,
    length_mm: str | None,
) -> Measured | None:
    """Return millimetres a pixel, or none if no scale is given.

    Parameters
    ----------
    at : where something is to be measured, px
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
    by = points_on_rule(photo, points, length_mm)
    scale = scaled_by_points(photo, by, at)
    return Measured(scale.mm_a_pixel, scale.mm_a_pixel * scale.relative_u)


def points_on_rule(photo: Photograph, points: Points, length_mm: str) -> ByPoints:
    """Return two places on a rule, in hundredths of width and height, as a scale.

    Raises
    ------
    InputError : they lie too near to each other, or the length is not above 0
    """
    return ByPoints(
        first_px=photo.at(*points[:2]),
        second_px=photo.at(*points[2:]),
        length_mm=Measured.read(length_mm, "mm"),
    )
