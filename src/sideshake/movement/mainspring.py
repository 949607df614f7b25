"""The mainspring in its barrel: length, turns, torque, and the choice of another one.

Lengths in millimetres, modulus in gigapascal, torque in millinewton metres.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import inf, log, pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured, propagate
from sideshake.movement.sheet import CalibreSheet, require_smaller

MNM_PER_NM = 1000.0
HALF_FILL = 0.5
HEIGHT_CLEARANCE_MM = (0.05, 0.20)
"""The strip is lower than its room by this much (Reymondin; 0.02 was too little, Kleinlein)."""
CORE_PER_THICKNESS = (20.0, 32.0)
"""Core diameter over strip thickness (from memory: carbon steel 30 and more, alloys 20 to 26)."""
FILL_RANGE = (0.40, 0.60)
"""Inside it the spring gives at least 97 % of the most turns its room allows (computed)."""
TORQUE_TOLERANCE = 0.15
"""A stock spring may differ by this much: it moves the amplitude by about 8 % (own choice)."""
CURVE_POINTS = 41
CARBON_STEEL_GPA = Measured(205.0, 5.0)
"""Modulus of carbon spring steel (from memory; 200 to 220 cover the usual materials)."""
STRAIGHT = FULLY = Measured(0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringRoom:
    """The space for the spring: inside diameter, core diameter, inside height."""

    bore_mm: Measured
    core_mm: Measured
    height_mm: Measured

    def __post_init__(self) -> None:
        if not 0 < self.core_mm.value < self.bore_mm.value:
            raise InputError(
                f"the core, {self.core_mm.value} mm, must be above 0 and smaller than the bore, "
                f"{self.bore_mm.value} mm"
            )
        if self.height_mm.value <= 0:
            raise InputError(f"the inside height must be above 0, got {self.height_mm.value} mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spring:
    """A mainspring: a strip, its modulus, and how far it curls when free."""

    thickness_mm: Measured
    height_mm: Measured
    length_mm: Measured
    elastic_gpa: Measured = CARBON_STEEL_GPA
    free_turns: Measured = STRAIGHT
    name: str = ""

    def __post_init__(self) -> None:
        sizes = (self.thickness_mm, self.height_mm, self.length_mm, self.elastic_gpa)
        if min(size.value for size in sizes) <= 0:
            raise InputError(
                f"thickness {self.thickness_mm.value}, height {self.height_mm.value}, length "
                f"{self.length_mm.value} mm and modulus {self.elastic_gpa.value} GPa must all be "
                "above 0"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueCurve:
    """Torque against turns wound, from run down to fully wound; u is the standard uncertainty."""

    turns: NDArray[np.float64]
    torque_mnm: NDArray[np.float64]
    u_mnm: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringOffer:
    """A spring from the stock, tried in a barrel."""

    spring: Spring
    fill: float
    turns: Measured
    full_torque_mnm: Measured
    torque_change: float
    """Full torque over the wanted one, minus 1."""
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringChange:
    """What another spring does compared with the right one."""

    torque_ratio: Measured
    turns_change: Measured
    fill: float
    best_length_mm: Measured
    """The length that would fill half the room at the other thickness."""


def room_of(sheet: CalibreSheet) -> SpringRoom:
    """Return the barrel's room for the spring."""
    purpose = "the mainspring's length and turns"
    return SpringRoom(
        bore_mm=sheet.measured("barrel.bore_mm", purpose),
        core_mm=sheet.measured("barrel.core_mm", purpose),
        height_mm=sheet.measured("barrel.height_mm", purpose),
    )


def spring_of(sheet: CalibreSheet) -> Spring:
    """Return the spring the sheet describes; it must be lower than the room in the barrel."""
    purpose = "the mainspring's torque"
    spring = Spring(
        thickness_mm=sheet.measured("mainspring.thickness_mm", purpose),
        height_mm=sheet.measured("mainspring.height_mm", purpose),
        length_mm=sheet.measured("mainspring.length_mm", purpose),
        elastic_gpa=sheet.measured("mainspring.elastic_gpa", purpose),
        free_turns=sheet.measured("mainspring.free_turns", purpose),
        name=sheet.name,
    )
    room = sheet.barrel.height_mm if sheet.barrel else None
    require_smaller(spring.height_mm, room, "mainspring.height_mm", "barrel.height_mm")
    return spring


def best_length(room: SpringRoom, thickness_mm: Measured) -> Measured:
    """Return the length that fills half the free area, which gives the most turns.

    References
    ----------
    L = pi (D² − d²)/(8 e): Reymondin et al., The Theory of Horology, par. 4.2.5

    Examples
    --------
    >>> room = SpringRoom(bore_mm=Measured(9.0), core_mm=Measured(3.0), height_mm=Measured(1.6))
    >>> round(best_length(room, Measured(0.1)).value, 1)
    282.7
    """
    if thickness_mm.value <= 0:
        raise InputError(f"the thickness must be above 0, got {thickness_mm.value} mm")
    return propagate(
        lambda bore, core, e: pi * (bore**2 - core**2) / (8 * e),
        room.bore_mm,
        room.core_mm,
        thickness_mm,
    )


