"""A ring pressed into a plate: pressure, stresses, how the bore closes, what pushes it out.

Millimetres, megapascals, newtons. The interference is diametral. Lame's pressure holds while both
parts stay elastic; the trade's 0.01 mm is several times beyond that for brass, so the pressure is
an upper bound and says so, in place of a safety factor that would mean nothing.
"""

import math
from dataclasses import dataclass

from sideshake.errors import InputError
from sideshake.fit.materials import Material

FRICTION = 0.15
"""Ruby or brass in a brass seat, dry (a general figure, from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """A ring or, with bore 0, a solid disc."""

    outside_mm: float
    bore_mm: float
    material: Material

    def __post_init__(self) -> None:
        if not 0 <= self.bore_mm < self.outside_mm:
            raise InputError(
                f"a ring's bore {self.bore_mm:g} mm must be 0 or more and smaller than its outside "
                f"diameter {self.outside_mm:g} mm"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """An inner ring pressed over `length_mm` into an outer one (the metal around, as a ring)."""

    inner: Ring
    outer: Ring
    interference_mm: float
    length_mm: float
    friction: float = FRICTION

    def __post_init__(self) -> None:
        if self.interference_mm < 0:
            raise InputError(
                f"interference {self.interference_mm:g} mm is below 0: the jewel would be loose"
            )
        if self.outer.outside_mm <= self.inner.outside_mm:
            raise InputError(
                f"the metal around ends at {self.outer.outside_mm:g} mm, inside the ring's outside "
                f"diameter {self.inner.outside_mm:g} mm"
            )
        if self.length_mm <= 0 or self.friction <= 0:
            raise InputError(
                f"press length {self.length_mm:g} mm and friction {self.friction:g} must be above 0"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class PressFit:
    """What an elastic joint would do; pressures and forces are upper bounds beyond that range."""

    pressure_mpa: float
    outer_hoop_mpa: float
    outer_mises_mpa: float
    inner_bore_mpa: float
    bore_closing_mm: float
    push_out_n: float
    torque_nmm: float
    elastic_limit_mm: float
    beyond_elastic: bool
    yield_bound_mpa: float | None

    @property
    def most_mpa(self) -> float:
        """Return the most it can press: Lame's pressure, or what the yielding metal bears."""
        return min(self.pressure_mpa, self.yield_bound_mpa or self.pressure_mpa)

    @property
    def most_push_out_n(self) -> float:
        """Return the push-out force at that pressure."""
        return self.push_out_n * self.most_mpa / self.pressure_mpa if self.pressure_mpa else 0.0

    @property
    def pressure_words(self) -> str:
        """Return the pressure as it may be said."""
        if not self.beyond_elastic:
            return f"{self.pressure_mpa:.0f} MPa"
        return f"at most about {self.most_mpa:.0f} MPa: the metal yields (beyond the elastic range)"


def press_fit(joint: Joint) -> PressFit:
    """Return pressure, stresses, closing of the bore and push-out force of a press fit.

    References
    ----------
    Lame; in the form of Shigley's Mechanical Engineering Design, press and shrink fits: p = delta /
    (d [ (1/Eo)((D2+d2)/(D2-d2) + vo) + (1/Ei)((d2+di2)/(d2-di2) - vi) ])
    """
    seat = joint.inner.outside_mm
    pressure = joint.interference_mm / compliance(joint)
    hoop = pressure * width_ratio(joint.outer.outside_mm, seat)
    limit = elastic_limit_mm(joint)
    return PressFit(
        pressure_mpa=pressure,
        outer_hoop_mpa=hoop,
        outer_mises_mpa=math.sqrt(hoop**2 + hoop * pressure + pressure**2),
        inner_bore_mpa=bore_stress(joint.inner, pressure),
        bore_closing_mm=bore_closing(joint.inner, pressure),
        push_out_n=joint.friction * math.pi * seat * joint.length_mm * pressure,
        torque_nmm=joint.friction * math.pi * seat**2 / 2 * joint.length_mm * pressure,
        elastic_limit_mm=limit,
        beyond_elastic=joint.interference_mm > limit,
        yield_bound_mpa=yield_bound(joint.outer.material),
    )


def width_ratio(outside_mm: float, bore_mm: float) -> float:
    """Return (D² + d²) / (D² − d²) of a ring."""
    return (outside_mm**2 + bore_mm**2) / (outside_mm**2 - bore_mm**2)


def compliance(joint: Joint) -> float:
    """Return the diametral interference that one megapascal of pressure takes up (mm/MPa)."""
    inner, outer = joint.inner, joint.outer
    seat = inner.outside_mm
    give_outer = (
        width_ratio(outer.outside_mm, seat) + outer.material.poisson
    ) / outer.material.elastic_mpa
    give_inner = (
        width_ratio(seat, inner.bore_mm) - inner.material.poisson
    ) / inner.material.elastic_mpa
    return seat * (give_outer + give_inner)


def bore_stress(inner: Ring, pressure_mpa: float) -> float:
    """Return the hoop stress at the inner ring's bore, or in a solid one; below 0: squeezed."""
    if inner.bore_mm == 0:
        return -pressure_mpa
    return -2 * pressure_mpa * inner.outside_mm**2 / (inner.outside_mm**2 - inner.bore_mm**2)


def bore_closing(inner: Ring, pressure_mpa: float) -> float:
    """Return how much the bore's diameter shrinks while all stays elastic (mm)."""
    return -inner.bore_mm * bore_stress(inner, pressure_mpa) / inner.material.elastic_mpa


def elastic_limit_mm(joint: Joint) -> float:
    """Return the interference at which the seat, or the ring's bore, first yields (von Mises)."""
    ratio = width_ratio(joint.outer.outside_mm, joint.inner.outside_mm)
    limits = []
    if joint.outer.material.yield_mpa:
        limits.append(joint.outer.material.yield_mpa / math.sqrt(ratio**2 + ratio + 1))
    if joint.inner.material.yield_mpa:
        limits.append(joint.inner.material.yield_mpa / -bore_stress(joint.inner, 1.0))
    return min(limits, default=math.inf) * compliance(joint)


def yield_bound(outer: Material) -> float | None:
    """Return the most that a seat in a wide plate bears: about 1.2 times its yield stress (MPa).

    Once the metal round the seat yields, the real pressure is some 0.6 to 1.2 times its yield
    stress (derived from ideal plasticity, and common practice).
    """
    return 1.2 * outer.yield_mpa if outer.yield_mpa else None


def wall_left_mm(outside_mm: float, centre_to_edge_mm: float) -> float:
    """Return the metal left between a seat and the next hole or edge.

    Parameters
    ----------
    centre_to_edge_mm : from the middle of the seat to the nearest edge of the next hole

    Raises
    ------
    InputError : the seat would break into the next hole; both lengths are named
    """
    left = centre_to_edge_mm - outside_mm / 2
    if left <= 0:
        raise InputError(
            f"a seat of {outside_mm:g} mm breaks out: the next hole or edge is only "
            f"{centre_to_edge_mm:g} mm from its middle"
        )
    return left
