"""Where the rim round a pressed place is, to a few pixels: looked for at several sizes.

Rays leave the pressed place; along each, the steepest places are candidates. Circles through three
of them (RANSAC, Fischler and Bolles 1981) are counted out: how many rays agree, how strong the step
is. Of a hole the innermost strong rim is taken, of a coin or pin the outermost.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, map_coordinates

from sideshake.core.errors import NotEnough
from sideshake.photo.ellipse import Ellipse, fitted
from sideshake.photo.light import LightPhotograph, Patch

Values = NDArray[np.float64]

RAYS = 96
REACH_PX = 200
"""How far rays reach at each size, in that size's pixels."""
STEEPEST = 5
"""Candidates a ray."""
TRIALS = 500
LEAST_RADIUS_PX = 7.0
CLOSE_PX, CLOSE = 1.0, 0.015
"""How close to a rim a candidate must lie: so many pixels, and this share of the radius."""
LEAST_AGREED = 0.5
"""Share of the rays that must agree."""
ENOUGH = 0.45
"""A rim further in is taken where it scores this share of the best."""
MOST_POLISHED = 0.25
"""How far the ellipse through the agreeing points may differ from their circle, over the radius."""
OFF_MIDDLE = 0.85
"""How far from the middle may be pressed, over the radius."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RimFound:
    """An ellipse close to a circle that many rays agree on, in the whole picture's pixels.

    `contrast` is the step of light across it, `agreed` the share of rays.
    """

    ellipse: Ellipse
    contrast: float
    agreed: float

    @property
    def score(self) -> float:
        """Return how much speaks for it."""
        return self.contrast * self.agreed**2

    @property
    def radius(self) -> float:
        """Return its mean semi-axis."""
        return self.ellipse.r


def find_rim(photo: LightPhotograph, at: tuple[float, float], *, outline: bool = False) -> RimFound:
    """Return the rim round a pressed place.

    Parameters
    ----------
    at : x and y, px in the whole picture, inside the rim
    outline : take the outermost strong rim, as of a coin or pin, not the innermost

    Raises
    ------
    NotEnough : no round rim is seen there
    """
    rims = [rim for patch in sizes_round(photo, at) for rim in rims_in(patch, at)]
    if not rims:
        raise NotEnough(
            "no round rim is seen round that place; press inside the hole, and light it so that "
            "its rim stands out all round"
        )
    best = max(rims, key=lambda rim: rim.score)
    strong = [rim for rim in rims if rim.score >= ENOUGH * best.score]
    return (max if outline else min)(strong, key=lambda rim: rim.radius)


def sizes_round(photo: LightPhotograph, at: tuple[float, float]) -> list[Patch]:
    """Return the picture round a place at full size and halved again and again."""
    longest = max(photo.width_px, photo.height_px)
    patches, step = [], 1
    while True:
        patches.append(halved(photo, at, step))
        if REACH_PX * step >= longest / 2:
            return patches
        step *= 2


def halved(photo: LightPhotograph, at: tuple[float, float], step: int) -> Patch:
    """Return the square round a place, step by step pixels averaged."""
    box = photo.around(*at, REACH_PX * step)
    return photo.strip(box) if step == 1 else photo.coarse(box, step)


def rims_in(patch: Patch, at: tuple[float, float]) -> list[RimFound]:
    """Return the rims in one patch, the best few, in the whole picture's pixels."""
    if min(patch.light.shape) < 8:
        return []
    x, y = patch.own_xy(np.array([at]))[0]
    angles = np.arange(RAYS) / RAYS * 2 * np.pi
    radii = np.arange(2.0, REACH_PX)
    columns = x + np.outer(np.cos(angles), radii)
    rows = y + np.outer(np.sin(angles), radii)
    light = map_coordinates(patch.light, [rows, columns], order=1, mode="nearest")
    high, wide = patch.light.shape
    outside = (rows < 0) | (rows > high - 1) | (columns < 0) | (columns > wide - 1)
    slope = np.where(outside, 0.0, gaussian_filter1d(light.astype(float), 1.2, axis=1, order=1))
    places, signs = steepest(slope)
    points = np.stack(
        [x + np.cos(angles)[:, None] * radii[places], y + np.sin(angles)[:, None] * radii[places]],
        axis=-1,
    )
    circles = agreed_circles(points, signs, np.array([x, y]))
    return [
        replace(rim, ellipse=in_whole(rim.ellipse, patch))
        for rim in (with_contrast(patch, circle) for circle in circles)
        if rim.contrast > 0.01
    ]


def steepest(slope: Values) -> tuple[NDArray[np.intp], Values]:
    """Return the steepest places of each ray and their signed steepness (0: none)."""
    size = np.abs(slope)
    peak = np.zeros_like(size)
    middle = size[:, 1:-1]
    is_peak = (middle >= size[:, :-2]) & (middle > size[:, 2:])
    peak[:, 1:-1] = np.where(is_peak, middle, 0.0)
    places = np.argsort(-peak, axis=1)[:, :STEEPEST]
    kept = np.take_along_axis(peak, places, 1) > 0
    signs = np.take_along_axis(slope, places, 1) * kept
    return places, signs


