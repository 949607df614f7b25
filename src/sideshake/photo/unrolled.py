"""An outline as radius against angle: a ring of the picture unrolled, metal weighed against ground.

The radius at an angle is where all metal on that ray would end if it were pushed together, that is
the area for each angle. It needs no edge and is a line integral of the light, so that blur along
the ray does not change it.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from sideshake.core.errors import NotEnough
from sideshake.photo.blob import Blob, Picture, Values, reduced

MOST_RADIUS_PX = 900.0
"""Larger outlines are read on a smaller copy: enough for 0.5 % of a diameter by far."""
STEP_PX = 0.6
LEVEL_SECTOR = 24 / 360
"""Brightness of metal and ground is followed round the ring over sectors of 24 degrees."""
ENVELOPE = 0.01
"""The roots are where an expectile of 1 % runs: half the teeth lost moves it by 1 % of a tooth."""
FAINT = 0.3
MOST_FAINT = 0.12
STEEP = 0.6
"""Quantile of the steepest slopes round the ring that tells the blur."""
ALIKE = (
    "metal and ground look alike along {share:.0%} of the rim; light the wheel from behind, or lay "
    "it on plain black or white"
)

SMALL = "the outline round this point is too small to be read; go nearer, or crop less"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenCircle:
    """A circle as the camera saw it: centre in pixels, long axis against short one.

    `squeeze` is 1 − short / long; the long axis lies at `axis` radians counter-clockwise from 3
    o'clock. Radii are counted along the long axis.
    """

    x: float
    y: float
    squeeze: float = 0.0
    axis: float = 0.0

    def at(self, radius: Values, angle: Values) -> tuple[Values, Values]:
        """Return column and row of points of the flat wheel."""
        along = radius * np.cos(angle - self.axis)
        aside = radius * np.sin(angle - self.axis) * (1 - self.squeeze)
        c, s = np.cos(self.axis), np.sin(self.axis)
        return self.x + along * c - aside * s, self.y - (along * s + aside * c)

    def circle(self, radius: float, angles: Values) -> Values:
        """Return column and row of points of a circle about its middle, shape (n, 2)."""
        return np.column_stack(self.at(np.full(len(angles), radius), angles))


@dataclass(frozen=True, slots=True, kw_only=True)
class UnrolledRing:
    """An outline unrolled; lengths in pixels of the picture that was given.

    `height` is counted from the roots towards the tips, against `angles` (radians, even steps,
    counter-clockwise from 3 o'clock in the wheel's plane); `root` is the roots' radius. `haze` is
    how much of it is neither metal nor ground (a film of oil, and every blurred edge). `blur` is
    the standard deviation of the edge's blur.
    """

    oval: SeenCircle
    inside: bool
    angles: Values
    height: Values
    haze: Values
    root: float
    blur: float


def unrolled(light: Picture, blob: Blob, *, inside: bool) -> UnrolledRing:
    """Return an outline as height of the teeth against angle.

    Parameters
    ----------
    light : shape (rows, columns), linear light
    blob : roughly where the outline lies
    inside : the teeth point inwards and the blob is what they leave free

    Raises
    ------
    NotEnough : metal and ground cannot be told apart, or the outline leaves the picture
    """
    by = smaller_by(blob.high)
    small = reduced(light, by)
    oval = rescaled(SeenCircle(x=blob.x, y=blob.y), 1 / by)
    span = (blob.low / by, blob.high / by)
    for _ in range(3):
        strip = strip_at(small, oval, span)
        terms = envelope(strip.angles, -strip.reach if inside else strip.reach)
        terms = -terms if inside else terms
        oval = moved(oval, terms)
        span = span_of(strip.reach - harmonics(strip.angles) @ terms + terms[0])
    return ring_of(strip_at(small, oval, span), oval, by, inside=inside, roots=True)


def unrolled_again(light: Picture, ring: UnrolledRing, terms: Values) -> UnrolledRing:
    """Return the outline by an oval that the teeth themselves have told.

    Parameters
    ----------
    terms : shape (5,), 1, cos, sin, cos 2, sin 2: how radii run out, pixels
    """
    by = smaller_by(ring.root + abs(ring.height).max())
    oval = rescaled(moved(ring.oval, np.array([ring.root, *terms[1:]])), 1 / by)
    span = span_of((ring.root + (-ring.height if ring.inside else ring.height)) / by)
    strip = strip_at(reduced(light, by), oval, span)
    return ring_of(strip, oval, by, inside=ring.inside, roots=False)


def smaller_by(radius: float) -> int:
    """Return how many pixels a side are taken together for an outline of this radius."""
    return max(int(np.ceil(radius / MOST_RADIUS_PX)), 1)


def rescaled(oval: SeenCircle, by: float) -> SeenCircle:
    """Return an oval in a copy whose pixels are smaller by a factor (larger: below 1)."""
    return replace(oval, x=(oval.x + 0.5) * by - 0.5, y=(oval.y + 0.5) * by - 0.5)


def span_of(reach: Values) -> tuple[float, float]:
    """Return the radii between which an outline lies, but for a hundredth."""
    low, high = np.quantile(reach, (0.01, 0.99))
    return float(low), float(high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A ring of the picture as read: how far the inner side reaches at each angle, and the rest."""

    angles: Values
    reach: Values
    haze: Values
    blur: float
    faint: float


