"""A hole measured in a photograph: size, oval, which way it wore, and how well each is known.

The one function for command and page is `measure_hole`.
"""

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.photo.budget import Share, UncertaintyCause, shares_of, size_u_mm
from sideshake.photo.card import ScaleCardSize
from sideshake.photo.ellipse import Ellipse, Fitted, direct_ellipse, fitted
from sideshake.photo.light import LightPhotograph
from sideshake.photo.refusal import (
    require_a_camera_picture,
    require_an_ellipse,
    require_not_the_window,
    require_square,
    require_whole_rim,
)
from sideshake.photo.scale import Scale, Scaled, scaled
from sideshake.photo.trace import Coding, Traced, require_round, trace

Values = NDArray[np.float64]

REAL = 0.99
"""An oval is told as real from this probability on."""
HALF_TURN = 180.0


class SeenSide(Enum):
    """From which side the part is seen."""

    BRIDGE = "bridge"
    PLATE = "plate"


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoView:
    """How a photograph is to be read.

    Parameters
    ----------
    side : from which side the part is seen; directions are always told as from the bridge
    turned_deg : how far the part is turned counter-clockwise in the picture from lying with its
        12 o'clock up
    rounded : whether the rim is rounded, chamfered or sunk, as far as the eye can tell
    outline : measure a thing (a pin, a coin), no hole
    coding : how the picture codes light
    """

    side: SeenSide = SeenSide.BRIDGE
    turned_deg: float = 0.0
    rounded: bool = False
    outline: bool = False
    coding: Coding = Coding.CAMERA

    def __post_init__(self) -> None:
        if not (math.isfinite(self.turned_deg) and abs(self.turned_deg) <= 360):
            raise InputError(f"a part is turned by -360 to 360 degrees, got {self.turned_deg}")

    def towards_deg(self, picture_deg: float) -> float:
        """Return a direction on the part, 0 to 360, from its direction in the picture.

        Degrees from 3 o'clock, counter-clockwise, seen from the bridge.

        Examples
        --------
        >>> plate = PhotoView(side=SeenSide.PLATE)
        >>> PhotoView(turned_deg=30).towards_deg(10), plate.towards_deg(40)
        (340.0, 140.0)
        """
        seen = picture_deg - self.turned_deg
        return (seen if self.side is SeenSide.BRIDGE else HALF_TURN - seen) % (2 * HALF_TURN)

    def part_deg(self, picture_deg: float) -> float:
        """Return the direction of an axis on the part, 0 to 180: either way along it is one.

        Examples
        --------
        >>> PhotoView(turned_deg=30).part_deg(40), PhotoView(turned_deg=30).part_deg(10)
        (10.0, 160.0)
        """
        return self.towards_deg(picture_deg) % HALF_TURN


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleOval:
    """How far from round: the pair of the second harmonic of the radius, in the picture's axes.

    Parameters
    ----------
    p_mm, q_mm : of the radius, along the picture's right (counter-clockwise) and 45 degrees on
    covariance : shape (2, 2), mm squared, all causes
    edge_u_mm : the part of it that a new photograph draws anew, of either
    chance : the probability that it is real, and no scatter of the edge
    """

    p_mm: float
    q_mm: float
    covariance: Values
    edge_u_mm: float
    chance: float

    @property
    def real(self) -> bool:
        """Return whether it is told as real."""
        return self.chance >= REAL

    @property
    def amplitude_mm(self) -> Measured:
        """Return by how much the long semi-axis is longer than the mean; scatter taken out."""
        size = math.hypot(self.p_mm, self.q_mm)
        trace_mm2 = float(np.trace(self.covariance))
        freed = math.sqrt(max(size**2 - trace_mm2, 0.0))
        if freed == 0.0:
            return Measured(0.0, math.sqrt(float(np.linalg.eigvalsh(self.covariance)[1])))
        way = np.array([self.p_mm, self.q_mm]) / size
        return Measured(freed, math.sqrt(float(way @ self.covariance @ way)))

    @property
    def picture_deg(self) -> Measured:
        """Return the long axis's direction in the picture, counter-clockwise from its right."""
        size = math.hypot(self.p_mm, self.q_mm)
        across = np.array([-self.q_mm, self.p_mm]) / max(size, 1e-12)
        sway = math.sqrt(float(across @ self.covariance @ across)) / max(size, 1e-12)
        middle = math.degrees(0.5 * math.atan2(self.q_mm, self.p_mm)) % HALF_TURN
        return Measured(middle, min(math.degrees(0.5 * sway), HALF_TURN / math.sqrt(12)))


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleSeen:
    """A hole (or pin, or coin) as measured in a photograph.

    Parameters
    ----------
    mean_mm : diameter of the ellipse of least squares, on the mean of its axes
    oval : None where the picture cannot tell it (light from behind)
    budget : what each cause adds
    behind : whether light comes through the hole
    rim : the edge as traced, in the picture's pixels
    off_mm : shape (n,), how far each edge point lies outside the ellipse
    mm_a_pixel, tilt_deg, card : of the scale; None where not known
    """

    mean_mm: Measured
    oval: HoleOval | None
    budget: tuple[Share, ...]
    view: PhotoView
    behind: bool
    rim: Traced
    off_mm: Values
    mm_a_pixel: float
    tilt_deg: float | None
    card: ScaleCardSize | None

    @property
    def long_mm(self) -> Measured:
        """Return the long axis; the mean diameter where no oval is told."""
        return self.mean_mm if self.oval_mm is None else axes_of(self.mean_mm, self.oval_mm)[0]

    @property
    def short_mm(self) -> Measured:
        """Return the short axis; the mean diameter where no oval is told."""
        return self.mean_mm if self.oval_mm is None else axes_of(self.mean_mm, self.oval_mm)[1]

    @property
    def oval_mm(self) -> Measured | None:
        """Return the long axis less the short one."""
        if self.oval is None:
            return None
        more = self.oval.amplitude_mm
        return Measured(4 * more.value, 4 * more.u)

    @property
    def direction_deg(self) -> Measured | None:
        """Return where the long axis lies on the part, 0 to 180; None unless the oval is real."""
        if self.oval is None or not self.oval.real:
            return None
        seen = self.oval.picture_deg
        return Measured(self.view.part_deg(seen.value), seen.u)

    @property
    def blur_mm(self) -> float:
        """Return the blur of the rim (standard deviation)."""
        return self.rim.curve.blur_px * self.mm_a_pixel

    @property
    def lost(self) -> float:
        """Return the share of the rim that was not seen or not believed."""
        return self.rim.lost


