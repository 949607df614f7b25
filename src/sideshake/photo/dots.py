"""The card found in a photograph: which dot is which, and where each middle lies.

Found on the small copy: dark round blobs on bright ground, then the two rings among them, then the
three larger dots. Each middle is then taken at full size, as the centre of gravity of its ink.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from sideshake.core.errors import NotEnough
from sideshake.photo.card import DOT as DOT_RADIUS
from sideshake.photo.card import DOTS_A_RING, INNER_RING, LARGE_DOT, OUTER_RING, ScaleCardSize, dots
from sideshake.photo.ellipse import Ellipse, direct_ellipse
from sideshake.photo.find import circles_through
from sideshake.photo.light import LightPhotograph, Patch

Values = NDArray[np.float64]

INK = 0.5
"""A dot is darker than this share of the paper round it."""
LEAST_AREA_PX = 9
ROUND = 0.8, 1.25
"""Area over that of the ellipse with the same moments."""
LONGEST = 1.9
"""Length over width of a dot that is seen askew."""
MOST_AREA = 1 / 200
"""Of the picture: a larger dot of a card that just fills a square picture takes 1 / 309."""
MOST_BLOBS = 600
ENOUGH_PX = 20
"""A dot of this radius has pixels enough; of larger ones several are averaged."""
LEAST_BLUR_PX = 0.3
TRIALS = 3000
LEAST_DOTS = 30
ALIKE = 0.85
"""How well the dots' angles keep step, 0 to 1."""
NOT_FOUND = (
    "no card is found: both rings of dots must be in the picture, sharp and evenly lit, and the "
    "card flat; or give another scale, a pin of known size or two points on a rule"
)
MIRRORED = "the photograph is mirrored, as the card shows: switch mirroring off, or turn it back"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenCard:
    """A card in a photograph.

    Parameters
    ----------
    size : which of the three
    which : shape (n,), the dots found, as numbers in `card.dots`
    middles : shape (n, 2), where their middles lie, px
    dot_blur_px : blur of the dots' edges, px; what is sharp in the card's plane is this blurred
    """

    size: ScaleCardSize
    which: NDArray[np.intp]
    middles: Values
    dot_blur_px: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Blobs:
    """Dark round blobs: middles, shape (n, 2), and areas, in one patch's pixels."""

    middles: Values
    areas: Values


def find_card(photo: LightPhotograph) -> SeenCard:
    """Return the card in a photograph.

    Raises
    ------
    NotEnough : there is none, it is mirrored, or too few of its dots are seen
    """
    small = photo.small()
    blobs = dark_blobs(small)
    outer = outer_ring(blobs)
    size, which, places = named(blobs, outer)
    rough = small.whole_xy(places)
    unit_px = outer.r / OUTER_RING * small.step
    return refined(photo, size, which, rough, unit_px)


