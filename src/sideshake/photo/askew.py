"""What a camera held askew does to sizes and shapes elsewhere in the picture, without a card.

A pinhole of focal length 1 looks at a plane whose inverse distance falls by g for a step of 1 in
the picture: |g| is the tangent of the tilt. Sizes there grow as (1 - g x) to the power 3/2: across
the tilt as the inverse distance, along it as its square. A circle is seen as an ellipse whose
second harmonic over its radius is -(x g) / 2 - g g / 4, all as complex numbers (to second order).
So round things tell the tilt by their own shape, the better the further from the middle they lie.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.core.repeats import RECTANGLE
from sideshake.photo.ellipse import Ellipse

Values = NDArray[np.float64]
Place = tuple[float, float]

AWAY_TILT_RAD = math.radians(10.0)
"""How far from square a photograph of things on a table is taken (a limit; our assumption)."""
VIEW = 0.75
"""Focal length over the picture's longer side, of a telephone's camera (common practice, no
source): 26 mm over 36."""
OWN_FORM = 0.01
"""How far a round thing's second harmonic is its own, or its edge's, over the radius (a limit; our
assumption): it leans, or is worn."""
SIDE = 0.2
"""A thing on the ground is as thick as this share of its radius (a limit; our assumption: coins
are); off the middle its side shows, and may be taken for a part of it."""
BENDING = 0.01
"""By which share a lens moves points at the picture's corner (a limit; our assumption)."""
GRID = 61


@dataclass(frozen=True, slots=True, kw_only=True)
class Lens:
    """Where a picture's middle is (px), its focal length and half its diagonal (px)."""

    middle: Place
    focal_px: float
    half_px: float

    def own(self, place: Place) -> complex:
        """Return a place, counted from the middle in focal lengths."""
        return complex(*(np.subtract(place, self.middle) / self.focal_px))

    def side(self, place: Place) -> float:
        """Return by how much a thing may seem larger since its side shows, over its radius.

        A limit: the side widens it by its thickness times the slant, one way only; a quarter of
        that is mean radius, as much the second harmonic.
        """
        return SIDE * abs(self.own(place)) / 4

    def bent(self, place: Place) -> float:
        """Return by how much sizes at a place may seem larger since the lens bends (a limit)."""
        return 2 * BENDING * math.dist(place, self.middle) ** 2 / self.half_px**2


def lens_of(picture_px: tuple[int, int]) -> Lens:
    """Return the lens of a telephone that took a picture of this width and height."""
    wide, high = picture_px
    return Lens(
        middle=((wide - 1) / 2, (high - 1) / 2),
        focal_px=VIEW * max(picture_px),
        half_px=math.hypot(*picture_px) / 2,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Elsewhere:
    """How a scale changes on the way to another place.

    `factor` is what mm a pixel are multiplied by, `relative_u` its standard uncertainty, `shape_u`
    that of the second harmonic of a round thing there, over its radius.
    """

    factor: float
    relative_u: float
    shape_u: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundSeenAskew:
    """A thing that is round, as it was seen.

    Parameters
    ----------
    shape_u : standard uncertainty of either number of its second harmonic, over the radius
    """

    ellipse: Ellipse
    shape_u: float

    @property
    def shape(self) -> complex:
        """Return its second harmonic over its radius."""
        return complex(self.ellipse.p, self.ellipse.q) / self.ellipse.r


def elsewhere(
    lens: Lens, known_at: Place, at: Place, rounds: Sequence[RoundSeenAskew]
) -> Elsewhere:
    """Return how the scale changes from one place to another.

    Every tilt up to the limit is weighed by how well it explains the shapes of the round things.

    Parameters
    ----------
    known_at, at : where the scale is known, and where it is wanted, px
    rounds : things that are round, as seen; with none, every tilt is as likely

    References
    ----------
    GUM Supplement 1 (JCGM 101:2008), 6.4: an uncertainty from a distribution, here on a grid

    Examples
    --------
    >>> lens = lens_of((4000, 3000))
    >>> near = elsewhere(lens, (2000, 1500), (2000, 1500), [])
    >>> near.factor, near.relative_u
    (1.0, 0.0)
    >>> round(elsewhere(lens, (2000, 1500), (3000, 1500), []).relative_u, 3)
    0.044
    """
    tilts = possible_tilts()
    misfit = np.zeros(len(tilts))
    for seen in rounds:
        off = seen.shape - shape_at(tilts, lens.own((seen.ellipse.x, seen.ellipse.y)))
        misfit += (np.abs(off) / seen.shape_u) ** 2
    weights = np.exp(-0.5 * (misfit - misfit.min()))
    weights /= weights.sum()
    growth = 1.5 * (
        np.log(1 - dot(tilts, lens.own(known_at))) - np.log(1 - dot(tilts, lens.own(at)))
    )
    mean = float(weights @ growth)
    bent_u = abs(lens.bent(at) - lens.bent(known_at)) * RECTANGLE
    shapes = shape_at(tilts, lens.own(at))
    return Elsewhere(
        factor=math.exp(mean),
        relative_u=math.hypot(math.sqrt(float(weights @ (growth - mean) ** 2)), bent_u),
        shape_u=math.sqrt(float(weights @ np.abs(shapes) ** 2) / 2),
    )


def possible_tilts() -> NDArray[np.complex128]:
    """Return tilts, evenly all over a disc up to the limit."""
    steps = np.linspace(-1, 1, GRID) * math.tan(AWAY_TILT_RAD)
    grid = (steps[:, None] + 1j * steps).ravel()
    return grid[np.abs(grid) <= math.tan(AWAY_TILT_RAD)]


def shape_at(tilts: NDArray[np.complex128], place: complex) -> NDArray[np.complex128]:
    """Return the second harmonic over the radius of a circle seen at a place."""
    return np.asarray(-0.5 * place * tilts - 0.25 * tilts**2, complex)


def dot(tilts: NDArray[np.complex128], place: complex) -> Values:
    """Return by how much nearer the plane is at a place, over its distance in the middle."""
    return np.asarray((tilts.conj() * place).real, float)
