"""A barrel's bearings, leans and gaps as rows of a table, for a page or a command to show."""

import numpy as np

from sideshake.wear.barrel import Barrel
from sideshake.wear.bearing import Bearing, normal_play, ovality, side_shake
from sideshake.wear.draws import Lean
from sideshake.wear.measurements import Bench
from sideshake.wear.outlook import LOWER, OWN, UPPER, chance_worn, plays
from sideshake.wear.rubbing import Rubbing, chance_short
from sideshake.wear.words import PoseSeen

Rows = tuple[tuple[str, ...], ...]
SEEN = [0.025, 0.975]
"""What holds 95 of 100."""
LEAST_DEG = 1e-3
"""A barrel that leans no further leans nowhere."""


def bearing_rows(on_bench: Bench) -> Rows:
    """Return each bearing: its name, side shake, how oval, the normal play, whether it is worn.

    Millimetres; whether it is worn is how likely its play is beyond twice the normal.
    """
    barrel = on_bench.case.barrel
    named = [
        ("bridge (above)", UPPER, barrel.arbor.upper),
        ("plate (below)", LOWER, barrel.arbor.lower),
    ]
    if barrel.inner:
        named += [
            ("lid on arbor", OWN + UPPER, barrel.inner.upper),
            ("floor on arbor", OWN + LOWER, barrel.inner.lower),
        ]
    return tuple((name, *bearing_row(barrel, end, each)) for name, end, each in named)


def bearing_row(barrel: Barrel, end: str, bearing: Bearing) -> list[str]:
    """Return one bearing's figures."""
    normal = normal_play(bearing)
    oval = ovality(bearing.hole)
    return [
        play_text(barrel, end, bearing),
        oval.text() if oval.value else "round",
        f"{normal.low_mm:.3f}-{normal.high_mm:.3f}",
        chance_short(chance_worn(barrel, end, bearing)),
    ]


def play_text(barrel: Barrel, end: str, bearing: Bearing) -> str:
    """Return a side shake: measured with its uncertainty, else the range that holds 95 of 100."""
    if not any(each.wear_mm for each in barrel.known if each.name.startswith(end)):
        return side_shake(bearing).text()
    low, high = np.quantile(plays(barrel, end), SEEN)
    return f"{low:.3f} to {high:.3f}"


def lean_rows(poses: tuple[PoseSeen, ...]) -> Rows:
    """Return each pose: its name, the lean (degrees), how far the rim moves (mm), where it is up.

    Directions count from 3 o'clock, counter-clockwise, seen from the bridge.
    """
    return tuple(
        (each.name, each.lean.angle_deg.text(), each.lean.rim_move_mm.text(), rim_up(each.lean))
        for each in poses
    )


def rim_up(found: Lean) -> str:
    """Return where the rim is up, in words; "none" where it hardly leans."""
    if found.angle_deg.value <= LEAST_DEG:
        return "none"
    return f"{(found.towards_deg + 180) % 360:.0f}°"


def gap_rows(poses: tuple[PoseSeen, ...]) -> Rows:
    """Return each part in each pose: the names of both, the gap left (mm), how likely it rubs, and
    where."""
    by_part = zip(*(each.gaps for each in poses), strict=True)
    return tuple(
        (found.gap.name, each.name, *rubbing_row(found))
        for part in by_part
        for each, found in zip(poses, part, strict=True)
    )


def rubbing_row(found: Rubbing) -> list[str]:
    """Return what is left of a gap, how likely it rubs, and where."""
    at = "all round" if found.at_deg is None else f"{found.at_deg:.0f}°"
    return [found.left_mm.text(), chance_short(found.probability), at]
