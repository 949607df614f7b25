"""How a barrel stands: to which side of its hole each pivot is pushed, and by what."""

import math
from dataclasses import dataclass

import numpy as np

from sideshake.errors import InputError
from sideshake.wear.barrel import Barrel


@dataclass(frozen=True, slots=True, kw_only=True)
class Stance:
    """To which direction each pivot is pushed in its hole."""

    name: str
    lower_deg: float
    upper_deg: float
    inner_lower_deg: float
    inner_upper_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Push:
    """A side force on the arbor or on the barrel at a height."""

    force_n: float
    direction_deg: float
    height_mm: float
    on_barrel: bool

    def __post_init__(self) -> None:
        if not self.force_n > 0:
            raise InputError(f"a push needs a force above 0, got {self.force_n} N")


def leaning(towards_deg: float) -> Stance:
    """Return the stance of a free lean: the upper end in that direction, the lower opposite."""
    back = towards_deg + 180.0
    return Stance(
        name="free",
        lower_deg=back,
        upper_deg=towards_deg,
        inner_lower_deg=back,
        inner_upper_deg=towards_deg,
    )


def aside(towards_deg: float) -> Stance:
    """Return the stance of a barrel pushed aside as a whole in that direction."""
    same = towards_deg
    return Stance(
        name="aside", lower_deg=same, upper_deg=same, inner_lower_deg=same, inner_upper_deg=same
    )


def pushed(name: str, pushes: tuple[Push, ...], barrel: Barrel) -> Stance:
    """Return the stance in which the bearings answer to the given pushes.

    Balance of forces and moments on the arbor: a push between the bearings sends both pivots its
    way; one beyond the upper bearing (a ratchet wheel on the bridge) sends the lower pivot back.

    Raises
    ------
    InputError : no push is given
    """
    if not pushes:
        raise InputError(f"the stance {name!r} needs at least one push")
    lower, upper = shares(pushes, barrel.arbor.span_mm.value)
    on_barrel = tuple(push for push in pushes if push.on_barrel)
    inner = shares(on_barrel, barrel.arbor.span_mm.value) if on_barrel else (lower, upper)
    return Stance(
        name=name,
        lower_deg=lower,
        upper_deg=upper,
        inner_lower_deg=inner[0],
        inner_upper_deg=inner[1],
    )


def shares(pushes: tuple[Push, ...], span_mm: float) -> tuple[float, float]:
    """Return the directions in which lower and upper bearing are loaded (degrees)."""
    total = moment = 0j
    for push in pushes:
        force = push.force_n * np.exp(1j * math.radians(push.direction_deg))
        total, moment = total + force, moment + force * push.height_mm / span_mm
    lower, upper = (float(np.degrees(np.angle(each))) for each in (total - moment, moment))
    return (lower, upper)
