"""Random draws of what was measured, and how the barrel leans in each of them."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.arbor_pose import ArborPose, pose_values
from sideshake.wear.barrel import Barrel, Gap, measured_values
from sideshake.wear.barrel_size import BarrelSize, worn_values
from sideshake.wear.settle import CLOSE_ENOUGH, Numbers
from sideshake.wear.tilt import Standing, named_values, slope_now, standing, towards

DRAWS = 100_000
"""Enough for a probability to 0.0016 (one standard error at one half)."""
LOADED_DRAWS = 20_000
"""Of a stance under loads, which takes longer to find: 0.0035 at one half."""
LEAST_DRAWS = 1000
CHUNK = 50_000
"""Draws worked at once, so that the arrays stay in the processor's cache."""
SEED = 20_240_229
KEPT = 16
"""Stances whose draws are kept: one case asks for a dozen, several of them again for each gap."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lean:
    """How a barrel leans in a stance: the upper end goes towards `towards_deg`."""

    stance: ArborPose
    angle_deg: Measured
    rim_move_mm: Measured
    towards_deg: float


@dataclass(frozen=True, slots=True)
class BarrelDraws:
    """Where the barrel stands in each draw, and the endshake drawn with it."""

    stands: Standing
    endshake_mm: Numbers

    def repeated(self, draws: int) -> "BarrelDraws":
        """Return the one standing of values known exactly, as many times."""
        stands = Standing(
            lower=np.repeat(self.stands.lower, draws), slope=np.repeat(self.stands.slope, draws)
        )
        return BarrelDraws(stands=stands, endshake_mm=np.repeat(self.endshake_mm, draws))


def lean(barrel: Barrel, stance: ArborPose, rim_radius_mm: Measured, *, draws: int = DRAWS) -> Lean:
    """Return the lean in a stance, and how far the rim goes up on one side and down on the other.

    Both holes round and cylindrical, the pivots on opposite sides:
    tan(angle) = (C1 + C2) / (2 (s + (h1 + h2) / 2)), with C the side shakes and h the holes'
    lengths; the rim moves by the rim radius times that. The doubt is that of the draws: a lean
    cannot be below 0, so near none at all first order says too much.

    References
    ----------
    derived from the geometry, hand-worked values in the tests; JCGM 101:2008 for the draws
    """
    slope = slope_now(barrel, stance)
    slopes = np.abs(standings(barrel, stance, draws).stands.slope)
    random = np.random.default_rng(SEED + 1)
    rims = rim_radius_mm.value + rim_radius_mm.u * random.standard_normal(slopes.size)
    return Lean(
        stance=stance,
        angle_deg=Measured(
            float(np.degrees(np.arctan(abs(slope)))), float(np.std(np.degrees(np.arctan(slopes))))
        ),
        rim_move_mm=Measured(rim_radius_mm.value * abs(slope), float(np.std(rims * slopes))),
        towards_deg=towards(slope),
    )


@lru_cache(maxsize=KEPT)
def standings(barrel: Barrel, stance: ArborPose, draws: int) -> BarrelDraws:
    """Return where the barrel stands in random draws; fewer of a stance that is slow to find.

    Raises
    ------
    InputError : fewer than 1000 draws are asked for
    """
    if draws < LEAST_DRAWS:
        raise InputError(f"sampling needs at least 1000 draws, got {draws}")
    if not any(each.u for _, each in named_values(barrel, stance)):
        draws = 1
    elif stance.pushes:
        draws = min(draws, LOADED_DRAWS)
    random = np.random.default_rng(SEED)
    sizes = [CHUNK] * (draws // CHUNK) + ([draws % CHUNK] if draws % CHUNK else [])
    found, endshakes = [], []
    for size in sizes:
        values = drawn(barrel, stance, size, random)
        found.append(standing(barrel, stance, values, close=CLOSE_ENOUGH))
        endshakes.append(np.broadcast_to(values["endshake"], (size,)))
    return BarrelDraws(
        stands=Standing(
            lower=np.concatenate([each.lower for each in found]),
            slope=np.concatenate([each.slope for each in found]),
        ),
        endshake_mm=np.concatenate(endshakes),
    )


def gap_draws(gap: Gap, endshake_mm: Numbers) -> dict[str, Numbers]:
    """Return draws of a gap and its radius beside draws of the endshake."""
    random = np.random.default_rng(SEED + 1)
    size = endshake_mm.size
    return {
        "endshake": endshake_mm,
        f"gap to the {gap.name}": draw(gap.gap_mm, size, random),
        f"radius at the {gap.name}": draw(gap.radius_mm, size, random),
    }


def drawn(
    barrel: Barrel, stance: ArborPose, size: int, random: np.random.Generator
) -> dict[str, NDArray[np.float64]]:
    """Return random draws of each measured value; a hole is never smaller than its pivot.

    Friction lies evenly within its limits, what nobody measured has its one-sided wear, the rest is
    drawn from normal distributions.
    """
    held = drawn_values(dict(measured_values(barrel)), barrel.known, size, random)
    for name, each in pose_values(stance):
        held[name] = (
            each.u * 3**0.5 * random.uniform(-1.0, 1.0, size)
            if name.startswith("friction")
            else draw(each, size, random)
        )
    return held


def drawn_values(
    named: dict[str, Measured],
    known: tuple[BarrelSize, ...],
    size: int,
    random: np.random.Generator,
) -> dict[str, NDArray[np.float64]]:
    """Return random draws of named values, by how each is known; no hole is below its pivot."""
    values = {name: draw(each, size, random) for name, each in named.items()}
    values |= worn_values(known, size, random)
    return {name: not_below_pivot(name, values) for name in values}


def draw(measured: Measured, size: int, random: np.random.Generator) -> NDArray[np.float64]:
    """Return draws of one value from its normal distribution."""
    return measured.value + measured.u * random.standard_normal(size)


def not_below_pivot(name: str, values: dict[str, NDArray[np.float64]]) -> NDArray[np.float64]:
    """Return the draws of a value; a hole is raised to its pivot where it falls short."""
    bearing, found, _ = name.partition(" hole")
    return np.maximum(values[name], values[f"{bearing} pivot"]) if found else values[name]