def axes_of(mean_mm: Measured, oval_mm: Measured) -> tuple[Measured, Measured]:
    """Return the long axis and the short one: half the oval above the mean and below.

    Examples
    --------
    >>> [axis.value for axis in axes_of(Measured(2.0, 0.003), Measured(0.1, 0.008))]
    [2.05, 1.95]
    """
    u_mm = math.hypot(mean_mm.u, oval_mm.u / 2)
    half_mm = oval_mm.value / 2
    return Measured(mean_mm.value + half_mm, u_mm), Measured(mean_mm.value - half_mm, u_mm)


def measure_hole(
    photo: LightPhotograph,
    at_px: tuple[float, float],
    scale: Scale,
    *,
    view: PhotoView | None = None,
    start: Ellipse | None = None,
) -> HoleSeen:
    """Return a hole as measured in a photograph, every figure with its uncertainty.

    Parameters
    ----------
    photo : a decoded photograph
    at_px : a place inside the hole, px (`LightPhotograph.at` tells it from hundredths)
    scale : what tells millimetres from pixels
    view : how the picture is to be read; the defaults of `PhotoView` if left out
    start : the rim to a few pixels, if the user has chosen another than the one found

    Raises
    ------
    InputError : the place lies outside the picture
    NotEnough : nothing can be measured; the sentence says why, and what to do

    References
    ----------
    GUM (JCGM 100:2008) for the budget; Hotelling (1931), Ann. Math. Stat. 2, 360 for the oval
    """
    view = view or PhotoView()
    photo.require_place(at_px)
    require_a_camera_picture(photo)
    rim = trace(photo, at_px, coding=view.coding, outline=view.outline, start=start)
    require_whole_rim(rim)
    require_an_ellipse(rim)
    require_round(rim)
    middle = (rim.fit.ellipse.x, rim.fit.ellipse.y)
    known_round = rim if view.outline else None
    by = scaled(photo, scale, middle, coding=view.coding, seen=known_round)
    behind = rim.bright_inside and not view.outline
    require_square(by, behind=behind)
    found = seen(rim, by, view, behind=behind)
    require_not_the_window(found.mean_mm.value, by)
    return found


def seen(rim: Traced, by: Scaled, view: PhotoView, *, behind: bool) -> HoleSeen:
    """Return the figures of a traced rim."""
    points_mm = by.to_mm(rim.points)
    fit = fitted(points_mm, direct_ellipse(points_mm[rim.fit.weights > 0]), believed=rim.believed)
    shares = shares_of(fit, rim, by, rounded=view.rounded, behind=behind)
    middle = (rim.fit.ellipse.x, rim.fit.ellipse.y)
    return HoleSeen(
        mean_mm=Measured(2 * fit.ellipse.r, size_u_mm(shares)),
        oval=None if behind else oval_of(fit, shares, by.right_rad(middle)),
        budget=shares,
        view=view,
        behind=behind,
        rim=rim,
        off_mm=fit.residuals,
        mm_a_pixel=by.mm_a_pixel,
        tilt_deg=None if by.tilt_rad is None else math.degrees(by.tilt_rad),
        card=by.card,
    )


def oval_of(fit: Fitted, shares: tuple[Share, ...], right_rad: float) -> HoleOval:
    """Return the pair of the second harmonic, turned into the picture's axes, and what it is worth.

    The chance is that of an F distribution: the scatter is itself estimated, from as many
    independent points as the rim is worth (Hotelling's T squared).
    """
    cosine, sine = math.cos(2 * right_rad), math.sin(2 * right_rad)
    turn = np.array([[cosine, sine], [-sine, cosine]])
    pair = turn @ fit.ellipse.numbers[3:]
    whole = turn @ sum(share.pair_mm2 for share in shares) @ turn.T
    edge = next(share for share in shares if share.cause is UncertaintyCause.EDGE)
    square = float(pair @ np.linalg.solve(whole, pair))
    freedom = max(fit.counted - 5.0, 2.0)
    return HoleOval(
        p_mm=float(pair[0]),
        q_mm=float(pair[1]),
        covariance=whole,
        edge_u_mm=math.sqrt(float(np.trace(edge.pair_mm2)) / 2),
        chance=float(stats.f.cdf(square / 2, 2, freedom)),
    )
