"""A ring pressed into a plate: pressure, stresses, how the bore closes, what pushes it out.

Millimetres, megapascals, newtons. The interference is diametral. Lame's pressure holds while both
parts stay elastic; the trade's 0.01 mm is several times beyond that for brass, so the pressure is
an upper bound and says so, in place of a safety factor that would mean nothing. What holds the
part is a range: `hold` gives both its ends.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from sideshake.core.errors import InputError
from sideshake.fit.materials import Material

FRICTION = 0.15
"""Ruby or brass in a brass seat, dry (a general figure, from memory)."""
FRICTION_RANGE = (0.10, 0.35)
"""From sapphire on steel, oiled, to steel on dry brass: a physics handbook (trade-facts 7.5.8 and
7.5.9); for ruby in brass itself no source was found."""
YIELD_SPREAD = 0.25
"""Brass sold under one temper yields this much earlier or later: half-hard 140 to 220, hard 310 to
350 MPa (trade-facts 7.5.5)."""
FLATTENED_MM = 0.001
"""Interference lost as the seat's tool marks flatten: 0.8 of the surfaces' roughness Rz, as press
fits are usually reckoned, with Rz 1.2 µm for a reamed hole (from memory)."""
LEAST_HELD_SHARE = 0.5
"""Least share of a part's length that sits in sound metal, chamfers and wear taken off
(trade-facts 7.3.6, from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PressedRing:
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

    inner: PressedRing
    outer: PressedRing
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
    """What an elastic joint would do at one interference; `hold` says what it may count on."""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """What holds a pressed part, from the least to the most; lowest 0: it may be loose."""

    low_mpa: float
    high_mpa: float
    low_n: float
    high_n: float

    @property
    def may_be_loose(self) -> bool:
        """Return whether even the smallest push may move it."""
        return self.low_n == 0

    @property
    def range_n(self) -> str:
        """Return the push it bears, newtons, both ends rounded outward.

        Examples
        --------
        >>> Hold(low_mpa=27.0, high_mpa=300.0, low_n=5.38, high_n=291.0).range_n
        '5.3 to 300'
        """
        return f"{rounded(self.low_n, math.floor)} to {rounded(self.high_n, math.ceil)}"

    @property
    def words(self) -> str:
        """Return in a sentence what push it bears."""
        most = rounded(self.high_n, math.ceil)
        if self.may_be_loose:
            return f"It may be loose; at best it holds against a push of {most} N."
        least = rounded(self.low_n, math.floor)
        return f"It holds against a push of at least {least} N, of {most} N at most."


def rounded(force_n: float, towards: Callable[[float], int]) -> str:
    """Return a force with two digits, rounded down or up.

    Examples
    --------
    >>> rounded(0.0, math.floor), rounded(0.876, math.floor), rounded(123.0, math.ceil)
    ('0', '0.87', '130')
    """
    if force_n <= 0:
        return "0"
    digit = 10.0 ** (math.floor(math.log10(force_n)) - 1)
    return f"{towards(force_n / digit) * digit:.{max(0, -math.floor(math.log10(digit) + 1e-9))}f}"


def hold(joint: Joint, *, interference_mm: tuple[float, float]) -> Hold:
    """Return the least and the most that holds a pressed part.

    Least: the smallest interference less what flattens, the softest metal, the least friction and
    half the length; the pressure of a joint that yields is never below that of its first yield.
    Most: the largest interference, the hardest metal, the most friction, the whole length.

    Parameters
    ----------
    joint : its interference and friction are not used
    interference_mm : the smallest and the largest that tolerances and reamer leave

    Raises
    ------
    InputError : the two are the wrong way round

    References
    ----------
    Lame below first yield; von Mises at it; above, pressure rises with interference (no metal here
    softens) to at most what `yield_bound` says
    """
    small, large = interference_mm
    if not small <= large:
        raise InputError(f"the smallest interference {small:g} mm lies above the largest {large:g}")
    soft, hard = (tempered(joint, share) for share in (1 - YIELD_SPREAD, 1 + YIELD_SPREAD))
    give = compliance(joint)
    least = min(max(0.0, small - FLATTENED_MM), elastic_limit_mm(soft)) / give
    bound = yield_bound(hard.outer.material)
    most = min(max(0.0, large) / give, bound if bound is not None else math.inf)
    area = math.pi * joint.inner.outside_mm * joint.length_mm
    slippery, rough = FRICTION_RANGE
    return Hold(
        low_mpa=least,
        high_mpa=most,
        low_n=slippery * area * LEAST_HELD_SHARE * least,
        high_n=rough * area * most,
    )


def tempered(joint: Joint, share: float) -> Joint:
    """Return the joint with both metals yielding at this share of their usual stress."""
    inner, outer = (
        replace(ring, material=tempered_metal(ring.material, share))
        for ring in (joint.inner, joint.outer)
    )
    return replace(joint, inner=inner, outer=outer)


def tempered_metal(metal: Material, share: float) -> Material:
    """Return the metal yielding at this share of its usual stress; ruby does not yield."""
    return replace(metal, yield_mpa=metal.yield_mpa * share) if metal.yield_mpa else metal


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


def bore_stress(inner: PressedRing, pressure_mpa: float) -> float:
    """Return the hoop stress at the inner ring's bore, or in a solid one; below 0: squeezed."""
    if inner.bore_mm == 0:
        return -pressure_mpa
    return -2 * pressure_mpa * inner.outside_mm**2 / (inner.outside_mm**2 - inner.bore_mm**2)


def bore_closing(inner: PressedRing, pressure_mpa: float) -> float:
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
