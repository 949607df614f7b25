"""The diameter over the tips: the tooth's outline with the blur along the rim taken back."""

import math

import numpy as np
from scipy import ndimage, optimize, special

from sideshake.core.quantities import Measured
from sideshake.photo.blob import Values
from sideshake.photo.comb import SAMPLES, Comb
from sideshake.photo.spread import spread
from sideshake.photo.unrolled import UnrolledRing, harmonics

ROOT_TAU = math.sqrt(2 * math.pi)
TIP_FROM = 0.55
"""Above this part of its height a tooth is its tip."""
EDGE_PX = 0.2
"""Where an edge lies between metal and ground is not known better (standard)."""
BLURS = (0.98, 1.05, 1.12)
"""The blur along the rim over the edge's: its middle was measured on drawn wheels, and half of what
the outer two change is the standard uncertainty."""
OF_SHARPENING = 0.1
"""Of what the sharpening adds, so much is not known at least (standard)."""


def tip_diameter(ring: UnrolledRing, comb: Comb) -> Measured:
    """Return the diameter of the circle through the whole teeth's tips, in pixels.

    The outline is a line integral, so only blur along the rim lowers a tip; it is taken back on
    the mean tooth, where noise is least.
    """
    teeth = np.median(comb.slots[comb.whole], axis=0)
    sign = -1.0 if ring.inside else 1.0
    pitch = 2 * np.pi * (ring.root + sign * teeth.max()) / comb.teeth
    seen = float(teeth.max())
    low, middle, high = (blur * ring.blur / pitch * SAMPLES for blur in BLURS)
    best = sharp_tip(teeth, middle)
    sharp = top_of(teeth, best)
    tops = [sharp, *(top_of(teeth, sharp_tip(teeth, blur, near=best)) for blur in (low, high))]
    near = teeth > 0.7 * teeth.max()
    offs = (comb.slots[comb.whole] - teeth)[:, near].mean(axis=1)
    oval = oval_left(comb.places[comb.whole], offs)
    scatter = spread(offs) / math.sqrt(comb.whole.sum())
    blurred = max(0.5 * (max(tops) - min(tops)), OF_SHARPENING * (sharp - seen))
    u = math.hypot(EDGE_PX, blurred, oval, scatter)
    u = math.hypot(u, 0.25 * ring.oval.squeeze * ring.root)
    return Measured(2 * (ring.root + sign * sharp), 2 * u)


def top_of(tooth: Values, tip: Values) -> float:
    """Return how high a tooth with this tip reaches."""
    return float(tooth.max()) * float(tip[0])


def sharp_tip(tooth: Values, blur: float, near: Values | None = None) -> Values:
    """Return the tip of a tooth, with a Gaussian blur taken back.

    The tip is taken as two straight flanks under a level land, any of which may have no length;
    blurred, each corner is the integral of the normal distribution.

    Parameters
    ----------
    tooth : shape (64,), its outline
    blur : the blur's standard deviation, in samples
    near : a tip close by, as is returned; without it, the best from four different ones is taken

    Returns
    -------
    shape (5,): its height over the outline's, where the land begins, how long it is, and the
    lengths of the flanks before and after it, in samples
    """
    most = float(tooth.max())
    rolled = np.roll(tooth, SAMPLES // 2 - int(np.argmax(tooth))) / most
    held = ndimage.binary_propagation(np.arange(SAMPLES) == SAMPLES // 2, mask=rolled > TIP_FROM)
    u = np.arange(SAMPLES)[held] - SAMPLES / 2

    def left_over(terms: Values) -> Values:
        high, left, land, before, after = terms
        rise = corner(u - left + before, blur) - corner(u - left, blur)
        fall = corner(u - left - land, blur) - corner(u - left - land - after, blur)
        left_off: Values = high * (rise / before - fall / after) - rolled[held]
        return left_off

    width = float(len(u))
    low, high = [0.9, -width, 0, 0.1, 0.1], [1.8, width, width, 4 * width, 4 * width]
    starts = [
        (1.02, -width / 4, width / 2, width / 2, width / 2),
        (1.2, 0.0, 0.5, width, width),
        (1.2, 1.0, 0.5, 2 * width, 0.5),
        (1.2, -1.0, 0.5, 0.5, 2 * width),
    ]
    fits = [
        optimize.least_squares(left_over, start, bounds=(low, high))
        for start in (starts if near is None else [near])
    ]
    return np.asarray(min(fits, key=lambda fit: float(fit.cost)).x, float)


def corner(u: Values, blur: float) -> Values:
    """Return the ramp max(u, 0) blurred by a Gaussian."""
    ramp: Values = u * special.ndtr(u / blur) + blur * np.exp(-0.5 * (u / blur) ** 2) / ROOT_TAU
    return ramp


def oval_left(places: Values, offs: Values) -> float:
    """Return how far the tips still run out from their circle, as a standard deviation."""
    if len(places) < 8:
        return float(np.std(offs))
    terms = np.linalg.lstsq(harmonics(places), offs)[0]
    return float(np.hypot(terms[3], terms[4])) / math.sqrt(2)
