"""Where an edge is, to a few hundredths of a pixel, from the pixels themselves.

No profile is interpolated: every pixel near the edge is one sample of the edge-spread curve at its
own distance from the ellipse (as in the slanted-edge method of ISO 12233). The ring is cut into
sectors; each has its own two levels and its own offset, all share one blur. A pixel averages over
its own square, whose variance along any direction is 1/12: it is part of the blur.

Where the bright side is burnt out, the curve is cut off at white, and half way up the part that is
seen is not half way up the light: there the level above white is found from the curve's foot.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares
from scipy.special import erf

from sideshake.core.errors import NotEnough
from sideshake.photo.band import Band, RingPixels, band_of, reach_px
from sideshake.photo.ellipse import Ellipse, Points

Values = NDArray[np.float64]

WHITE = 0.985
"""Light from which on a pixel counts as burnt out: the last code below 255 is 0.991."""
SECTOR_PX = 3.0
LEAST_SECTORS, MOST_SECTORS = 60, 360
FAR_SHARE = 0.6
"""The outer part of the band to either side, in which the two levels are taken."""
LEAST_STEP = 1e-3
LEAST_SHARE = 1.0 / 3.0
"""A sector shows the edge if its step has this share of the typical step."""
BIN_PX = 0.2
CREST = 0.03
"""Less light above the bright side than this share of the step is grain."""
LEAST_BLUR_PX = 0.05
FIRST_WHITE, FIRST_TAIL = 1.3, 0.1
CLEARLY_BETTER = 0.5
TAIL_BLURS = 3.0
"""A lens spreads some light further than its blur; of a burnt-out edge that is all there is to see
of the bright side (learnt on one lens, behind the rings of the outside check: an assumption)."""
WIDTH_TO_BLUR = 1.683
"""From 20 to 80 % of a step that a Gaussian blurs: 2 x 0.8416 standard deviations."""
MIDDLE_LIGHT, EVEN_STEP = 0.4, 0.5
"""Levels at which every sector is laid where its bright side may be either: far from white."""
ROUNDS = 5
"""Gauss-Newton steps of the sectors' offsets."""

