"""A wheel or pivot in a whole photograph: looked for on a small copy, read where it lies."""

from dataclasses import replace

import numpy as np

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.blob import reduced
from sideshake.photo.lengths import scaled
from sideshake.photo.light import LightPhotograph, Patch
from sideshake.photo.pivot import Pivot, pivot
from sideshake.photo.wheel import CountedWheel, wheel

Place = tuple[float, float]

COPY_PX = 1600
ENOUGH_PX = 300.0
"""A wheel with so large a radius in the small copy is read there."""
NEAR_PX = 700.0
"""What is too small for the copy is looked for within so many pixels of the point pressed."""
ROOM = 1.4


def wheel_in(
    photo: LightPhotograph,
    at: Place,
    *,
    inside: bool = False,
    first: Place | None = None,
) -> CountedWheel:
    """Return the wheel round a pixel of a photograph; lengths in pixels of the whole photograph.

    `part_scale.wheel_scale` tells its scale. Parameters and errors are those of `wheel`.
    """
    photo.require_place(at)
    copy = photo.small(COPY_PX)
    try:
        found = looked(copy, at, inside=inside, first=first)
    except NotEnough as why:
        if copy.step == 1:
            raise
        near = photo.strip(photo.around(*at, NEAR_PX))
        try:
            found = looked(near, at, inside=inside, first=first)
        except NotEnough:
            raise why from None
    else:
        radius = 0.5 * found.tip_px.value
        if copy.step > 1 and radius < ENOUGH_PX * copy.step:
            middle = (found.oval.x, found.oval.y)
            near = photo.strip(photo.around(*middle, ROOM * radius))
            found = looked(smaller(near, radius), middle, inside=inside, first=first)
    return found


def looked(patch: Patch, at: Place, *, inside: bool, first: Place | None) -> CountedWheel:
    """Return the wheel in a piece of a photograph, in pixels of the whole."""
    own = None if first is None else patch.nearest(first)
    found = wheel(patch.light, patch.nearest(at), inside=inside, first=own)
    step = patch.step
    x, y = patch.whole_xy(np.array([found.oval.x, found.oval.y])).tolist()
    return replace(
        found,
        tip_px=scaled(found.tip_px, Measured(step)),
        root_px=step * found.root_px,
        oval=replace(found.oval, x=x, y=y),
        blur_px=step * found.blur_px,
    )


def smaller(patch: Patch, radius: float) -> Patch:
    """Return a piece in which a wheel of this radius is no larger than is needed."""
    by = max(int(radius / ENOUGH_PX), 1)
    shift = 0.5 * (by - 1)
    return Patch(
        light=reduced(patch.light, by), left=patch.left + shift, top=patch.top + shift, step=by
    )


def pivot_in(photo: LightPhotograph, at: Place) -> Pivot:
    """Return the pivot at a pixel of a photograph; `part_scale.pivot_scale` tells its scale.

    Errors are those of `pivot`.
    """
    photo.require_place(at)
    near = photo.strip(photo.around(*at, NEAR_PX))
    found = pivot(near.light, near.nearest(at))
    x, y = near.whole_xy(np.array(found.middle)).tolist()
    return replace(found, middle=(x, y))