def strip_at(light: Picture, oval: SeenCircle, span: tuple[float, float]) -> Strip:
    """Return a ring of the picture, read by an oval.

    Raises
    ------
    NotEnough : the ring leaves the picture
    """
    low, high = span
    pad = float(np.clip(0.15 * (high - low), 2.5, 6.0))
    band = float(np.clip(0.12 * (high - low), 3.0, 6.0))
    radii = np.arange(max(low - pad - band, 1.0), high + pad + band, STEP_PX)
    count = int(np.clip(2 * np.pi * high / STEP_PX, 720, 9000))
    angles = np.linspace(0, 2 * np.pi, count, endpoint=False)
    metal, faint = shares(sampled(light, oval, radii, angles), radii, (low - pad, high + pad))
    return Strip(
        angles=angles,
        reach=radii[0] + STEP_PX * (metal.sum(axis=0, dtype=np.float64) - 0.5),
        haze=4 * STEP_PX * np.clip(metal * (1 - metal), 0, None).sum(axis=0, dtype=np.float64),
        blur=blur_of(metal, 2 * np.pi * float(radii.mean()) / count),
        faint=faint,
    )


def ring_of(strip: Strip, oval: SeenCircle, by: int, *, inside: bool, roots: bool) -> UnrolledRing:
    """Return a strip as heights in pixels of the whole picture; `roots` levels them by the roots.

    Raises
    ------
    NotEnough : metal and ground cannot be told apart
    """
    if strip.faint > MOST_FAINT:
        raise NotEnough(ALIKE.format(share=strip.faint))
    sign = -1.0 if inside else 1.0
    terms = envelope(strip.angles, sign * strip.reach)
    level = harmonics(strip.angles) @ terms if roots else terms[0]
    return UnrolledRing(
        oval=rescaled(oval, by),
        inside=inside,
        angles=strip.angles,
        height=by * (sign * strip.reach - level),
        haze=by * strip.haze,
        root=by * float(sign * terms[0]),
        blur=by * strip.blur,
    )


