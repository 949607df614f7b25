"""The rim round a pressed place, traced at full size."""

import math
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import NotEnough
from sideshake.core.repeats import RECTANGLE
from sideshake.photo.askew import OWN_FORM, lens_of
from sideshake.photo.band import RingPixels, reach_px, ring_of, thinned
from sideshake.photo.edge import Curve, find_edge
from sideshake.photo.ellipse import Ellipse, Fitted, Points, fitted
from sideshake.photo.find import find_rim
from sideshake.photo.light import LightPhotograph, Patch, coded
from sideshake.photo.outline import find_outline

PASSES = 12
FIRST_BLUR_SHARE, LEAST_FIRST_BLUR_PX, MOST_FIRST_BLUR_PX = 0.01, 1.2, 6.0
MARGIN_PX = 12.0
FIRST_PIXELS = 16_000
"""So many are enough until the rim is settled; the last pass takes all of them."""
MOST_OUT_OF_ROUND = 0.015
"""Second harmonic over the radius; as if looked at 14 degrees askew."""
TONE = 1.15
"""A camera's own contrast curve, as a power of the light: up to this (our assumption: cameras
brighten the middle or darken it; none says by how much)."""

NOT_FOLLOWED = (
    "the rim cannot be followed round: clean it, focus on it, light it evenly all round, and press "
    "inside it"
)


