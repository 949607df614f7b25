"""When nothing is measured, and what to do about it: one sentence each."""

import numpy as np

from sideshake.core.errors import NotEnough
from sideshake.photo.kinds import PictureKind
from sideshake.photo.light import LightPhotograph
from sideshake.photo.scale import Scaled
from sideshake.photo.trace import Traced

PORTRAIT, PANORAMA = frozenset({7, 8}), frozenset({6})
"""EXIF tag 41985 as telephones use it (from memory, no source): the background is made soft, the
picture is sewn together."""
MESSENGER_PX = 2048
"""Messengers shrink to this or less, and take all EXIF away (common practice, no source)."""
MOST_OUTSIDE = 0.02
MOST_LOST = 0.3
MOST_LOST_AT_ONCE = 0.15
"""Of the rim in one piece: of an oval nothing is then known there."""
MOST_BLUR = 0.02
"""Over the diameter."""
LEAST_ACROSS_PX = 60
MOST_BURNT = 0.5
MOST_TILT_RAD, MOST_TILT_BEHIND_RAD = np.radians(10.0), np.radians(3.0)
MOST_OFF = 0.012
"""Of the points about the ellipse, over the radius (standard deviation)."""
MOST_ELSEWHERE = 0.06
NEAR_THE_WINDOW = 0.05
"""A window is cut by hand."""
FAR = 0.03
"""A found edge further off the ellipse than this share of the radius lies elsewhere."""


def require_a_camera_picture(photo: LightPhotograph) -> None:
    """Refuse pictures that are not as the camera saw them.

    Raises
    ------
    NotEnough : a messenger's copy, a portrait, a panorama
    """
    if photo.rendering in PORTRAIT:
        raise NotEnough(
            "the photograph was taken in portrait mode, which paints over edges: take it anew in "
            "the ordinary mode"
        )
    if photo.rendering in PANORAMA:
        raise NotEnough("the photograph is sewn together of several: take a single one")
    longest = max(photo.width_px, photo.height_px)
    if photo.kind is PictureKind.JPEG and not photo.from_camera and longest <= MESSENGER_PX:
        raise NotEnough(
            f"the photograph is a shrunk copy ({longest} pixels, no word of its camera), as "
            "messengers make them: send the original as a file, or bring it over by cable"
        )


def require_whole_rim(rim: Traced) -> None:
    """Refuse a rim that is cut off, small, blurred or burnt out.

    Raises
    ------
    NotEnough : with what to do
    """
    across = 2 * rim.fit.ellipse.r
    if rim.outside > MOST_OUTSIDE:
        raise NotEnough("the hole is cut off by the picture's edge: photograph it whole")
    if across < LEAST_ACROSS_PX:
        raise NotEnough(
            f"the hole is {across:.0f} pixels across, {LEAST_ACROSS_PX} are needed: go nearer, or "
            "put a loupe before the lens"
        )
    if rim.curve.blur_px > MOST_BLUR * across:
        raise NotEnough(
            f"the rim is blurred by {rim.curve.blur_px:.1f} pixels, "
            f"{100 * rim.curve.blur_px / across:.1f} % of the hole ({100 * MOST_BLUR:.0f} % is the "
            "most): focus on the rim, rest the camera on something"
        )
    if rim.burnt > MOST_BURNT and not rim.bright_inside:
        raise NotEnough(
            "the metal round the hole is burnt out: expose less (press on the bright metal before "
            "taking the picture), or soften the light"
        )


def require_an_ellipse(rim: Traced) -> None:
    """Refuse a rim of which too much is lost, or that is no ellipse.

    Raises
    ------
    NotEnough : with what to do
    """
    ellipse = rim.fit.ellipse
    elsewhere = (np.abs(rim.fit.residuals) > FAR * ellipse.r) & (rim.believed > 0)
    if rim.fit.scatter > MOST_OFF * ellipse.r or elsewhere.mean() > MOST_ELSEWHERE:
        raise NotEnough(
            "the rim is no ellipse (a keyhole, a notch, two holes in one, or another edge taken "
            "for the rim): press nearer to its middle, light it more evenly, or use a pin gauge"
        )
    gap = longest_gap(rim.fit.weights > 0)
    if rim.lost > MOST_LOST or gap > MOST_LOST_AT_ONCE:
        raise NotEnough(
            f"{100 * rim.lost:.0f} % of the rim is not seen, {100 * gap:.0f} % in one piece (oil, "
            f"glare, a burr or a notch); {100 * MOST_LOST:.0f} % and "
            f"{100 * MOST_LOST_AT_ONCE:.0f} % are the most: clean the hole and turn the light"
        )


def require_not_the_window(mean_mm: float, scale: Scaled) -> None:
    """Refuse the window of the card, taken for the hole.

    Raises
    ------
    NotEnough : with what to do
    """
    if scale.card is not None and abs(mean_mm / scale.card.value - 1.0) < NEAR_THE_WINDOW:
        raise NotEnough(
            f"the rim found is the card's window ({scale.card.value:g} mm), not the hole's: light "
            "the hole so that its rim stands out all round, and press nearer to its middle"
        )


def require_square(scale: Scaled, *, behind: bool) -> None:
    """Refuse a photograph that was taken too far from square.

    Raises
    ------
    NotEnough : with what to do
    """
    most = MOST_TILT_BEHIND_RAD if behind else MOST_TILT_RAD
    if scale.tilt_rad is not None and scale.tilt_rad > most:
        raise NotEnough(
            f"the camera looked {np.degrees(scale.tilt_rad):.0f}° askew at the card, "
            f"{np.degrees(most):.0f}° is the most: hold it square, until the card's window is round"
        )


def longest_gap(seen: np.typing.NDArray[np.bool_]) -> float:
    """Return the longest piece of the ring that is not seen, as a share of it.

    Examples
    --------
    >>> longest_gap(np.array([False, True, True, False]))
    0.5
    """
    if not seen.any():
        return 1.0
    turned = np.roll(seen, -int(np.argmax(seen)))
    places = np.append(np.flatnonzero(turned), len(seen))
    return float((np.diff(places) - 1).max()) / len(seen)
