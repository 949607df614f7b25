"""The part most in danger of the barrel's rim, with what pressing the rim has shown."""

from dataclasses import replace

import numpy as np

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, probability_below
from sideshake.wear.arbor_pose import ArborPose
from sideshake.wear.barrel import Barrel, Gap
from sideshake.wear.outlook import joint, left_at
from sideshake.wear.rubbing import Rubbing, danger, rubbing
from sideshake.wear.tilt import worst_stance

OPTION_DRAWS = 20_000
"""Enough to tell a repair that serves from one that does not: 0.0015 at 5 %."""


def worst_rubbing(barrel: Barrel, stance: ArborPose | None, draws: int) -> Rubbing:
    """Return the rubbing on the part most in danger; free to lean when no stance is given.

    Raises
    ------
    InputError : the barrel has no gap to judge
    """
    if not barrel.gaps:
        raise InputError("no gap between the barrel and another part is given: nothing to judge")
    if stance is None and any(gap.pressed_mm for gap in barrel.gaps):
        return max(
            (free_rubbing(barrel, gap, draws) for gap in barrel.gaps),
            key=lambda each: (each.probability, -each.left_mm.value),
        )
    stances = [(gap, stance or worst_stance(barrel, gap)) for gap in barrel.gaps]
    gap, worst = max(stances, key=lambda each: danger(barrel, each[1], each[0]))
    return rubbing(barrel, worst, gap, draws=draws)


def free_rubbing(barrel: Barrel, gap: Gap, draws: int) -> Rubbing:
    """Return the rubbing when it leans freely, with what pressing the rim has shown."""
    found = rubbing(barrel, worst_stance(barrel, gap), gap, draws=draws)
    if not any(each.pressed_mm for each in barrel.gaps):
        return found
    left = left_at(barrel, joint(barrel, min(draws, OPTION_DRAWS)))[gap.name]
    middle = Measured(float(left.mean()), float(left.std()))
    return replace(
        found,
        left_mm=middle,
        first_order=probability_below(middle, 0.0),
        sampled=float(np.mean(left < 0)),
        draws=left.size,
    )