NO_EDGE = "no edge is seen there; press inside the hole, and light it so that its rim stands out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """The edge-spread curve all sectors share.

    Parameters
    ----------
    inner, outer : light far inside and far outside, above 1 where it was burnt out
    blur_px : standard deviation of the blur, the pixel's own square included
    cut : whether the bright side was burnt out
    tail : share of the light that a lens spreads further, `TAIL_BLURS` blurs; 0 unless cut
    seen_blur_px : the blur that the visible curve's width (20 to 80 %) would have, uncut
    crest_px : how much light there is above the bright side, as a width of its step: a shining
        chamfer or burr, too narrow to be seen by itself
    """

    inner: float
    outer: float
    blur_px: float
    cut: bool
    tail: float
    seen_blur_px: float
    crest_px: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """Edge points round an ellipse, one a sector, and how each was seen.

    Parameters
    ----------
    points : shape (n, 2), px
    offset_px : shape (n,), how far outside the ellipse each lies
    believed : shape (n,), 0 or 1: whether an edge was found there
    burnt : share of the bright side's pixels that are burnt out
    outside : share of the ring that lies outside the picture
    """

    points: Points
    offset_px: Values
    believed: Values
    curve: Curve
    burnt: float
    outside: float


def sectors_of(radius_px: float) -> int:
    """Return into how many sectors a ring is cut."""
    return int(np.clip(2 * math.pi * radius_px / SECTOR_PX, LEAST_SECTORS, MOST_SECTORS))


def step_curve(distance: Values, blur_px: float, tail: float = 0.0) -> Values:
    """Return a blurred step from 0 to 1 at distance 0, a share of it spread further."""
    curve: Values = 0.5 * (1.0 + erf(distance / (math.sqrt(2.0) * blur_px)))
    if tail == 0.0:
        return curve
    return (1.0 - tail) * curve + tail * step_curve(distance, TAIL_BLURS * blur_px)


def step_slope(distance: Values, blur_px: float, tail: float = 0.0) -> Values:
    """Return by how much a blurred step falls at each place when it moves outwards."""
    bell = np.exp(-0.5 * (distance / blur_px) ** 2) / (blur_px * math.sqrt(2 * math.pi))
    slope: Values = -bell
    if tail == 0.0:
        return slope
    return (1.0 - tail) * slope + tail * step_slope(distance, TAIL_BLURS * blur_px)


def find_edge(
    ring: RingPixels, ellipse: Ellipse, *, blur_px: float = 1.0, either: bool = False
) -> Edge:
    """Return the edge points near an ellipse, each to a few hundredths of a pixel.

    Parameters
    ----------
    ring : pixels of linear light round the edge
    ellipse : within a few pixels of the edge, in the same pixels
    blur_px : a first guess of the blur
    either : the bright side may be the one here and the other there (a shining pin or coin)

    Raises
    ------
    NotEnough : there is no edge near the ellipse
    """
    band = band_of(ring, ellipse, reach_px(blur_px))
    count = sectors_of(ellipse.r)
    sector = np.floor((band.angle_rad / (2 * math.pi)) % 1.0 * count).astype(int) % count
    even = levelled(band, sector, count) if either else evened(band, sector, count)
    offset = coarse_offset(even, sector, count)
    for _ in range(2):
        curve = shared_curve(even, offset[sector], blur_px)
        offset, fit = sector_offsets(even if either else band, sector, offset, curve)
    angles = (np.arange(count) + 0.5) / count * 2 * math.pi
    on = ellipse.points(angles)
    _, _, normals = ellipse.seen(on)
    return Edge(
        points=on + normals * offset[:, None],
        offset_px=offset,
        believed=fit.astype(float),
        curve=curve,
        burnt=burnt_share(band, offset[sector], curve),
        outside=band.lost,
    )


def burnt_share(band: Band, offset: Values, curve: Curve) -> float:
    """Return how much of the bright side, a blur or more from the edge, is burnt out."""
    place = band.distance - offset
    bright = place > curve.blur_px if curve.outer > curve.inner else place < -curve.blur_px
    return float((band.light[bright] > WHITE).mean()) if bright.any() else 0.0


def evened(band: Band, sector: NDArray[np.intp], count: int) -> Band:
    """Return the band as if the light were even round the ring: each sector has the same levels.

    Sectors without a step of their own are left as they are; so is all where white is reached.
    """
    sides = far_sides(band)
    inner, outer = (float(np.median(band.light[side])) for side in sides)
    if abs(outer - inner) < LEAST_STEP:
        raise NotEnough(NO_EDGE)
    if max(inner, outer) > WHITE:
        return band
    first, last = (
        sector_means(band.light[side], sector[side], count, level)
        for side, level in zip(sides, (inner, outer), strict=True)
    )
    share = (last - first) / (outer - inner)
    clear = share > LEAST_SHARE
    low = np.where(clear, first, inner)[sector]
    light = inner + (band.light - low) / np.where(clear, share, 1.0)[sector]
    return replace(band, light=light)


def levelled(band: Band, sector: NDArray[np.intp], count: int) -> Band:
    """Return the band as if every sector had the step that most have, whichever way its own is.

    Sectors without a step of their own become even: no edge is found there.
    """
    first, last = (sector_means(band.light[side], sector[side], count) for side in far_sides(band))
    step = last - first
    clear = np.abs(step) > max(LEAST_SHARE * float(np.median(np.abs(step))), LEAST_STEP)
    if not clear.any():
        raise NotEnough(NO_EDGE)
    most = 1.0 if np.median(np.sign(step[clear])) >= 0 else -1.0
    share = (band.light - first[sector]) / np.where(clear, step, 1.0)[sector] - 0.5
    light = MIDDLE_LIGHT + most * EVEN_STEP * np.where(clear[sector], share, 0.0)
    return replace(band, light=light)


def far_sides(band: Band) -> list[NDArray[np.bool_]]:
    """Return which pixels lie far inside and far outside.

    Raises
    ------
    NotEnough : none on one side
    """
    far = np.abs(band.distance) > FAR_SHARE * np.abs(band.distance).max()
    sides = [far & (band.distance < 0), far & (band.distance > 0)]
    if not all(side.any() for side in sides):
        raise NotEnough(NO_EDGE)
    return sides


def sector_means(light: Values, sector: NDArray[np.intp], count: int, usual: float = 0.0) -> Values:
    """Return the mean light of each sector's pixels; the usual where it has none."""
    total = np.bincount(sector, minlength=count)
    mean = np.bincount(sector, light, count) / np.maximum(total, 1)
    return np.asarray(np.where(total > 0, mean, usual), float)