def agreed_circles(points: Values, signs: Values, at: Values) -> list[RimFound]:
    """Return rims on which many rays agree, best first, of clearly different size."""
    middles, radii, sign = trial_circles(points, signs, at)
    if len(radii) == 0:
        return []
    flat, flat_signs = points.reshape(-1, 2), np.sign(signs).reshape(-1)
    apart = np.abs(np.linalg.norm(flat[None] - middles[:, None], axis=2) - radii[:, None])
    near = (apart < CLOSE_PX + CLOSE * radii[:, None]) & (flat_signs == sign[:, None])
    agreed = near.reshape(len(radii), RAYS, -1).any(axis=2).mean(axis=1)
    chosen: list[RimFound] = []
    for place in np.argsort(-agreed):
        if agreed[place] < LEAST_AGREED or len(chosen) == STEEPEST:
            break
        if all(
            abs(radii[place] - each.radius) > 2 * (CLOSE_PX + CLOSE * each.radius)
            for each in chosen
        ):
            alike = np.sign(signs) == sign[place]
            circle = (middles[place], float(radii[place]))
            ellipse = polished(flat[near[place]], *circle, rough=True)
            close = close_to(ellipse, points[alike])
            ellipse = polished(close, *circle)
            share = agreement(ellipse, points, alike)
            chosen.append(RimFound(ellipse=ellipse, contrast=0.0, agreed=share))
    return chosen


def trial_circles(points: Values, signs: Values, at: Values) -> tuple[Values, Values, Values]:
    """Return middles, radii and signs of circles through three candidates of one sign."""
    random = np.random.default_rng(17)
    first = random.integers(0, RAYS, TRIALS)
    second = (first + random.integers(RAYS // 5, 2 * RAYS // 5, TRIALS)) % RAYS
    third = (first + random.integers(3 * RAYS // 5, 4 * RAYS // 5, TRIALS)) % RAYS
    rays = np.stack([first, second, third])
    ranks = random.integers(0, STEEPEST, (2, 3, TRIALS)).min(axis=0)
    same = np.sign(signs[rays, ranks])
    middles, radii = circles_through(points[rays, ranks])
    alike = (same[0] == same[1]) & (same[1] == same[2]) & (same[0] != 0)
    off = np.linalg.norm(middles - at, axis=1)
    good = alike & (radii > LEAST_RADIUS_PX) & (radii < REACH_PX) & (off < OFF_MIDDLE * radii)
    return middles[good], radii[good], same[0][good]


def circles_through(three: Values) -> tuple[Values, Values]:
    """Return middles and radii of circles through three points each; infinite where in line."""
    a, b, c = three
    ab, ac = b - a, c - a
    double = 2 * (ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0])
    with np.errstate(divide="ignore", invalid="ignore"):
        bb, cc = (ab**2).sum(axis=1), (ac**2).sum(axis=1)
        x = (ac[:, 1] * bb - ab[:, 1] * cc) / double
        y = (ab[:, 0] * cc - ac[:, 0] * bb) / double
    radii = np.nan_to_num(np.hypot(x, y), nan=np.inf)
    return a + np.nan_to_num(np.column_stack([x, y]), nan=0.0, posinf=0.0, neginf=0.0), radii


def close_to(ellipse: Ellipse, points: Values) -> Values:
    """Return the points close to an ellipse."""
    return points[np.abs(ellipse.seen(points)[0]) < CLOSE_PX + CLOSE * ellipse.r]


def agreement(ellipse: Ellipse, points: Values, alike: NDArray[np.bool_]) -> float:
    """Return the share of rays that have a candidate of the right sign close to an ellipse."""
    off = np.abs(ellipse.seen(points.reshape(-1, 2))[0]).reshape(points.shape[:2])
    return float(((off < CLOSE_PX + CLOSE * ellipse.r) & alike).any(axis=1).mean())


def polished(points: Values, middle: Values, radius: float, *, rough: bool = False) -> Ellipse:
    """Return the ellipse through the points near a circle; the circle where they tell none."""
    circle = Ellipse(x=float(middle[0]), y=float(middle[1]), r=radius)
    try:
        ellipse = fitted(points, circle, rough=rough).ellipse
    except NotEnough:
        return circle
    near = abs(ellipse.r - radius) < MOST_POLISHED * radius
    return ellipse if near and ellipse.long - ellipse.short < MOST_POLISHED * radius else circle


def in_whole(ellipse: Ellipse, patch: Patch) -> Ellipse:
    """Return an ellipse of a patch in the whole picture's pixels."""
    return Ellipse(
        x=ellipse.x * patch.step + patch.left,
        y=ellipse.y * patch.step + patch.top,
        r=ellipse.r * patch.step,
        p=ellipse.p * patch.step,
        q=ellipse.q * patch.step,
    )


def with_contrast(patch: Patch, rim: RimFound) -> RimFound:
    """Return the rim with the step of light from just inside to just outside."""
    angles = np.arange(RAYS) / RAYS * 2 * np.pi
    gap = 1.5 + 0.04 * rim.radius
    on = rim.ellipse.points(angles)
    _, _, normals = rim.ellipse.seen(on)
    inside, outside = (
        map_coordinates(patch.light, (on + far * normals).T[::-1], order=1, mode="nearest")
        for far in (-gap, gap)
    )
    return replace(rim, contrast=abs(float(np.median(outside - inside))))
