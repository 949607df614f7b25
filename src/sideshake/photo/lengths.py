"""Lengths in pixels as millimetres, where a photograph has a scale."""

import math
from typing import overload

from sideshake.core.quantities import Measured


@overload
def scaled(length: Measured, mm_per_px: Measured) -> Measured: ...
@overload
def scaled(length: Measured, mm_per_px: Measured | None) -> Measured | None: ...
def scaled(length: Measured, mm_per_px: Measured | None) -> Measured | None:
    """Return a length in mm, None without a scale.

    Both uncertainties are independent (GUM 5.1.2).

    Examples
    --------
    >>> mm = scaled(Measured(300.0, 0.3), Measured(0.02, 0.0001))
    >>> mm.value, round(mm.u, 4)
    (6.0, 0.0306)
    """
    if mm_per_px is None:
        return None
    u = math.hypot(mm_per_px.value * length.u, length.value * mm_per_px.u)
    return Measured(length.value * mm_per_px.value, u)