def coarse_offset(band: Band, sector: NDArray[np.intp], count: int) -> Values:
    """Return each sector's offset from how much of its band is as bright as the far side (px).

    The mean of a step over a band tells where it lies, whatever the blur.
    """
    inner, outer = (float(np.median(band.light[side])) for side in far_sides(band))
    share = np.clip((band.light - inner) / (outer - inner), 0.0, 1.0)
    mean = sector_means(share, sector, count)
    reach = float(np.abs(band.distance).max())
    return np.asarray(reach * (1.0 - 2.0 * mean), float)


def shared_curve(band: Band, offset: Values, blur_px: float) -> Curve:
    """Return levels and blur of the curve that all sectors' pixels lie on.

    Fitted to the means of bins 0.2 px wide, each pixel moved by its sector's offset.

    Raises
    ------
    NotEnough : there is no step
    """
    place = band.distance - offset
    reach = float(np.abs(band.distance).max())
    bins = math.ceil(2 * reach / BIN_PX)
    which = np.clip(((place + reach) / BIN_PX).astype(int), 0, bins - 1)
    kept = np.abs(place) <= reach
    total = np.bincount(which[kept], minlength=bins)
    lights = np.bincount(which[kept], band.light[kept], bins) / np.maximum(total, 1)
    middles = (np.arange(bins) + 0.5) * BIN_PX - reach
    full = total >= 8
    if full.sum() < 10:
        raise NotEnough("too few pixels show the edge")
    weights = np.sqrt(total[full].astype(float))
    return fitted_curve(
        np.asarray(middles[full], float), np.asarray(lights[full], float), weights, blur_px
    )


def fitted_curve(place: Values, light: Values, weight: Values, blur_px: float) -> Curve:
    """Return the curve through binned light, cut off at white where it is burnt out.

    A tail is told only where the curve fits clearly better with one.
    """
    low, high = ends_of(light)
    if abs(high - low) < LEAST_STEP:
        raise NotEnough(NO_EDGE)
    cut = max(low, high) > WHITE

    def misses(numbers: Values) -> Values:
        inner, outer, blur, shift, tail = (*numbers, 0.0)[:5]
        rise = step_curve(place - shift, abs(blur) + LEAST_BLUR_PX, tail)
        model = inner + (outer - inner) * rise
        model = np.minimum(model, 1.0) if cut else model
        return np.asarray((model - light) * weight / weight.mean(), float)

    start = np.array([low, high, blur_px, 0.0])
    if cut:
        start[0 if low > high else 1] = FIRST_WHITE
    answer = least_squares(misses, start, loss="soft_l1", f_scale=0.02)
    if cut:
        tailed = least_squares(misses, [*answer.x, FIRST_TAIL], loss="soft_l1", f_scale=0.02)
        answer = tailed if tailed.cost < CLEARLY_BETTER * answer.cost else answer
    inner, outer, blur, _, tail = (*(float(each) for each in answer.x), 0.0)[:5]
    if abs(outer - inner) < LEAST_STEP:
        raise NotEnough(NO_EDGE)
    return Curve(
        inner=inner,
        outer=outer,
        blur_px=abs(blur) + LEAST_BLUR_PX,
        cut=cut,
        tail=tail,
        seen_blur_px=visible_width(place, light) / WIDTH_TO_BLUR,
        crest_px=crest_width(place, light),
    )