def fill(room: SpringRoom, spring: Spring) -> float:
    """Return the share of the barrel's free area the strip fills."""
    return filled(room, spring).value


def filled(room: SpringRoom, spring: Spring) -> Measured:
    """Return the share of the barrel's free area the strip fills, with its uncertainty."""
    return propagate(
        lambda bore, core, e, length: e * length / (pi / 4 * (bore**2 - core**2)),
        *(room.bore_mm, room.core_mm, spring.thickness_mm, spring.length_mm),
    )


def require_room(room: SpringRoom, spring: Spring) -> None:
    """Refuse a spring that cannot lie in the barrel, naming both areas."""
    if fill(room, spring) >= 1:
        raise InputError(
            f"a strip of {spring.thickness_mm.value} x {spring.length_mm.value} mm does not go "
            f"into a bore of {room.bore_mm.value} mm around a core of {room.core_mm.value} mm"
        )


def coils_run_down(bore: Any, e: Any, length: Any) -> Any:
    """Return the coils of the run-down spring against the wall; plain or uncertain numbers."""
    outer = bore / 2
    return (outer - (outer**2 - e * length / pi) ** 0.5) / e


def coils_wound(core: Any, e: Any, length: Any) -> Any:
    """Return the coils of the fully wound spring around the core; plain or uncertain numbers."""
    inner = core / 2
    return ((inner**2 + e * length / pi) ** 0.5 - inner) / e


def bent(core: Any, e: Any, length: Any, less: Any) -> Any:
    """Return the turns by which the wound strip is bent, less those it is curled or unwound."""
    return coils_wound(core, e, length) - less


def turns_available(room: SpringRoom, spring: Spring) -> Measured:
    """Return the turns of the barrel from fully wound to run down.

    Raises
    ------
    InputError : the strip is larger than its room

    References
    ----------
    N = [√(r² + eL/pi) + √(R² − eL/pi) − r − R]/e: areas of the rings, any textbook
    """
    require_room(room, spring)
    return propagate(
        lambda bore, core, e, length: (
            coils_wound(core, e, length) - coils_run_down(bore, e, length)
        ),
        *(room.bore_mm, room.core_mm, spring.thickness_mm, spring.length_mm),
    )


def torque(room: SpringRoom, spring: Spring, turns_wound: float) -> Measured:
    """Return the ideal torque at so many turns from run down, in mN·m, friction left out.

    Raises
    ------
    InputError : more turns than the barrel has, or fewer than none

    References
    ----------
    M = pi E h e³ N/(6 L), N from the free shape: bending of a strip, any textbook
    """
    most = turns_available(room, spring).value
    if not 0 <= turns_wound <= most * (1 + 1e-9):
        raise InputError(f"turns wound lie between 0 and {most:.2f}, got {turns_wound}")

    def formula(*sizes: Any) -> Any:
        bore, e, height, length, gpa, free = sizes
        bent = coils_run_down(bore, e, length) + turns_wound - free
        return MNM_PER_NM * pi * gpa * height * e**3 * bent / (6 * length)

    return propagate(
        formula,
        *(room.bore_mm, spring.thickness_mm, spring.height_mm, spring.length_mm),
        *(spring.elastic_gpa, spring.free_turns),
    )


def full_torque(room: SpringRoom, spring: Spring) -> Measured:
    """Return the ideal torque of the fully wound spring, in mN·m."""
    return torque(room, spring, turns_available(room, spring).value)


def torque_curve(room: SpringRoom, spring: Spring) -> TorqueCurve:
    """Return the torque from run down to fully wound, with its uncertainty."""
    turns = np.linspace(0.0, turns_available(room, spring).value, CURVE_POINTS)
    points = [torque(room, spring, float(each)) for each in turns]
    return TorqueCurve(
        turns=turns,
        torque_mnm=np.array([each.value for each in points]),
        u_mnm=np.array([each.u for each in points]),
    )


def changed(room: SpringRoom, right: Spring, other: Spring) -> SpringChange:
    """Return what another spring does to full torque and turns, compared with the right one.

    The uncertainty of the ratio holds that of both strips; they share room and material, so the
    common errors are left out.
    """
    ratio = propagate(
        lambda one, two: two / one,
        full_torque(exact(room), strip_only(right)),
        full_torque(exact(room), strip_only(other)),
    )
    difference = propagate(
        lambda one, two: two - one,
        turns_available(exact(room), right),
        turns_available(exact(room), other),
    )
    return SpringChange(
        torque_ratio=ratio,
        turns_change=difference,
        fill=fill(room, other),
        best_length_mm=best_length(room, other.thickness_mm),
    )


def exact(room: SpringRoom) -> SpringRoom:
    """Return the room without its uncertainty, for comparisons inside one barrel."""
    return SpringRoom(
        bore_mm=Measured(room.bore_mm.value),
        core_mm=Measured(room.core_mm.value),
        height_mm=Measured(room.height_mm.value),
    )


