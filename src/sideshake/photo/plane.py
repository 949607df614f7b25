"""The plane of the card: from pixels to millimetres, through perspective and a bending lens.

Pixels = bend(H (X, Y, 1)): a homography, and one term of radial distortion about the middle of the
picture, which is always fitted: 2 % of it would else cost 7 um unseen.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from sideshake.core.errors import NotEnough
from sideshake.photo.spread import IN_THE_PLANE

Values = NDArray[np.float64]

UNBENDING = 12
OUTLIER = 4.5
"""Dots further off than this many standard deviations of the middle half are left out."""
LEAST_DOTS = 24
MOST_OFF = 0.03
"""A card whose dots lie off by more than this share of the distance of two dots is not flat."""
NOT_FLAT = "the card is not flat: its dots lie off their places; weigh it down, or glue it on"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """How millimetres on the card come to lie in the picture.

    Parameters
    ----------
    numbers : shape (9,), the homography row by row without its last 1, scaled to half the
        picture's diagonal, and the bending
    covariance : shape (9, 9)
    middle : of the picture, px
    half_px : half the picture's diagonal
    unit_mm : what millimetres are divided by first
    scatter_px : how far dots lie off their places
    dots : how many were used
    """

    numbers: Values
    covariance: Values
    middle: tuple[float, float]
    half_px: float
    unit_mm: float
    scatter_px: float
    dots: int

    @property
    def bending(self) -> float:
        """Return by which share a point at the picture's corner is moved outwards."""
        return float(self.numbers[8])

    def to_px(self, places_mm: Values) -> Values:
        """Return where places on the card lie in the picture, shape (n, 2)."""
        return imaged(self.numbers, places_mm / self.unit_mm) * self.half_px + self.middle

    def to_mm(self, places_px: Values, numbers: Values | None = None) -> Values:
        """Return where places in the picture lie on the card, shape (n, 2).

        `numbers` other than its own tell what a slightly different plane would say.
        """
        chosen = self.numbers if numbers is None else numbers
        bent = (places_px - self.middle) / self.half_px
        straight = bent.copy()
        for _ in range(UNBENDING):
            square = (straight**2).sum(axis=1)
            straight = bent / (1.0 + chosen[8] * square)[:, None]
        back = np.linalg.inv(np.append(chosen[:8], 1.0).reshape(3, 3))
        found = np.column_stack([straight, np.ones(len(straight))]) @ back.T
        places: Values = found[:, :2] / found[:, 2:] * self.unit_mm
        return places

    def slope_at(self, place_px: tuple[float, float]) -> Values:
        """Return by how many mm (rows x, y) a step of one pixel right and down moves, (2, 2)."""
        around = np.array([[1.0, 0], [-1, 0], [0, 1], [0, -1]]) + place_px
        found = self.to_mm(around)
        return np.column_stack([(found[0] - found[1]) / 2, (found[2] - found[3]) / 2])

    def tilt_rad(self, place_px: tuple[float, float]) -> float:
        """Return how far from square on the card was looked at there, from its foreshortening."""
        long, short = np.linalg.svd(self.slope_at(place_px))[1]
        return math.acos(min(1.0, float(short / long)))


def imaged(numbers: Values, places: Values) -> Values:
    """Return the image of places, both in their own units."""
    matrix = np.append(numbers[:8], 1.0).reshape(3, 3)
    flat = np.column_stack([places, np.ones(len(places))]) @ matrix.T
    flat = flat[:, :2] / flat[:, 2:]
    bent: Values = flat * (1.0 + numbers[8] * (flat**2).sum(axis=1))[:, None]
    return bent


def fitted_plane(
    places_mm: Values, middles_px: Values, picture_px: tuple[int, int], *, pitch_mm: float
) -> Plane:
    """Return the plane through dots, those far off left out.

    Parameters
    ----------
    places_mm, middles_px : shape (n, 2), where dots lie on the card and in the picture
    picture_px : width and height
    pitch_mm : distance of two dots

    Raises
    ------
    NotEnough : the dots lie off their places, or too few are left

    References
    ----------
    Hartley and Zisserman (2004), Multiple View Geometry, 4.1 (the start), 4.3 (least squares)
    """
    half_px = math.hypot(*picture_px) / 2
    middle = ((picture_px[0] - 1) / 2, (picture_px[1] - 1) / 2)
    unit_mm = float(np.abs(places_mm).max())
    own, seen = places_mm / unit_mm, (middles_px - middle) / half_px
    kept = np.ones(len(own), bool)
    numbers = straight_start(own, seen)
    for _ in range(4):
        answer = least_squares(
            lambda tried, own=own[kept], seen=seen[kept]: (imaged(tried, own) - seen).ravel(),
            numbers,
            method="lm",
        )
        numbers = answer.x
        off = np.linalg.norm(imaged(numbers, own) - seen, axis=1)
        limit = OUTLIER * max(IN_THE_PLANE * float(np.median(off[kept])), 1e-9)
        before, kept = kept, off < limit
        if kept.sum() < LEAST_DOTS:
            raise NotEnough(NOT_FLAT)
        if (before == kept).all():
            break
    freedom = 2 * int(before.sum()) - 9
    variance = float((answer.fun**2).sum()) / freedom
    scatter_px = math.sqrt(variance) * half_px
    pitch_px = (
        pitch_mm
        / unit_mm
        * half_px
        * math.sqrt(abs(np.linalg.det(numbers[[0, 1, 3, 4]].reshape(2, 2))))
    )
    if scatter_px > MOST_OFF * pitch_px:
        raise NotEnough(NOT_FLAT)
    return Plane(
        numbers=numbers,
        covariance=np.linalg.inv(answer.jac.T @ answer.jac) * variance,
        middle=middle,
        half_px=half_px,
        unit_mm=unit_mm,
        scatter_px=scatter_px,
        dots=int(before.sum()),
    )


def straight_start(own: Values, seen: Values) -> Values:
    """Return a homography by linear least squares, and no bending."""
    x, y = own.T
    u, v = seen.T
    one, none = np.ones_like(x), np.zeros_like(x)
    rows = np.vstack(
        [
            np.column_stack([x, y, one, none, none, none, -u * x, -u * y]),
            np.column_stack([none, none, none, x, y, one, -v * x, -v * y]),
        ]
    )
    answer = np.linalg.lstsq(rows, np.concatenate([u, v]), rcond=None)[0]
    return np.append(answer, 0.0)