def ends_of(light: Values) -> tuple[float, float]:
    """Return the level of the innermost bins and that of the outermost."""
    return float(light[:5].mean()), float(light[-5:].mean())


def crest_width(place: Values, light: Values) -> float:
    """Return the light above the bright side as a width of the step (px)."""
    low, high = ends_of(light)
    above = np.maximum(light - max(low, high) - CREST * abs(high - low), 0.0)
    return float(np.trapezoid(above, place)) / abs(high - low)


def visible_width(place: Values, light: Values) -> float:
    """Return how far apart a fifth and four fifths of the visible step are (px)."""
    low, high = ends_of(light)
    share = np.maximum.accumulate((light - low) / (high - low))
    first, last = (float(np.interp(level, share, place)) for level in (0.2, 0.8))
    return max(last - first, 0.1)


def sector_offsets(
    band: Band, sector: NDArray[np.intp], offset: Values, curve: Curve
) -> tuple[Values, NDArray[np.bool_]]:
    """Return each sector's offset (px), and whether an edge was found there.

    Gauss-Newton on offset and both levels of each sector; only the offset where the curve is cut.
    """
    count, reach = len(offset), float(np.abs(band.distance).max())
    step = curve.outer - curve.inner
    for _ in range(ROUNDS):
        place = band.distance - offset[sector]
        rise = step_curve(place, curve.blur_px, curve.tail)
        slope = step_slope(place, curve.blur_px, curve.tail)
        if curve.cut:
            model = curve.inner + step * rise
            seen = (model < 1.0) | (band.light < WHITE)
            miss = np.where(seen, band.light - np.minimum(model, 1.0), 0.0)
            move = np.where(model < 1.0, step * slope, 0.0)
            top = np.bincount(sector, move * miss, count)
            bottom = np.bincount(sector, move * move, count)
            offset = offset + np.clip(top / np.maximum(bottom, 1e-9), -1, 1)
        else:
            levels = three_unknowns(
                sector, np.stack([np.ones_like(rise), rise, slope]), band.light, count
            )
            with np.errstate(divide="ignore", invalid="ignore"):
                change = levels[:, 2] / levels[:, 1]
            offset = offset + np.clip(np.nan_to_num(change), -1, 1)
        offset = np.clip(offset, -reach, reach)
    return offset, found(band, sector, offset, curve)


def three_unknowns(sector: NDArray[np.intp], basis: Values, light: Values, count: int) -> Values:
    """Return the three factors of each sector by least squares, shape (count, 3)."""
    square = np.empty((count, 3, 3))
    right = np.empty((count, 3))
    for one in range(3):
        right[:, one] = np.bincount(sector, basis[one] * light, count)
        for other in range(3):
            square[:, one, other] = np.bincount(sector, basis[one] * basis[other], count)
    square += np.eye(3) * 1e-9
    return np.asarray(np.linalg.solve(square, right[:, :, None])[:, :, 0], float)


def found(band: Band, sector: NDArray[np.intp], offset: Values, curve: Curve) -> NDArray[np.bool_]:
    """Return whether each sector shows the edge: a step the right way, at least a third as high."""
    count, reach = len(offset), float(np.abs(band.distance).max())
    place = band.distance - offset[sector]
    near = np.abs(place) > curve.blur_px
    first, last = (
        sector_means(band.light[side], sector[side], count)
        for side in (near & (place < 0), near & (place > 0))
    )
    sign = 1.0 if curve.outer > curve.inner else -1.0
    step = (last - first) * sign
    typical = float(np.median(step[step > 0])) if (step > 0).any() else 0.0
    high_enough: NDArray[np.bool_] = step > max(LEAST_SHARE * typical, LEAST_STEP)
    return high_enough & (np.abs(offset) < 0.9 * reach)
