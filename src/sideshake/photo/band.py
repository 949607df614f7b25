"""The pixels near an edge: each is one sample of the edge-spread curve at its own distance."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import NotEnough
from sideshake.photo.ellipse import Ellipse, Points

Values = NDArray[np.float64]

LEAST_BAND_PX, BAND_BLURS = 3.5, 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The pixels near an ellipse: how far outside each lies (px), where round it, its light."""

    distance: Values
    angle_rad: Values
    light: Values
    lost: float
    """Share of the band that lies outside the picture."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RingPixels:
    """The pixels of a wide band round an ellipse, picked once: places, shape (n, 2), and light."""

    places: Points
    light: Values


def thinned(ring: RingPixels, most: int) -> RingPixels:
    """Return the ring with about `most` of its pixels, evenly left out."""
    step = max(1, len(ring.light) // most)
    return RingPixels(places=ring.places[::step], light=ring.light[::step])


def ring_of(light: NDArray[np.float32], ellipse: Ellipse, reach_px: float) -> RingPixels:
    """Return the pixels no further than `reach_px` from an ellipse, both in one patch.

    Raises
    ------
    NotEnough : none of them lies in the patch
    """
    high, wide = light.shape
    outer, inner = ellipse.long + reach_px, max(0.0, ellipse.short - reach_px)
    rows = np.arange(max(0, int(ellipse.y - outer)), min(high, int(ellipse.y + outer) + 2))
    across = rows - ellipse.y
    pieces = []
    far = np.sqrt(np.maximum(outer**2 - across**2, 0.0))
    close = np.sqrt(np.maximum(inner**2 - across**2, 0.0))
    ends = [ellipse.x - far, ellipse.x - close, ellipse.x + close, ellipse.x + far]
    for row, first, second, third, fourth in zip(rows, *ends, strict=True):
        for begin, end in ((first, second), (max(third, second + 1.0), fourth)):
            columns = np.arange(max(0, math.ceil(begin)), min(wide, math.floor(end) + 1))
            pieces.append(np.column_stack([columns, np.full(len(columns), row)]))
    places = np.concatenate(pieces) if pieces else np.empty((0, 2), int)
    if len(places) == 0:
        raise NotEnough("the edge lies outside the photograph")
    return RingPixels(
        places=places.astype(float),
        light=light[places[:, 1], places[:, 0]].astype(float),
    )


def band_of(ring: RingPixels, ellipse: Ellipse, reach_px: float) -> Band:
    """Return of a ring the pixels no further than `reach_px` from an ellipse.

    Raises
    ------
    NotEnough : there are none
    """
    distance, angle, _ = ellipse.seen(ring.places)
    inside = np.abs(distance) <= reach_px
    if not inside.any():
        raise NotEnough("the edge lies outside the photograph")
    area = math.pi * ((ellipse.r + reach_px) ** 2 - max(0.0, ellipse.r - reach_px) ** 2)
    return Band(
        distance=distance[inside],
        angle_rad=angle[inside],
        light=ring.light[inside],
        lost=max(0.0, 1.0 - float(inside.sum()) / area),
    )


def reach_px(blur_px: float) -> float:
    """Return how far to either side of the edge pixels are looked at."""
    return max(LEAST_BAND_PX, BAND_BLURS * blur_px)
