"""Small makers of cases for the tests of wear."""

from sideshake.core.quantities import Measured
from sideshake.wear.barrel import Barrel, BarrelSide, BearingPair, Gap
from sideshake.wear.bearing import Bearing, Hole


def bearing(
    play,
    *,
    pivot=1.0,
    u=0.0,
    across=None,
    axis_deg=0.0,
    normal=None,
    room=None,
    thickness=None,
    mouths=(None, None),
):
    hole = Hole(
        long_mm=Measured(pivot + play, u),
        short_mm=None if across is None else Measured(pivot + across, u),
        long_axis_deg=axis_deg,
        mouth_in_mm=mouths[0] and Measured(pivot + mouths[0], u),
        mouth_out_mm=mouths[1] and Measured(pivot + mouths[1], u),
    )
    return Bearing(
        hole=hole,
        pivot_mm=Measured(pivot, u),
        normal_mm=normal,
        room_mm=room,
        thickness_mm=thickness and Measured(thickness),
    )


def gap(size, *, u=0.0, side=BarrelSide.ABOVE, name="bridge", direction_deg=None, height_mm=0.0):
    return Gap(
        name=name,
        side=side,
        gap_mm=Measured(size, u),
        radius_mm=Measured(5.5),
        direction_deg=direction_deg,
        height_mm=height_mm,
    )


def barrel(lower, upper, *, span=2.5, endshake=0.04, u=0.0, gaps=(), inner=None, shoulders=None):
    return Barrel(
        arbor=BearingPair(lower=lower, upper=upper, span_mm=Measured(span, u)),
        endshake_mm=Measured(endshake, u),
        gaps=tuple(gaps),
        inner=inner,
        shoulders=shoulders,
    )
