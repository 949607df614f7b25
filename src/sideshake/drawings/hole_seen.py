"""A hole as it was seen: the drawn edge over the photograph at 1:1, and the rim's deviations."""

import math

import numpy as np
from numpy.typing import NDArray

from sideshake.drawings.photo_crop import crop_round, page
from sideshake.drawings.style import BRASS, FADED, FIGURES, INK, RUBY, RULE, SERIF
from sideshake.photo.ellipse import Ellipse
from sideshake.photo.hole import HoleSeen
from sideshake.photo.light import LightPhotograph

MARGIN = 0.35
"""Picture round the hole, over its radius."""
ENLARGE_TO_PX = 640
RING = 200.0
"""Radius of the even ring in the picture of deviations, px."""
HIGHEST = 60.0
STEPS_UM = (0.5, 1, 2, 5, 10, 20, 50, 100, 200)


def edge_picture(photo: LightPhotograph, hole: HoleSeen) -> str:
    """Return the photograph round the hole, each pixel one or a whole number of steps large (SVG).

    The ellipse is brass, each edge point that was believed a dot; those left out are ruby crosses.
    """
    ellipse = hole.rim.fit.ellipse
    middle = (ellipse.x, ellipse.y)
    crop = crop_round(photo, middle, ellipse.long * (1 + MARGIN), to_px=ENLARGE_TO_PX, whole=True)
    body = [
        crop.image(),
        f'<path d="{path(crop.shown(outline(ellipse)))}" fill="none" stroke="{BRASS}" '
        'stroke-width="1.2"/>',
        *marks(crop.shown(hole.rim.points), hole.rim.fit.weights),
    ]
    title = f"The rim as it was seen, {crop.zoom:g} : 1; dots: edge points, crosses: left out"
    return page(body, crop.wide, crop.high, title)


def deviations_picture(hole: HoleSeen) -> str:
    """Return the rim's deviations from the ellipse blown up round a ring (SVG).

    An even grain is noise; two hills and two hollows are an oval that the ellipse did not take; a
    single hill is a burr or a notch.
    """
    weights = hole.rim.fit.weights
    believed = weights > 0
    off_um = 1000 * hole.off_mm
    largest = float(np.abs(off_um[believed]).max())
    step_um = next((each for each in STEPS_UM if each >= largest), largest)
    scale = HIGHEST / step_um
    _, angles, _ = hole.rim.fit.ellipse.seen(hole.rim.points)
    size = 2 * (RING + HIGHEST) + 40
    middle = size / 2
    reach = RING + scale * np.clip(off_um, -1.3 * step_um, 1.3 * step_um)
    places = np.column_stack([middle + reach * np.cos(angles), middle + reach * np.sin(angles)])
    rings = [
        f'<circle cx="{middle:g}" cy="{middle:g}" r="{RING + level * HIGHEST:g}" fill="none" '
        f'stroke="{colour}" stroke-width="0.8"/>'
        for level, colour in ((-1, RULE), (0, INK), (1, RULE))
    ]
    words = (
        f'<text x="{middle:g}" y="{middle - 4:g}" text-anchor="middle" font-family="{SERIF}" '
        f'font-size="15" fill="{INK}">rings {step_um:g} µm apart</text>'
        f'<text x="{middle:g}" y="{middle + 18:g}" text-anchor="middle" font-family="{FIGURES}" '
        f'font-size="13" fill="{FADED}">drawn {scale * hole.mm_a_pixel * 1000 / zoomed(hole):.0f} '
        "times enlarged against the hole</text>"
    )
    title = "How far each edge point lies off the ellipse"
    return page([*rings, words, *marks(places, weights)], size, size, title)


def zoomed(hole: HoleSeen) -> float:
    """Return how many px of the ring are one pixel of the photograph."""
    return RING / hole.rim.fit.ellipse.r


def marks(places: NDArray[np.float64], weights: NDArray[np.float64]) -> list[str]:
    """Return a dot for each point believed, a cross for each left out."""
    return [
        f'<circle cx="{x:.2f}" cy="{y:.2f}" r="1.4" fill="{INK}"/>'
        if weight > 0
        else f'<path d="M{x - 3:.2f} {y - 3:.2f}l6 6m0 -6l-6 6" stroke="{RUBY}" fill="none"/>'
        for (x, y), weight in zip(places.tolist(), weights.tolist(), strict=True)
        if math.isfinite(x + y)
    ]


def outline(ellipse: Ellipse) -> NDArray[np.float64]:
    """Return places round an ellipse, near enough to be drawn as a line."""
    return ellipse.points(np.linspace(0, 2 * np.pi, 181))


def path(points: NDArray[np.float64]) -> str:
    """Return a closed line through points."""
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points) + "Z"
