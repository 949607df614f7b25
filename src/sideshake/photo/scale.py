"""What tells millimetres from pixels: the card, a round thing of known size, two points."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.core.repeats import RECTANGLE
from sideshake.photo.askew import AWAY_TILT_RAD, RoundSeenAskew, elsewhere, lens_of
from sideshake.photo.card import Print, ScaleCardSize, dot_pitch_mm, places_mm
from sideshake.photo.dots import find_card
from sideshake.photo.ellipse import Ellipse
from sideshake.photo.light import LightPhotograph
from sideshake.photo.plane import Plane, fitted_plane
from sideshake.photo.trace import Coding, Traced, require_round, trace

Values = NDArray[np.float64]
Place = tuple[float, float]

LEVEL_MM = 0.1
"""How closely the card lies at the rim's height when it is shimmed as its text says (a limit)."""
LEVEL = Measured(0.0, LEVEL_MM * RECTANGLE)
NEAR_MM = 60.0
"""A telephone comes no closer; further away the card's height costs less."""
LEVEL_U = LEVEL.u / NEAR_MM
"""Standard uncertainty of the scale since what gives it lies as high as the part, near enough."""
HAND_TILT_RAD = math.radians(5.0)
"""How far from square a photograph is taken with care (a limit; our assumption)."""
POINT_PX = 3.0
"""How closely a point is pressed (a limit)."""
APART_U_PX = math.sqrt(2) * POINT_PX * RECTANGLE
"""Standard uncertainty of the distance between two pressed points."""
ROUND_FORM_MM = 0.002
LEAST_APART_PX = 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ByCard:
    """The card lies beside or round the part, at the height of its rim.

    Parameters
    ----------
    printed : how long its two lines came out
    above_mm : how much higher than the rim it lies
    distance_mm : from the lens to the card, at least
    """

    printed: Print
    above_mm: Measured = LEVEL
    distance_mm: float = NEAR_MM

    def __post_init__(self) -> None:
        if not self.distance_mm >= 10 or not abs(self.above_mm.value) < self.distance_mm / 10:
            raise InputError(
                f"the lens is at least 10 mm away, and ten times as far as the card lies off the "
                f"rim's height; got {self.distance_mm:g} mm and {self.above_mm.text()} mm"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class ByRound:
    """A pin, jewel, hole or coin of known diameter in the same photograph, pressed inside its rim.

    `outline` says that it is a thing (a pin, a coin), no hole.
    """

    at_px: Place
    diameter_mm: Measured
    outline: bool = False

    def __post_init__(self) -> None:
        if not self.diameter_mm.value > 0:
            raise InputError(f"a diameter is above 0, got {self.diameter_mm.text()} mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class ByPoints:
    """Two points pressed on a rule, and how far apart they are."""

    first_px: Place
    second_px: Place
    length_mm: Measured

    def __post_init__(self) -> None:
        if not (self.length_mm.value > 0 and self.apart_px >= LEAST_APART_PX):
            raise InputError(
                f"the two points must be {LEAST_APART_PX:.0f} pixels apart or more and their "
                f"distance above 0, got {self.apart_px:.0f} px and {self.length_mm.text()} mm"
            )

    @property
    def apart_px(self) -> float:
        """Return how many pixels lie between them."""
        return math.dist(self.first_px, self.second_px)


Scale = ByCard | ByRound | ByPoints


@dataclass(frozen=True, slots=True, kw_only=True)
class Scaled:
    """A scale as found in a photograph.

    Parameters
    ----------
    mm_a_pixel : at the hole, on the mean
    plane : of the card, where there is one
    card : its size
    factor : what sizes on the plane are multiplied by, since the card does not lie at the rim
    relative_u : standard uncertainty of the scale, but for height and tilt
    height_u : that of the card's height over the distance of the lens
    tilt_rad : how far from square was looked at, None where nobody can tell
    shape_u : standard uncertainty of a second harmonic over the radius where nobody can tell
    blur_px : of edges that are sharp, None where there are none
    known : the round thing of known size, where that is the scale
    distance_mm : from the lens, at least; infinite where it does not matter
    """

    mm_a_pixel: float
    plane: Plane | None = None
    card: ScaleCardSize | None = None
    factor: float = 1.0
    relative_u: float = 0.0
    height_u: float = 0.0
    tilt_rad: float | None = None
    shape_u: float = 0.0
    blur_px: float | None = None
    known: Traced | None = None
    distance_mm: float = math.inf

    def to_mm(self, places_px: Values) -> Values:
        """Return places in mm, x right and y up, shape (n, 2)."""
        if self.plane is None:
            return places_px * (self.mm_a_pixel, -self.mm_a_pixel)
        return self.plane.to_mm(places_px) * self.factor

    def right_rad(self, place_px: Place) -> float:
        """Return in which direction of the millimetres the picture's right lies."""
        if self.plane is None:
            return 0.0
        slope = self.plane.slope_at(place_px)
        return math.atan2(slope[1, 0], slope[0, 0])


def scaled(
    photo: LightPhotograph,
    scale: Scale,
    at: Place,
    *,
    coding: Coding = Coding.CAMERA,
    seen: Traced | None = None,
) -> Scaled:
    """Return the scale of a photograph at a place.

    Parameters
    ----------
    at : where something is to be measured, px
    seen : what is to be measured, if it is known to be round: its shape tells of the tilt

    Raises
    ------
    NotEnough : the card, or the round thing of known size, is not seen well enough
    """
    match scale:
        case ByCard():
            return scaled_by_card(photo, scale, at)
        case ByRound():
            known = traced_round(photo, scale, coding)
            return scaled_by_round(photo, scale, at, known=known, seen=seen)
        case ByPoints():
            return scaled_by_points(photo, scale, at)


def scaled_by_card(photo: LightPhotograph, scale: ByCard, at: Place) -> Scaled:
    """Return the scale that a card gives."""
    seen = find_card(photo)
    plane = fitted_plane(
        places_mm(seen.size, scale.printed)[seen.which],
        seen.middles,
        photo.size_px,
        pitch_mm=dot_pitch_mm(seen.size),
    )
    nearness = scale.above_mm.value / scale.distance_mm
    return Scaled(
        mm_a_pixel=math.sqrt(abs(float(np.linalg.det(plane.slope_at(at))))),
        plane=plane,
        card=seen.size,
        factor=1.0 + nearness,
        relative_u=scale.printed.relative_u,
        height_u=scale.above_mm.u / scale.distance_mm,
        tilt_rad=plane.tilt_rad(at),
        blur_px=seen.dot_blur_px,
        distance_mm=scale.distance_mm,
    )


def traced_round(photo: LightPhotograph, scale: ByRound, coding: Coding) -> Traced:
    """Return the rim of the round thing of known diameter.

    Raises
    ------
    NotEnough : it is not seen well enough, or not round
    """
    try:
        known = trace(photo, scale.at_px, coding=coding, outline=scale.outline)
        require_round(known)
    except NotEnough as fault:
        raise NotEnough(f"of the thing of known size {fault}") from None
    return known


def scaled_by_round(
    photo: LightPhotograph, scale: ByRound, at: Place, *, known: Traced, seen: Traced | None
) -> Scaled:
    """Return the scale that a round thing of known diameter gives; it is as high as the other."""
    ellipse, covariance = known.fit.ellipse, known.fit.covariance
    edge_u = math.sqrt(float(covariance[2, 2])) / ellipse.r
    form_u = RECTANGLE * math.hypot(
        ROUND_FORM_MM / scale.diameter_mm.value, known.out_of_round, known.side
    )
    diameter_u = scale.diameter_mm.u / scale.diameter_mm.value
    rounds = [
        RoundSeenAskew(ellipse=each.fit.ellipse, shape_u=each.shape_u)
        for each in (known, seen)
        if each
    ]
    lens = lens_of(photo.size_px)
    there = elsewhere(lens, (ellipse.x, ellipse.y), at, rounds)
    return Scaled(
        mm_a_pixel=scale.diameter_mm.value / (2 * ellipse.r) * there.factor,
        relative_u=math.hypot(edge_u, form_u, diameter_u, there.relative_u),
        height_u=LEVEL_U,
        shape_u=there.shape_u,
        blur_px=known.curve.blur_px,
        known=known,
    )


def scaled_by_points(photo: LightPhotograph, scale: ByPoints, at: Place) -> Scaled:
    """Return the scale that two points on a rule give: its doubt is that of pressing."""
    x, y = (float(each) for each in np.mean([scale.first_px, scale.second_px], axis=0))
    pressed_u = APART_U_PX / scale.apart_px
    length_u = scale.length_mm.u / scale.length_mm.value
    return Scaled(
        mm_a_pixel=scale.length_mm.value / scale.apart_px,
        relative_u=math.hypot(pressed_u, length_u, away_u(photo, at, (x, y))),
        height_u=LEVEL_U,
        shape_u=elsewhere(lens_of(photo.size_px), at, at, []).shape_u,
        distance_mm=NEAR_MM,
    )


def away_u(photo: LightPhotograph, at: Place, known_at: Place) -> float:
    """Return the relative doubt since the scale changes from place to place in a tilted picture.

    Along the tilt t a length d pixels further on is smaller by 2 d tan(t) / f, f the focal length;
    and off the middle by c pixels lengths differ by c tan(t) / 2 f from the mean of their place.
    """
    lens = lens_of(photo.size_px)
    moved = 2 * math.dist(at, known_at) + 0.5 * math.dist(known_at, lens.middle)
    return moved * math.tan(AWAY_TILT_RAD) / lens.focal_px * RECTANGLE


def plane_shares(scaled_by: Scaled, ellipse_px: Ellipse) -> Values:
    """Return the covariance of r, p and q (mm, along the card) that the plane's own doubt makes.

    Each of the plane's numbers is moved by itself; how the ellipse then grows and stretches is the
    slope of r, p and q (GUM 5.1.4, by differences).
    """
    plane = scaled_by.plane
    if plane is None:
        return np.zeros((3, 3))
    angles = np.arange(36) / 36 * 2 * np.pi
    rim = ellipse_px.points(angles)
    before = plane.to_mm(rim)
    steps = np.sqrt(np.diag(plane.covariance))
    slopes = np.empty((3, 9))
    centred = before - before.mean(axis=0)
    around = np.arctan2(centred[:, 1], centred[:, 0])
    for number in range(9):
        tried = plane.numbers.copy()
        tried[number] += steps[number]
        moved = plane.to_mm(rim, tried) - before
        moved -= moved.mean(axis=0)
        outwards = moved[:, 0] * np.cos(around) + moved[:, 1] * np.sin(around)
        slopes[:, number] = [
            outwards.mean(),
            2 * (outwards * np.cos(2 * around)).mean(),
            2 * (outwards * np.sin(2 * around)).mean(),
        ]
    slopes /= np.where(steps > 0, steps, 1.0)
    shares: Values = slopes @ plane.covariance @ slopes.T
    return shares
