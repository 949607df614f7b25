"""The scale of a wheel or pivot: millimetres for each of its own pixels."""

import math

import numpy as np

from sideshake.core.quantities import Measured
from sideshake.core.repeats import RECTANGLE
from sideshake.photo.budget import PARALLEL_RAD, tilt_u
from sideshake.photo.ellipse import Ellipse, fitted
from sideshake.photo.light import LightPhotograph
from sideshake.photo.pivot import Pivot
from sideshake.photo.refusal import require_square
from sideshake.photo.scale import Scale, Scaled, plane_shares, scaled
from sideshake.photo.wheel import CountedWheel

Place = tuple[float, float]
RIM_POINTS = 72


def wheel_scale(photo: LightPhotograph, found: CountedWheel, scale: Scale) -> Measured:
    """Return millimetres for a pixel of a wheel's radii, which are counted along its long axis.

    The circle over the tips, as it was seen, is laid on the card's plane: its mean radius there is
    what counts, and how far it is from round there is in doubt.

    Raises
    ------
    NotEnough : what gives the scale is not seen well enough, or was looked at too much askew

    References
    ----------
    GUM (JCGM 100:2008) 5.1.2
    """
    reach_px = 0.5 * found.tip_px.value
    turn = np.arange(RIM_POINTS) / RIM_POINTS * 2 * np.pi
    rim = found.oval.circle(reach_px, turn)
    middle = (found.oval.x, found.oval.y)
    by = scaled(photo, scale, middle)
    require_square(by, behind=False)
    on_plane = by.to_mm(rim)
    start = Ellipse(x=float(on_plane[:, 0].mean()), y=float(on_plane[:, 1].mean()),
                    r=float(np.ptp(on_plane[:, 0])) / 2)  # fmt: skip
    circle = fitted(on_plane, start).ellipse
    left = circle.out_of_round * RECTANGLE
    share = math.hypot(scale_u(by, middle, reach_px=reach_px), left)
    mm_a_pixel = 2 * circle.r / found.tip_px.value
    return Measured(mm_a_pixel, mm_a_pixel * share)


def pivot_scale(photo: LightPhotograph, found: Pivot, scale: Scale) -> Measured:
    """Return millimetres for a pixel across a pivot.

    Raises
    ------
    NotEnough : what gives the scale is not seen well enough, or was looked at too much askew

    References
    ----------
    GUM (JCGM 100:2008) 5.1.2. A length that leans by b, seen askew by t, is off by b tan t.
    """
    by = scaled(photo, scale, found.middle)
    require_square(by, behind=False)
    way = math.radians(found.axis_deg + 90)
    half = 0.5 * found.diameter_px.value
    ends = np.array([found.middle]) + half * np.array([[1.0], [-1.0]]) * [
        [math.cos(way), -math.sin(way)]
    ]
    first, second = by.to_mm(ends)
    mm_a_pixel = math.dist(first, second) / found.diameter_px.value
    leans = PARALLEL_RAD * math.tan(by.tilt_rad or 0.0) * RECTANGLE
    share = math.hypot(scale_u(by, found.middle, reach_px=half), leans)
    return Measured(mm_a_pixel, mm_a_pixel * share)


def scale_u(by: Scaled, at: Place, *, reach_px: float) -> float:
    """Return the relative standard uncertainty of the mean scale over a round thing at a place."""
    plane = plane_shares(by, Ellipse(x=at[0], y=at[1], r=reach_px))
    plane_u = math.sqrt(float(plane[0, 0])) / (reach_px * by.mm_a_pixel)
    return math.hypot(by.relative_u, by.height_u, plane_u, tilt_u(by.tilt_rad))