def sampled(light: Picture, oval: SeenCircle, radii: Values, angles: Values) -> NDArray[np.float32]:
    """Return the light at radii by angles.

    Raises
    ------
    NotEnough : the ring leaves the picture
    """
    columns, rows = oval.at(radii[:, None], angles[None, :])
    height, width = light.shape
    out = (columns < -0.5) | (columns > width - 0.5) | (rows < -0.5) | (rows > height - 0.5)
    if out[: -max(len(radii) // 8, 1)].any():
        raise NotEnough("the wheel is cut off by the edge of the photograph; take all of it")
    sampled: NDArray[np.float32] = ndimage.map_coordinates(
        light, [rows, columns], order=1, mode="nearest"
    )
    return sampled


def shares(
    strip: NDArray[np.float32], radii: Values, between: tuple[float, float]
) -> tuple[NDArray[np.float32], float]:
    """Return the share of what is inside, at each radius and angle, and on which share of the ring
    metal and ground look alike."""
    if not ((radii <= between[0]).any() and (radii >= between[1]).any()):
        raise NotEnough(SMALL)
    inner = rough_level(strip[radii <= between[0]])
    outer = rough_level(strip[radii >= between[1]])
    apart = inner - outer
    middle = float(np.median(apart))
    if middle == 0:
        raise NotEnough(ALIKE.format(share=1.0))
    faint = float(np.mean(apart / middle < FAINT))
    apart = np.where(apart / middle < FAINT, FAINT * middle, apart)
    share = (strip - outer) / apart
    return np.clip(share, -0.15, 1.15).astype(np.float32), faint


def rough_level(band: NDArray[np.float32]) -> Values:
    """Return the brightness of a band round the ring, specks passed over."""
    seen = np.median(band, axis=0)
    width = int(LEVEL_SECTOR * len(seen)) | 1
    smooth = ndimage.median_filter(seen, size=width, mode="wrap").astype(np.float64)
    level: Values = ndimage.uniform_filter1d(smooth, width // 2, mode="wrap")
    return level


def harmonics(angles: Values) -> Values:
    """Return the columns 1, cos, sin, cos 2, sin 2 of the angles."""
    parts = [np.ones_like(angles)]
    for order in (1, 2):
        parts += [np.cos(order * angles), np.sin(order * angles)]
    return np.stack(parts, axis=1)


def envelope(angles: Values, reach: Values) -> Values:
    """Return the terms of a low envelope of an outline: where the roots lie.

    References
    ----------
    Newey & Powell (1987), Econometrica 55, 819-847: expectiles by asymmetric least squares
    """
    columns = harmonics(angles)
    terms = np.array([np.quantile(reach, 0.1), 0, 0, 0, 0])
    before = np.zeros(len(reach), bool)
    for _ in range(60):
        above = reach > columns @ terms
        if (above == before).all():
            break
        before = above
        weighed = columns * np.where(above, ENVELOPE, 1 - ENVELOPE)[:, None]
        terms = np.linalg.solve(weighed.T @ columns, weighed.T @ reach)
    return terms


def moved(oval: SeenCircle, terms: Values) -> SeenCircle:
    """Return the oval that makes an outline with these terms a circle."""
    radius = float(terms[0])
    second = complex(
        -radius * oval.squeeze * np.cos(2 * oval.axis) / 2,
        -radius * oval.squeeze * np.sin(2 * oval.axis) / 2,
    )
    pair = complex(terms[3], terms[4]) - second
    return SeenCircle(
        x=oval.x + float(terms[1]),
        y=oval.y - float(terms[2]),
        squeeze=min(2 * abs(pair) / radius, 0.5),
        axis=float(np.angle(pair)) / 2,
    )


def blur_of(metal: NDArray[np.float32], along_px: float) -> float:
    """Return the standard deviation of the edge's blur in pixels, from the steepest places.

    The steepest slope of a step blurred by a Gaussian is 1 / (sigma √(2 π)).
    """
    smooth = ndimage.uniform_filter(metal, 3, mode=("nearest", "wrap"))
    steep = np.hypot(
        np.gradient(smooth, axis=0) / STEP_PX, np.gradient(smooth, axis=1) / along_px
    ).max(axis=0)
    seen = 1 / (float(np.quantile(steep, STEEP)) * np.sqrt(2 * np.pi))
    own = np.sqrt(2 / 3) * STEP_PX  # the mean of three steps
    return float(np.sqrt(max(seen**2 - own**2, 0.09)))
