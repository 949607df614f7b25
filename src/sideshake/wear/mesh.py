"""What play does to a mesh: side pull, change of the centre distance, depth, the coupling's jump.

Directions count counter-clockwise seen from the bridge; millimetres, newtons, degrees.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, propagate

PRESSURE_ANGLE_DEG = 15.0
"""How far the push of a watch gear's teeth stands off the tangent: 0 to 20 (from memory)."""
SHALLOW_FROM = 0.05
POOR_FROM = 0.10
"""Shares of the module: a change of 5 to 10 % alters velocity and friction (from memory)."""


class Turns(StrEnum):
    """Which way the barrel turns while it drives, seen from the bridge."""

    CLOCKWISE = "clockwise"
    COUNTER_CLOCKWISE = "counter-clockwise"


class DepthEffect(StrEnum):
    """What a change of depth means."""

    SOUND = "sound"
    DOUBTFUL = "doubtful"
    SHALLOW = "shallow"
    DEEP = "deep"


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthChange:
    """The centre distance grown by `change_mm`; as a share of the module, and what that means."""

    change_mm: Measured
    share_of_module: Measured
    depth: DepthEffect


def side_pull_n(torque_nmm: Measured, pitch_radius_mm: Measured, pressure_deg: float) -> Measured:
    """Return the side force of the teeth on the barrel: torque over pitch radius, over cosine (N).

    Examples
    --------
    >>> round(side_pull_n(Measured(7.8), Measured(5.4), 0.0).value, 2)
    1.44
    """
    if not 0 <= pressure_deg < 60:
        raise InputError(f"a pressure angle lies between 0 and 60 degrees, got {pressure_deg}")
    if min(torque_nmm.value, pitch_radius_mm.value) <= 0:
        raise InputError(
            f"torque {torque_nmm.value:g} N·mm and pitch radius {pitch_radius_mm.value:g} mm "
            "must both be above 0"
        )
    cosine = math.cos(math.radians(pressure_deg))
    return propagate(lambda torque, radius: torque / radius / cosine, torque_nmm, pitch_radius_mm)


def pull_direction(partner_deg: float, turns: Turns, pressure_deg: float) -> float:
    """Return the direction in which the driven pinion pushes the barrel back (degrees, 0 to 360).

    The teeth resist along the tangent, against the turning, and push the two apart by the pressure
    angle.

    Examples
    --------
    >>> pull_direction(0.0, Turns.COUNTER_CLOCKWISE, 0.0)
    270.0
    """
    way = 1.0 if turns is Turns.COUNTER_CLOCKWISE else -1.0
    return (partner_deg - way * (90.0 + pressure_deg)) % 360.0


def thrust_direction(driver_deg: float, turns: Turns, pressure_deg: float) -> float:
    """Return the direction in which a driving wheel pushes the wheel it turns (0 to 360 degrees).

    For the crown wheel on the ratchet wheel: along the ratchet wheel's turning, which is the same
    as the barrel's, and apart by the pressure angle.

    Examples
    --------
    >>> thrust_direction(0.0, Turns.COUNTER_CLOCKWISE, 0.0)
    90.0
    """
    way = 1.0 if turns is Turns.COUNTER_CLOCKWISE else -1.0
    return (driver_deg + way * (90.0 + pressure_deg)) % 360.0


def module_mm(centre_distance_mm: float, driver_teeth: int, driven_teeth: int) -> float:
    """Return the module that a centre distance gives two wheels: 2 a / (Z + z).

    Examples
    --------
    >>> round(module_mm(6.30, 80, 10), 6)
    0.14
    """
    if centre_distance_mm <= 0 or min(driver_teeth, driven_teeth) < 1:
        raise InputError(
            f"centre distance {centre_distance_mm:g} mm and teeth {driver_teeth}, {driven_teeth} "
            "must be above 0"
        )
    return 2 * centre_distance_mm / (driver_teeth + driven_teeth)


def depth_change(moved_apart_mm: Measured, module: Measured) -> DepthChange:
    """Return what a move of the barrel away from its partner does to the depth of the mesh."""
    if module.value <= 0:
        raise InputError(f"a module must be above 0, got {module.value:g} mm")
    share = propagate(lambda moved, size: moved / size, moved_apart_mm, module)
    return DepthChange(change_mm=moved_apart_mm, share_of_module=share, depth=depth_of(share.value))


def depth_of(share: float) -> DepthEffect:
    """Return what a change of centre distance, as a share of the module, means."""
    if abs(share) < SHALLOW_FROM:
        return DepthEffect.SOUND
    if abs(share) < POOR_FROM:
        return DepthEffect.DOUBTFUL
    return DepthEffect.SHALLOW if share > 0 else DepthEffect.DEEP


def coupling_jump_s(wheel_teeth: int, turn_s: float = 60.0) -> float:
    """Return how many seconds the hand jumps when tips meet: one tooth of its wheel.

    Examples
    --------
    >>> coupling_jump_s(200)
    0.3
    """
    if wheel_teeth < 1 or not turn_s > 0:
        raise InputError(f"teeth {wheel_teeth} and turn {turn_s:g} s must be above 0")
    return turn_s / wheel_teeth
