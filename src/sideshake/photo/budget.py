"""What each cause adds to the uncertainty of a size and of an oval measured in a photograph.

All are standard uncertainties (GUM): from the picture itself where it can tell (edge, scale, the
blur of the rim), from limits within which a thing surely lies where it cannot.
"""

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from sideshake.core.repeats import RECTANGLE
from sideshake.photo.ellipse import Fitted
from sideshake.photo.scale import HAND_TILT_RAD, Scaled, plane_shares
from sideshake.photo.trace import Traced

Values = NDArray[np.float64]

UNTOLD_TILT_U = (1.0 - math.cos(HAND_TILT_RAD)) / 2 * RECTANGLE
"""What leaning adds to a mean radius, over the radius, where nobody can tell how far it leans."""
PARALLEL_RAD = math.radians(1.0)
"""How far the hole's plane leans from the card's (a limit; our assumption)."""
CUT_KNOWN = 0.35
"""Of the step back from a burnt-out edge, as much is in doubt (a limit): behind the rings of the
outside check the edge moved by a third of it with the breadth of the band looked at."""
SHARP_MM = 0.001
"""Where on a sharp rim the edge is seen, to either side (a limit; our assumption)."""
ROUNDED_MM = 0.010
"""The same where the rim is said to be rounded (a limit; our assumption)."""
BEHIND_MM = 0.006
"""Light from behind shows the narrowest place of the whole thickness, not the rim: of 45 punched
rings the photograph differs from the coordinate machine by 10 to 30 um of diameter in 10."""
THICK_MM = 0.5
"""How thick what light comes through is (a limit; our assumption): its far rim is further away, and
a tilt hides some of it."""
CREST_SHIFT = 4.0
"""A shining line at the rim, narrower than the blur, draws the edge towards the dark side: by up to
3.5 times its light above the bright side, never more than the blur (learnt on drawn chamfers of 30
um under a ring of lamps: an assumption). A broader one is seen by itself and draws nothing."""
BLURRED = 1.15
"""A rim whose blur is this many times that of sharp edges beside it is rounded."""
SHARP_BLUR_PX = 1.0
"""Of a sharp edge, where no sharp edge is known in the picture."""


class UncertaintyCause(Enum):
    """A cause of uncertainty."""

    EDGE = "edge"
    SCALE = "scale"
    HEIGHT = "height"
    TILT = "tilt"
    LIGHT = "light"
    FORM = "form"


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """What one cause adds, as standard uncertainties.

    Parameters
    ----------
    size_mm : of the mean diameter
    pair_mm2 : shape (2, 2), covariance of the second harmonic of the radius
    """

    cause: UncertaintyCause
    size_mm: float
    pair_mm2: Values

    @property
    def oval_mm(self) -> float:
        """Return what it adds to the long axis less the short one."""
        return 4 * math.sqrt(float(np.trace(self.pair_mm2)) / 2)


def size_u_mm(shares: tuple[Share, ...]) -> float:
    """Return what all causes together add to the size; they are independent."""
    return math.hypot(*(share.size_mm for share in shares))


def shares_of(
    fit: Fitted, rim: Traced, by: Scaled, *, rounded: bool, behind: bool
) -> tuple[Share, ...]:
    """Return what each cause adds.

    Parameters
    ----------
    fit : the ellipse in millimetres
    """
    radius = fit.ellipse.r
    plane = plane_shares(by, rim.fit.ellipse)
    lines = radius * by.relative_u
    tilt = radius * tilt_u(by.tilt_rad)
    return (
        share(
            UncertaintyCause.EDGE, math.sqrt(float(fit.covariance[2, 2])), fit.covariance[3:, 3:]
        ),
        share(
            UncertaintyCause.SCALE,
            math.hypot(lines, math.sqrt(float(plane[0, 0]))),
            plane[1:, 1:] + np.diag([lines**2 / 2 if by.plane is not None else 0.0, 0.0]),
        ),
        share(UncertaintyCause.HEIGHT, radius * by.height_u),
        share(UncertaintyCause.TILT, tilt, np.eye(2) * (tilt**2 + (radius * by.shape_u) ** 2)),
        share(UncertaintyCause.LIGHT, light_mm(rim, by)),
        share(UncertaintyCause.FORM, form_mm(rim, by, rounded=rounded, behind=behind)),
    )


