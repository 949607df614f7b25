"""How a barrel stands: what pushes it, and to which side of its hole that loads each pivot."""

import cmath
import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.barrel import Barrel, Values

FRICTION_DEG = 10.0
"""A pivot may rest this far beside the place where it would rest without friction: the angle of
friction of oiled steel on brass, tan 10° = 0.18 (a physics handbook's table)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Push:
    """A side force on the arbor or on the barrel at a height; only its share of all forces counts.

    Heights count from the middle of the lower bearing.
    """

    name: str
    force_n: Measured
    direction_deg: Measured
    height_mm: Measured
    on_barrel: bool

    def __post_init__(self) -> None:
        if not self.force_n.value > 0:
            raise InputError(f"the {self.name} needs a force above 0, got {self.force_n.value:g} N")


@dataclass(frozen=True, slots=True, kw_only=True)
class ArborPose:
    """To which direction each pivot is pushed in its hole, and by what.

    Without `pushes` the directions are what the hand on the rim makes them. `taken` names what was
    not known and taken at its worst.
    """

    name: str
    lower_deg: float
    upper_deg: float
    inner_lower_deg: float
    inner_upper_deg: float
    pushes: tuple[Push, ...] = ()
    taken: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Loads:
    """The force on each bearing as a complex number, x + iy; only directions and shares count."""

    lower: Any
    upper: Any
    inner_lower: Any
    inner_upper: Any


def leaning(towards_deg: float) -> ArborPose:
    """Return the stance of a free lean: the upper end in that direction, the lower opposite."""
    back = towards_deg + 180.0
    return ArborPose(
        name="free",
        lower_deg=back,
        upper_deg=towards_deg,
        inner_lower_deg=back,
        inner_upper_deg=towards_deg,
    )


def aside(towards_deg: float) -> ArborPose:
    """Return the stance of a barrel pushed aside as a whole in that direction."""
    same = towards_deg
    return ArborPose(
        name="aside", lower_deg=same, upper_deg=same, inner_lower_deg=same, inner_upper_deg=same
    )


def pushed(
    name: str, pushes: tuple[Push, ...], barrel: Barrel, taken: tuple[str, ...] = ()
) -> ArborPose:
    """Return the stance in which the bearings answer to the given pushes.

    Balance of forces and moments on the arbor: a push between the bearings sends both pivots its
    way; one beyond the upper bearing (a ratchet wheel on the bridge) sends the lower pivot back.

    Raises
    ------
    InputError : no push is given
    """
    if not pushes:
        raise InputError(f"the stance {name!r} needs at least one push")
    values = {each: size.value for each, size in push_values(pushes)}
    found = bearing_loads(pushes, values | middle_spans(barrel))
    directions = [
        math.degrees(cmath.phase(complex(each)))
        for each in (found.lower, found.upper, found.inner_lower, found.inner_upper)
    ]
    return ArborPose(
        name=name,
        lower_deg=directions[0],
        upper_deg=directions[1],
        inner_lower_deg=directions[2],
        inner_upper_deg=directions[3],
        pushes=pushes,
        taken=taken,
    )


def middle_spans(barrel: Barrel) -> dict[str, float]:
    """Return the spans of the arbor and of the barrel on it, without their uncertainties."""
    own = {"barrel's own span": barrel.inner.span_mm.value} if barrel.inner else {}
    return {"span": barrel.arbor.span_mm.value} | own


def push_values(pushes: tuple[Push, ...]) -> tuple[tuple[str, Measured], ...]:
    """Return every measured value of the pushes, with its plain name."""
    return tuple(
        named
        for each in pushes
        for named in (
            (f"force of the {each.name}", each.force_n),
            (f"direction of the {each.name}", each.direction_deg),
            (f"height of the {each.name}", each.height_mm),
        )
    )


def pose_values(stance: ArborPose) -> tuple[tuple[str, Measured], ...]:
    """Return every value that the loads rest on; friction is one of them, even within ±10°.

    References
    ----------
    GUM (JCGM 100:2008) 4.3.7: an even chance over a half-width a has the uncertainty a / sqrt(3)
    """
    if not stance.pushes:
        return ()
    friction = Measured(0.0, FRICTION_DEG / math.sqrt(3.0))
    places = ("lower", "upper", "floor", "lid")
    return push_values(stance.pushes) + tuple(
        (f"friction at the {each}", friction) for each in places
    )


def loads_of(stance: ArborPose, values: Values) -> Loads:
    """Return the force on each bearing in a stance, for plain values or arrays of draws."""
    if stance.pushes:
        return bearing_loads(stance.pushes, values)
    return Loads(
        lower=direction(stance.lower_deg),
        upper=direction(stance.upper_deg),
        inner_lower=direction(stance.inner_lower_deg),
        inner_upper=direction(stance.inner_upper_deg),
    )


def bearing_loads(pushes: tuple[Push, ...], values: Values) -> Loads:
    """Return the force on each bearing: the balance of forces and of moments.

    The barrel's own bearings lie evenly about the middle of the span and carry what pushes the
    barrel; if nothing does, it hangs on the arbor without a load and follows the arbor's.
    """
    span = values["span"]
    lower, upper = shares(pushes, values, (0.0 * span, span))
    on_barrel = tuple(push for push in pushes if push.on_barrel)
    own_lower, own_upper = lower, upper
    if on_barrel:
        own = values.get("barrel's own span", span)
        own_lower, own_upper = shares(on_barrel, values, ((span - own) / 2, (span + own) / 2))
    return Loads(
        lower=lower * direction(values.get("friction at the lower", 0.0)),
        upper=upper * direction(values.get("friction at the upper", 0.0)),
        inner_lower=own_lower * direction(values.get("friction at the floor", 0.0)),
        inner_upper=own_upper * direction(values.get("friction at the lid", 0.0)),
    )


def shares(pushes: tuple[Push, ...], values: Values, heights: tuple[Any, Any]) -> tuple[Any, Any]:
    """Return what bearings at two heights carry of the pushes."""
    low, high = heights
    total = moment = 0j
    for push in pushes:
        force = values[f"force of the {push.name}"] * direction(
            values[f"direction of the {push.name}"]
        )
        total = total + force
        moment = moment + force * (values[f"height of the {push.name}"] - low) / (high - low)
    return total - moment, moment


def direction(angle_deg: Any) -> Any:
    """Return the unit vector of a direction, as a complex number."""
    return np.exp(1j * np.radians(angle_deg))
