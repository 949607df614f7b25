"""Where the rim round a pressed place is, to a few pixels: looked for at several sizes.

Rays leave the pressed place; along each, the steepest places are candidates. Circles through three
of them (RANSAC, Fischler and Bolles 1981) are counted out: how many rays agree, how strong the step
is. Of a hole the innermost strong rim is taken, of a coin or pin the strongest.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, map_coordinates

from sideshake.errors import NotEnough
from sideshake.photo.ellipse import Ellipse
from sideshake.photo.light import Patch, Photograph

Values = NDArray[np.float64]

RAYS = 96
REACH_PX = 200
"""How far rays reach at each size, in that size's pixels."""
STEEPEST = 5
"""Candidates a ray."""
TRIALS = 500
LEAST_RADIUS_PX = 7.0
LEAST_AGREED = 0.6
"""Share of the rays that must agree."""
ENOUGH = 0.45
"""A rim further in is taken where it scores this share of the best."""
OFF_MIDDLE = 0.85
"""How far from the middle may be pressed, over the radius."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rim:
    """A circle that many rays agree on, in the whole picture's pixels.

    `contrast` is the step of light across it, `agreed` the share of rays.
    """

    x: float
    y: float
    radius: float
    contrast: float
    agreed: float

    @property
    def score(self) -> float:
        """Return how much speaks for it."""
        return self.contrast * self.agreed**2

    @property
    def ellipse(self) -> Ellipse:
        """Return it as an ellipse."""
        return Ellipse(x=self.x, y=self.y, r=self.radius)


def find_rim(photo: Photograph, at: tuple[float, float], *, outline: bool = False) -> Rim:
    """Return the rim round a pressed place.

    Parameters
    ----------
    at : x and y, px in the whole picture, inside the rim
    outline : take the strongest rim, as of a coin or pin, not the innermost strong one

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
    if outline:
        return best
    return min(
        (rim for rim in rims if rim.score >= ENOUGH * best.score), key=lambda rim: rim.radius
    )


def sizes_round(photo: Photograph, at: tuple[float, float]) -> list[Patch]:
    """Return the picture round a place at full size and halved again and again."""
    longest = max(photo.width_px, photo.height_px)
    patches, step = [], 1
    while True:
        patches.append(halved(photo, at, step))
        if REACH_PX * step >= longest / 2:
            return patches
        step *= 2


def halved(photo: Photograph, at: tuple[float, float], step: int) -> Patch:
    """Return the square round a place, step by step pixels averaged."""
    patch = photo.strip(photo.around(*at, REACH_PX * step))
    if step == 1:
        return patch
    rows, columns = (side // step * step for side in patch.light.shape)
    light = patch.light[:rows, :columns].reshape(rows // step, step, columns // step, step)
    middle = (step - 1) / 2
    return Patch(
        light=light.mean(axis=(1, 3)), left=patch.left + middle, top=patch.top + middle, step=step
    )


def rims_in(patch: Patch, at: tuple[float, float]) -> list[Rim]:
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
        replace(
            rim,
            x=rim.x * patch.step + patch.left,
            y=rim.y * patch.step + patch.top,
            radius=rim.radius * patch.step,
        )
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


def agreed_circles(points: Values, signs: Values, at: Values) -> list[Rim]:
    """Return circles on which many rays agree, best first, of clearly different size."""
    random = np.random.default_rng(17)
    first = random.integers(0, RAYS, TRIALS)
    second = (first + random.integers(RAYS // 5, 2 * RAYS // 5, TRIALS)) % RAYS
    third = (first + random.integers(3 * RAYS // 5, 4 * RAYS // 5, TRIALS)) % RAYS
    rank = [
        np.minimum(random.integers(0, STEEPEST, TRIALS), random.integers(0, STEEPEST, TRIALS))
        for _ in range(3)
    ]
    three = np.stack(
        [points[ray, place] for ray, place in zip((first, second, third), rank, strict=True)]
    )
    same = np.stack(
        [
            np.sign(signs[ray, place])
            for ray, place in zip((first, second, third), rank, strict=True)
        ]
    )
    middles, radii = circles_through(three)
    alike = (same[0] == same[1]) & (same[1] == same[2]) & (same[0] != 0)
    off = np.linalg.norm(middles - at, axis=1)
    good = alike & (radii > LEAST_RADIUS_PX) & (radii < REACH_PX) & (off < OFF_MIDDLE * radii)
    middles, radii, sign = middles[good], radii[good], same[0][good]
    if len(radii) == 0:
        return []
    flat, flat_signs = points.reshape(-1, 2), np.sign(signs).reshape(-1)
    apart = np.abs(np.linalg.norm(flat[None] - middles[:, None], axis=2) - radii[:, None])
    near = (apart < 1.5 + 0.03 * radii[:, None]) & (flat_signs == sign[:, None])
    agreed = near.reshape(len(radii), RAYS, -1).any(axis=2).mean(axis=1)
    chosen: list[Rim] = []
    for place in np.argsort(-agreed):
        if agreed[place] < LEAST_AGREED or len(chosen) == STEEPEST:
            break
        if all(abs(radii[place] - each.radius) > 2 + 0.06 * each.radius for each in chosen):
            polished = least_circle(flat[near[place]])
            chosen.append(
                Rim(
                    x=float(polished[0]),
                    y=float(polished[1]),
                    radius=float(polished[2]),
                    contrast=0.0,
                    agreed=float(agreed[place]),
                )
            )
    return chosen


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


def least_circle(points: Values) -> Values:
    """Return x, y and radius of the circle of least squares (Kasa 1976), a start."""
    middle = points.mean(axis=0)
    moved = points - middle
    basis = np.column_stack([2 * moved, np.ones(len(moved))])
    answer = np.linalg.lstsq(basis, (moved**2).sum(axis=1), rcond=None)[0]
    radius = np.sqrt(max(answer[2] + answer[0] ** 2 + answer[1] ** 2, 1e-9))
    return np.array([*(answer[:2] + middle), radius])


def with_contrast(patch: Patch, rim: Rim) -> Rim:
    """Return the rim with the step of light from just inside to just outside."""
    angles = np.arange(RAYS) / RAYS * 2 * np.pi
    gap = 1.5 + 0.04 * rim.radius
    sides = []
    for radius in (rim.radius - gap, rim.radius + gap):
        rows, columns = rim.y + radius * np.sin(angles), rim.x + radius * np.cos(angles)
        sides.append(map_coordinates(patch.light, [rows, columns], order=1, mode="nearest"))
    return replace(rim, contrast=abs(float(np.median(sides[1] - sides[0]))))