def share(cause: UncertaintyCause, radius_mm: float, pair_mm2: Values | None = None) -> Share:
    """Return a share from what it adds to the radius."""
    pair = np.zeros((2, 2)) if pair_mm2 is None else pair_mm2
    return Share(cause=cause, size_mm=2 * radius_mm, pair_mm2=pair)


def tilt_u(tilt_rad: float | None) -> float:
    """Return the standard uncertainty that leaning adds to the mean radius, over the radius.

    `tilt_rad` is how far from square was looked at, None where nobody can tell.
    A circle seen askew by t is narrower by 1 - cos t one way: half of it is mean, half harmonic.
    The harmonic points anywhere; p and q are given all of its variance each, for on drawn holes
    half of it held ovals in 38 of 43 cases only, and twice as much in 80 of 80. The card takes
    its own tilt t out; a hole that leans from the card by up to b, whichever way, is left with
    tan t times b times the cosine of the angle between (mean square 1/2), and b squared over 2.
    """
    if tilt_rad is None:
        return UNTOLD_TILT_U
    across = math.tan(tilt_rad) * PARALLEL_RAD / 2 * math.sqrt(0.5)
    return math.hypot(across, PARALLEL_RAD**2 / 4) * RECTANGLE


def light_mm(rim: Traced, by: Scaled) -> float:
    """Return what the camera's contrast curve and a burnt-out side may move the rim (mm).

    Where the scale is a round thing of the same kind, it moves both.
    """
    moved = rim.tone_px
    if by.known is not None and by.known.bright_inside == rim.bright_inside:
        moved -= by.known.tone_px * rim.fit.ellipse.r / by.known.fit.ellipse.r
    cut = CUT_KNOWN * rim.cut_px
    return math.hypot(moved, cut) * RECTANGLE * by.mm_a_pixel


def form_mm(rim: Traced, by: Scaled, *, rounded: bool, behind: bool) -> float:
    """Return how far from the rim proper the edge may have been seen (mm, of the radius).

    A pin or coin that looks out of round was seen askew, or a shadow was taken for its edge; off
    the picture's middle its side shows.
    """
    sharp_px = by.blur_px or SHARP_BLUR_PX
    wider = rim.curve.blur_px > BLURRED * sharp_px
    breadth_px = math.sqrt(rim.curve.blur_px**2 - sharp_px**2) if wider else 0.0
    own = math.hypot(rim.out_of_round, rim.side) if rim.outline else 0.0
    limits = (
        SHARP_MM,
        own * rim.fit.ellipse.r * by.mm_a_pixel,
        breadth_px * by.mm_a_pixel,
        ROUNDED_MM if rounded else 0.0,
        min(CREST_SHIFT * rim.curve.crest_px, sharp_px) * by.mm_a_pixel,
        behind_mm(rim, by) if behind else 0.0,
    )
    return max(limits) * RECTANGLE


def behind_mm(rim: Traced, by: Scaled) -> float:
    """Return by how much the narrowest place of the thickness may lie off the rim (mm, a limit).

    The far rim looks smaller by thickness over distance; looked at askew by t it is cut by its
    thickness times tan t, one way: a quarter of that is mean radius.
    """
    radius_mm = rim.fit.ellipse.r * by.mm_a_pixel
    tilt_rad = HAND_TILT_RAD if by.tilt_rad is None else by.tilt_rad + PARALLEL_RAD
    return math.hypot(
        BEHIND_MM, radius_mm * THICK_MM / by.distance_mm, THICK_MM * math.tan(tilt_rad) / 4
    )
