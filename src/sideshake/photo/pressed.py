"""Points pressed in a photograph: how far from a pressed middle, and which way.

A mark that rubbed (a rotor's arc on a case back) has no edge that a program could find: whoever
sees it presses it.
"""

import math
from dataclasses import dataclass

import numpy as np

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.budget import UNTOLD_TILT_U, tilt_u
from sideshake.photo.hole import PhotoView
from sideshake.photo.light import LightPhotograph
from sideshake.photo.scale import APART_U_PX, Place, Scale, Scaled, away_u, scaled
from sideshake.photo.told import CONVENTION, degrees

LEAST_PX = 10 * APART_U_PX
"""So far from the middle a direction is told to 11 degrees (95 %)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PressedMark:
    """A pressed point: its radius from the middle, None without a scale, and its direction.

    `direction_deg` is 0 to 360 from 3 o'clock, counter-clockwise, seen from the bridge.
    """

    radius_mm: Measured | None
    direction_deg: Measured


def marks_from(
    photo: LightPhotograph,
    middle: Place,
    places: tuple[Place, ...],
    *,
    scale: Scale | None,
    view: PhotoView,
) -> tuple[PressedMark, ...]:
    """Return how far from a pressed middle each pressed point lies, and which way.

    Parameters
    ----------
    middle : x and y, px
    places : likewise
    scale : what tells millimetres from pixels; without it only directions are told
    view : from which side the part is seen, and how it is turned

    Raises
    ------
    NotEnough : a point lies too near to the middle, or the scale is not seen well enough
    """
    for place in places:
        if math.dist(place, middle) < LEAST_PX:
            raise NotEnough(
                f"a point lies {math.dist(place, middle):.0f} pixels from the middle, and it must "
                f"be {LEAST_PX:.0f}, or nobody can tell which way; press further out, or "
                "photograph it from nearer"
            )
    by = scaled(photo, scale, middle) if scale is not None else None
    return tuple(mark_at(photo, place, middle, by, view) for place in places)


def mark_at(
    photo: LightPhotograph, place: Place, middle: Place, by: Scaled | None, view: PhotoView
) -> PressedMark:
    """Return one pressed point."""
    apart_px = math.dist(place, middle)
    x, y = place[0] - middle[0], middle[1] - place[1]
    radius, right_rad, askew_u = None, 0.0, UNTOLD_TILT_U
    if by is not None:
        there, here = by.to_mm(np.array([place, middle]))
        x, y = (there - here).tolist()
        share = math.hypot(length_u(by, apart_px), onwards_u(photo, by, place, middle))
        radius = Measured(math.hypot(x, y), math.hypot(x, y) * share)
        right_rad, askew_u = by.right_rad(middle), tilt_u(by.tilt_rad)
    picture_deg = math.degrees(math.atan2(y, x) - right_rad)
    u_deg = math.degrees(math.hypot(APART_U_PX / apart_px, askew_u))
    return PressedMark(
        radius_mm=radius, direction_deg=Measured(view.towards_deg(picture_deg), u_deg)
    )


def length_u(by: Scaled, apart_px: float) -> float:
    """Return the relative standard uncertainty of a length between two pressed points.

    A length in one direction is shortened by up to twice what the mean of all directions is.
    """
    return math.hypot(APART_U_PX / apart_px, by.relative_u, by.height_u, 2 * tilt_u(by.tilt_rad))


def onwards_u(photo: LightPhotograph, by: Scaled, place: Place, middle: Place) -> float:
    """Return the relative doubt of a length since the scale, known at the middle, changes onwards.

    On the way to the place it is, to first order, that halfway; the card's plane tells it.
    """
    if by.plane is not None:
        return 0.0
    halfway = ((place[0] + middle[0]) / 2, (place[1] + middle[1]) / 2)
    return away_u(photo, halfway, middle)


def mark_sentences(marks: tuple[PressedMark, ...]) -> list[str]:
    """Return where the points lie, in sentences; the first says how directions are counted."""
    return [
        mark_sentence(number, mark) + (f" ({CONVENTION})." if number == 1 else ".")
        for number, mark in enumerate(marks, start=1)
    ]


def mark_sentence(number: int, mark: PressedMark) -> str:
    """Return where a point lies, without its full stop."""
    if mark.radius_mm is None:
        return f"Point {number} lies at {degrees(mark.direction_deg)} seen from the middle"
    return (
        f"Point {number} lies {mark.radius_mm.text()} mm from the middle at "
        f"{degrees(mark.direction_deg)}"
    )