def strip_only(spring: Spring) -> Spring:
    """Return the spring with the uncertainty of its sizes alone, not of its material."""
    return Spring(
        thickness_mm=spring.thickness_mm,
        height_mm=spring.height_mm,
        length_mm=spring.length_mm,
        elastic_gpa=Measured(spring.elastic_gpa.value),
        free_turns=Measured(spring.free_turns.value),
    )


def how_unlike(torque_change: float) -> float:
    """Return how far a torque is from the right one, twice as much as far as half of it.

    >>> how_unlike(1.0) == how_unlike(-0.5), how_unlike(-1.5)
    (True, inf)
    """
    ratio = 1 + torque_change
    return abs(log(ratio)) if ratio > 0 else inf


def offers(room: SpringRoom, stock: Iterable[Spring], *, wanted: Spring) -> tuple[SpringOffer, ...]:
    """Return every spring of the stock tried in the barrel, the best first.

    Sound ones come before faulty ones; among equals the torque nearest the wanted spring's wins.

    Raises
    ------
    NotEnough : the stock is empty
    """
    wanted_mnm = full_torque(room, wanted).value
    tried = [offer(room, spring, wanted_mnm) for spring in stock]
    if not tried:
        raise NotEnough("the stock list holds no spring")
    return tuple(sorted(tried, key=lambda each: (len(each.faults), how_unlike(each.torque_change))))


def offer(room: SpringRoom, spring: Spring, wanted_mnm: float) -> SpringOffer:
    """Return one spring tried in the barrel, with all that speaks against it."""
    strongest = full_torque(room, spring)
    if strongest.value <= 0 or wanted_mnm <= 0:
        raise InputError(
            f"a spring that curls {spring.free_turns.value} turns by itself gives no torque here"
        )
    change = strongest.value / wanted_mnm - 1
    return SpringOffer(
        spring=spring,
        fill=fill(room, spring),
        turns=turns_available(room, spring),
        full_torque_mnm=strongest,
        torque_change=change,
        faults=(*torque_faults(change), *faults(room, spring)),
    )


def torque_faults(change: float) -> Iterable[str]:
    """Yield what speaks against a spring's strength, in words."""
    if change > TORQUE_TOLERANCE:
        yield f"too strong by {100 * change:.0f} %: the balance may knock"
    elif change < -TORQUE_TOLERANCE:
        yield f"too weak by {-100 * change:.0f} %"


def faults(room: SpringRoom, spring: Spring) -> Iterable[str]:
    """Yield what speaks against a spring in this barrel, in words."""
    clearance = room.height_mm.value - spring.height_mm.value
    low, high = HEIGHT_CLEARANCE_MM
    if clearance < low - 1e-9:
        yield f"too high: {clearance:.2f} mm of room over the strip, {low} at least"
    elif clearance > high + 1e-9:
        yield f"too low: {clearance:.2f} mm of room over the strip, {high} at most"
    filled = fill(room, spring)
    best_mm = best_length(room, spring.thickness_mm).value
    if not FILL_RANGE[0] <= filled <= FILL_RANGE[1]:
        word = "long" if filled > HALF_FILL else "short"
        yield f"too {word}: fills {100 * filled:.0f} %, the best length is {best_mm:.0f} mm"
    core_ratio = room.core_mm.value / spring.thickness_mm.value
    if core_ratio < CORE_PER_THICKNESS[0]:
        yield f"too thick for the core: {core_ratio:.0f} times its thickness, 20 at least"


def torque_left(
    room: SpringRoom, spring: Spring, turns_run: float, *, unwound: Measured = FULLY
) -> Measured:
    """Return the share of the first torque that is left when the barrel has turned so far.

    Modulus, height and thickness act on both torques alike, so they drop out of the share.
    `unwound` is how many turns below full wind the watch began (a bridle, a stop work).

    Raises
    ------
    NotEnough : the spring has run down by then
    InputError : fewer than no turns, or a spring that gives no torque
    """
    if turns_run < 0:
        raise InputError(f"the barrel turns forward, got {turns_run} turns")
    most = turns_available(room, spring).value - unwound.value
    if turns_run >= most:
        raise NotEnough(
            f"the spring has run down after {most:.2f} turns, {turns_run:.2f} asked for"
        )

    left = propagate(
        lambda core, e, length, free, down: 1 - turns_run / bent(core, e, length, free + down),
        *(room.core_mm, spring.thickness_mm, spring.length_mm, spring.free_turns, unwound),
    )
    if not 0 < left.value <= 1:
        raise InputError(
            f"a spring that curls {spring.free_turns.value} turns gives no torque here"
        )
    return left


def with_thickness(spring: Spring, thickness_mm: Measured, *, length_mm: Measured) -> Spring:
    """Return the spring with another thickness and length; the rest stays."""
    return replace(spring, thickness_mm=thickness_mm, length_mm=length_mm)