def dark_blobs(small: Patch) -> Blobs:
    """Return the dark round blobs of a picture that stand on bright ground."""
    light = small.light
    reach = max(light.shape) // 20 * 2 + 1
    paper = ndimage.maximum_filter(ndimage.uniform_filter(light, 3), reach // 2)
    paper = ndimage.uniform_filter(paper, reach)
    labels, count = ndimage.label(light < INK * paper)
    if count == 0:
        raise NotEnough(NOT_FOUND)
    flat = labels.ravel()
    areas = np.bincount(flat, minlength=count + 1)[1:].astype(float)
    rows, columns = np.divmod(np.arange(flat.size), light.shape[1])
    sums = [
        np.bincount(flat, weights, count + 1)[1:] / areas
        for weights in (columns, rows, columns * columns, rows * rows, columns * rows)
    ]
    x, y = sums[0], sums[1]
    xx, yy, xy = sums[2] - x * x + 1 / 12, sums[3] - y * y + 1 / 12, sums[4] - x * y
    turned = np.sqrt(((xx - yy) / 2) ** 2 + xy**2)
    long, short = (xx + yy) / 2 + turned, np.maximum((xx + yy) / 2 - turned, 1e-6)
    share = areas / (4 * np.pi * np.sqrt(long * short))
    kept = (areas >= LEAST_AREA_PX) & (share > ROUND[0]) & (share < ROUND[1])
    kept &= (long / short < LONGEST**2) & (areas < MOST_AREA * light.size)
    chosen = np.flatnonzero(kept)
    chosen = chosen[np.argsort(-areas[chosen])][:MOST_BLOBS]
    return Blobs(middles=np.column_stack([x, y])[chosen], areas=areas[chosen])


def outer_ring(blobs: Blobs) -> Ellipse:
    """Return the outer ring of dots as an ellipse, in the patch's pixels.

    Circles through three blobs of like size are counted out: how many blobs lie on it, and on the
    ring that belongs to it (RANSAC, Fischler and Bolles 1981).
    """
    count = len(blobs.areas)
    if count < LEAST_DOTS:
        raise NotEnough(NOT_FOUND)
    random = np.random.default_rng(23)
    three = random.integers(0, count, (3, TRIALS))
    sizes = blobs.areas[three]
    alike = sizes.max(axis=0) < 2.0 * sizes.min(axis=0)
    middles, radii = circles_through(blobs.middles[three[:, alike]])
    good = np.isfinite(radii) & (radii > 10) & (radii < 1e4)
    middles, radii, sizes = middles[good], radii[good], sizes[:, alike][:, good].mean(axis=0)
    if len(radii) == 0:
        raise NotEnough(NOT_FOUND)
    share = np.linalg.norm(blobs.middles[None] - middles[:, None], axis=2) / radii[:, None]
    size = np.sqrt(blobs.areas / np.pi)[None] / radii[:, None]
    fits = (size > 0.6 * DOT_RADIUS / INNER_RING) & (size < 1.5 * LARGE_DOT / INNER_RING)
    ratio = OUTER_RING / INNER_RING
    on_inner = (np.abs(share - 1) < 0.06) & fits
    on_outer = (np.abs(share / ratio - 1) < 0.06) & fits
    score = on_inner.sum(axis=1) + on_outer.sum(axis=1)
    best = int(np.argmax(score))
    if score[best] < LEAST_DOTS or on_outer[best].sum() < 8:
        raise NotEnough(NOT_FOUND)
    return direct_ellipse(blobs.middles[on_outer[best]])


def named(blobs: Blobs, outer: Ellipse) -> tuple[ScaleCardSize, NDArray[np.intp], Values]:
    """Return the card's size, which dots the blobs are, and where they lie in the patch."""
    back = np.linalg.inv(outer.stretch)
    x, y = ((blobs.middles - (outer.x, outer.y)) @ back).T
    reach, angle = np.hypot(x, y), np.arctan2(-y, x)
    size = np.sqrt(blobs.areas / np.pi) / outer.r * OUTER_RING
    dot_like = (size > 0.6 * DOT_RADIUS) & (size < 1.4 * LARGE_DOT)
    on_outer = (np.abs(reach - 1) < 0.06) & dot_like
    on_inner = (np.abs(reach * OUTER_RING / INNER_RING - 1) < 0.06) & dot_like
    step = 2 * np.pi / DOTS_A_RING
    phase = np.exp(1j * DOTS_A_RING * angle[on_outer]).mean()
    if abs(phase) < ALIKE or on_inner.sum() < 10:
        raise NotEnough(NOT_FOUND)
    start = float(np.angle(phase)) / DOTS_A_RING
    outer_number = np.round((angle[on_outer] - start) / step).astype(int) % DOTS_A_RING
    inner_number = np.round((angle[on_inner] - start) / step - 0.5).astype(int) % DOTS_A_RING
    typical = float(np.median(size[on_outer]))
    large = outer_number[size[on_outer] > typical * np.sqrt(LARGE_DOT / DOT_RADIUS)]
    card, first = how_it_lies(np.unique(large))
    which = np.concatenate(
        [
            (inner_number - first) % DOTS_A_RING,
            (outer_number - first) % DOTS_A_RING + DOTS_A_RING,
        ]
    )
    places = np.concatenate([blobs.middles[on_inner], blobs.middles[on_outer]])
    kept = np.array([np.flatnonzero(which == number)[0] for number in np.unique(which)])
    return card, which[kept], places[kept]


def how_it_lies(large: NDArray[np.intp]) -> tuple[ScaleCardSize, int]:
    """Return the card's size, and the number of its first dot, from the larger dots' numbers.

    Raises
    ------
    NotEnough : not three larger dots, in steps of no card, or mirrored
    """
    if len(large) != 3:
        raise NotEnough(NOT_FOUND)
    steps = tuple(int(each) for each in np.diff([*large, large[0] + DOTS_A_RING]))
    for turn in range(3):
        turned = steps[turn:] + steps[:turn]
        for size in ScaleCardSize:
            if turned == size.steps:
                return size, int(large[turn])
            if turned == size.steps[::-1]:
                raise NotEnough(MIRRORED)
    raise NotEnough(NOT_FOUND)


def refined(
    photo: LightPhotograph,
    size: ScaleCardSize,
    which: NDArray[np.intp],
    rough: Values,
    unit_px: float,
) -> SeenCard:
    """Return the card with each dot's middle taken at full size; dots cut off are left out."""
    drawn = dots(size)
    middles: list[tuple[float, float]] = []
    kept: list[int] = []
    blurs: list[float] = []
    for number, (x, y) in zip(which.tolist(), rough.tolist(), strict=True):
        radius_px = drawn[number].radius_mm / (size.value / 2) * unit_px
        found = dot_middle(photo, (x, y), radius_px)
        if found is not None:
            kept.append(number)
            middles.append((found[0], found[1]))
            blurs.append(found[2])
    if len(kept) < LEAST_DOTS:
        raise NotEnough(NOT_FOUND)
    return SeenCard(
        size=size,
        which=np.array(kept),
        middles=np.array(middles),
        dot_blur_px=float(np.median(blurs)),
    )


def dot_middle(
    photo: LightPhotograph, at: tuple[float, float], radius_px: float
) -> tuple[float, float, float] | None:
    """Return x and y of a dot's centre of gravity and the blur of its edge; None if cut off.

    The paper is a plane through what lies round the dot; ink counts from 0 to 1. The blur is that
    of a step whose covered-to-bare stretch holds as much half-covered area round the dot.
    """
    x, y = at
    reach = 1.9 * radius_px + 2
    if min(x, y, photo.width_px - 1 - x, photo.height_px - 1 - y) < reach:
        return None
    step = max(1, int(radius_px / ENOUGH_PX))
    box = photo.around(x, y, reach)
    patch = photo.strip(box) if step == 1 else photo.coarse(box, step)
    index_y, index_x = (np.asarray(each, float) for each in np.indices(patch.light.shape))
    columns, rows = index_x * step + patch.left, index_y * step + patch.top
    far = np.hypot(columns - x, rows - y)
    paper = (far > 1.4 * radius_px + 1) & (far < reach)
    basis = np.column_stack([np.ones(int(paper.sum())), columns[paper], rows[paper]])
    ground_light = patch.light[paper].astype(float)
    plane: Values = np.linalg.lstsq(basis, ground_light, rcond=None)[0]
    ground = plane[0] + plane[1] * columns + plane[2] * rows
    dark = float(np.median(patch.light[far < 0.5 * radius_px]))
    if not dark < 0.7 * float(np.median(ground)):
        return None
    ink = np.clip((ground - patch.light) / (ground - dark), 0.0, 1.0)
    for _ in range(3):
        weight = ink * (np.hypot(columns - x, rows - y) < 1.4 * radius_px + 1)
        x = float((weight * columns).sum() / weight.sum())
        y = float((weight * rows).sum() / weight.sum())
    half = step**2 * float((4 * weight * (1 - weight)).sum()) / (2 * np.pi * radius_px)
    blur_px = math.sqrt(max((half / HALF_COVERED) ** 2 - (step**2 - 1) / 12, LEAST_BLUR_PX**2))
    return x, y, blur_px


HALF_COVERED = 4 / np.sqrt(np.pi)
"""Integral of 4 c (1 - c) across a step of blur 1, c its normal distribution: 4 / root pi."""