class Coding(Enum):
    """How a photograph codes its light."""

    CAMERA = "camera"
    """By the curve of sRGB, as telephones and cameras do."""
    LINEAR = "linear"
    """In proportion, as cameras for machines do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Traced:
    """A rim as traced, in pixels of the whole picture.

    Parameters
    ----------
    fit : the ellipse through the edge points
    points : shape (n, 2), one a sector, in order round the ellipse
    believed : shape (n,), 0 where no edge was found, else 1
    curve : the edge-spread curve
    tone_px : how far the rim moves outwards if the camera's contrast curve has the power `TONE`
    cut_px : how far it was moved inwards since its bright side is burnt out
    burnt : share of the bright side that is burnt out
    outside : share of the rim that lies outside the picture
    outline : whether it is that of a thing (a pin, a coin), no hole
    side : by how much it may seem larger since its side shows, over the radius (a limit)
    """

    fit: Fitted
    points: Points
    believed: NDArray[np.float64]
    curve: Curve
    tone_px: float
    cut_px: float
    burnt: float
    outside: float
    outline: bool = False
    side: float = 0.0

    @property
    def out_of_round(self) -> float:
        """Return how far it looks from round: the second harmonic over the radius."""
        return self.fit.ellipse.out_of_round

    @property
    def shape_u(self) -> float:
        """Return the standard uncertainty of its second harmonic's numbers, over the radius, as
        those of a round thing seen askew."""
        edge_u = math.sqrt(float(np.trace(self.fit.covariance[3:, 3:])) / 2) / self.fit.ellipse.r
        return math.hypot(edge_u, OWN_FORM * RECTANGLE, self.side * RECTANGLE)

    @property
    def lost(self) -> float:
        """Return the share of the rim that is not believed."""
        return 1.0 - float((self.fit.weights > 0).mean())

    @property
    def bright_inside(self) -> bool:
        """Return whether the hole is brighter than what is round it."""
        return self.curve.inner > self.curve.outer


def trace(
    photo: LightPhotograph,
    at: tuple[float, float],
    *,
    coding: Coding = Coding.CAMERA,
    outline: bool = False,
    start: Ellipse | None = None,
) -> Traced:
    """Return the rim round a pressed place.

    Parameters
    ----------
    at : x and y, px
    outline : of a coin or pin: its outermost sharp line, either side of it the bright one
    start : the rim to a few pixels, where it is known

    Raises
    ------
    NotEnough : no round rim is seen there
    """
    ellipse = start or (find_outline(photo, at) if outline else find_rim(photo, at).ellipse)
    reach = ellipse.long * 1.05 + MARGIN_PX + 4 * MOST_FIRST_BLUR_PX
    patch = photo.strip(photo.around(ellipse.x, ellipse.y, reach))
    if coding is Coding.LINEAR:
        patch = replace(patch, light=coded(patch.light).astype(np.float32))
    found = traced_in(patch, ellipse, outline=outline)
    if not outline:
        return found
    lens = lens_of(photo.size_px)
    return replace(found, side=lens.side((found.fit.ellipse.x, found.fit.ellipse.y)))


def traced_in(patch: Patch, ellipse: Ellipse, *, outline: bool) -> Traced:
    """Return the rim near an ellipse, given in the whole picture, in one patch."""
    corner = (patch.left, patch.top)
    near = shifted(ellipse, -corner[0], -corner[1])
    ring = ring_of(patch.light, near, 1.5 * reach_px(first_blur_px(near)))
    try:
        near, blur = settled(thinned(ring, FIRST_PIXELS), near, either=outline)
        ring = ring_of(patch.light, near, reach_px(blur))
        edge = find_edge(ring, near, blur_px=blur, either=outline)
        fit = fitted(edge.points, near, believed=edge.believed)
    except NotEnough as why:
        raise NotEnough(f"{NOT_FOLLOWED} ({why})") from None
    few = thinned(ring, FIRST_PIXELS)
    bent = find_edge(replace(few, light=few.light**TONE), near, blur_px=blur, either=outline)
    both = (edge.believed > 0) & (bent.believed > 0)
    if not both.any():
        raise NotEnough(NOT_FOLLOWED)
    naive = half_height_px(edge.curve)
    return Traced(
        fit=replace(fit, ellipse=shifted(fit.ellipse, *corner)),
        points=edge.points + corner,
        believed=edge.believed,
        curve=edge.curve,
        tone_px=float(np.median((bent.offset_px - edge.offset_px)[both])),
        cut_px=naive,
        burnt=edge.burnt,
        outside=edge.outside,
        outline=outline,
    )


def require_round(rim: Traced) -> None:
    """Refuse a pin or coin that looks out of round: it is round, so something else is seen.

    Raises
    ------
    NotEnough : with what to do
    """
    if rim.outline and rim.out_of_round > MOST_OUT_OF_ROUND:
        raise NotEnough(
            f"the pin or coin looks out of round by {200 * rim.out_of_round:.0f} % (a shadow or "
            "another edge taken for its own, or the camera askew): lay it on even ground of "
            "another brightness, without shadow, and hold the camera square"
        )


def first_blur_px(ellipse: Ellipse) -> float:
    """Return a blur so wide that the rim lies in its band."""
    return float(np.clip(FIRST_BLUR_SHARE * ellipse.r, LEAST_FIRST_BLUR_PX, MOST_FIRST_BLUR_PX))


def settled(ring: RingPixels, ellipse: Ellipse, *, either: bool) -> tuple[Ellipse, float]:
    """Return the ellipse and the blur after a few passes, each closer to the rim."""
    blur = first_blur_px(ellipse)
    for number in range(PASSES):
        edge = find_edge(ring, ellipse, blur_px=blur, either=either)
        before, wider = ellipse, blur
        ellipse = fitted(edge.points, ellipse, believed=edge.believed).ellipse
        seen = edge.curve.seen_blur_px
        blur = max(0.6 * blur, seen) if number < 2 else seen
        still = np.abs(before.numbers - ellipse.numbers).max() < 0.01
        if still and abs(blur - wider) < 0.01 * blur:
            break
    return ellipse, blur


def half_height_px(curve: Curve) -> float:
    """Return how far from the edge half the visible step is crossed, towards the dark side (px)."""
    from statistics import NormalDist

    bright, dark = max(curve.inner, curve.outer), min(curve.inner, curve.outer)
    if not curve.cut or bright <= 1.0:
        return 0.0
    share = (0.5 * (1.0 + dark) - dark) / (bright - dark)
    return -curve.blur_px * NormalDist().inv_cdf(share)


def shifted(ellipse: Ellipse, x: float, y: float) -> Ellipse:
    """Return the ellipse moved."""
    return replace(ellipse, x=ellipse.x + x, y=ellipse.y + y)
