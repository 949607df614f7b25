"""What pushes a barrel while the watch runs and while it is wound; the unknown at its worst.

In a going barrel the mainspring turns the drum one way and the arbor the other. The pinion holds
the drum at its teeth; the click holds the arbor at the ratchet wheel or, while it is wound, the
crown wheel does. Each holds the same torque, so each force is one over its radius; the torque
itself does not matter to where the barrel stands.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from itertools import product

import numpy as np

from sideshake.core.quantities import Measured, propagate
from sideshake.wear.arbor_pose import ArborPose, Push, bearing_loads, push_values, pushed
from sideshake.wear.barrel import Barrel, measured_values
from sideshake.wear.mesh import PRESSURE_ANGLE_DEG, Turns, pull_direction, thrust_direction
from sideshake.wear.settle import Numbers
from sideshake.wear.tilt import spread_out, under_loads

PLACE_U_DEG = 5.0
"""Standard uncertainty of a place read by eye from the barrel's centre (common practice)."""
PRESSURE_U_DEG = 3.0
"""Pressure angles of watch wheels run from 10 to 20 degrees: 5 / sqrt(3)."""
STEP_DEG, COARSE_STEP_DEG = 5.0, 15.0
"""Unknown directions are tried this far apart, coarser where two are not known."""
RATCHET_SHARES = (0.5, 0.85)
"""A ratchet wheel's radius as a share of the rim's, from and to (from memory)."""
RATCHET_RISES_MM = (0.1, 0.5)
"""Its middle over the bridge's upper face, from and to (from memory)."""
TOOTHED_SHARES = (0.15, 0.5)
"""The teeth's height as a share of the span, from and to (from memory)."""
PITCH_SHARE = 0.975
"""A pitch radius as a share of the rim's, where the sheet has none: within 1.5 % (from memory)."""
HALF_BRIDGE_MM = 0.25
"""Half a bridge's thickness where it is not known."""


class Winder(StrEnum):
    """What turns the ratchet wheel, or the arbor itself, when the watch is wound."""

    CROWN_WHEEL = "crown wheel"
    KEY = "key"
    ROTOR = "rotor"


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownParts:
    """What is known of the parts that push the barrel; None is not known.

    Places are directions from the barrel's centre, heights count from the middle of the lower
    bearing (degrees, mm). `bridge_mm` is the bridge's thickness at the hole.
    """

    rim_radius_mm: Measured
    centre_wheel_deg: Measured | None = None
    click_deg: Measured | None = None
    crown_wheel_deg: Measured | None = None
    turns: Turns | None = None
    pitch_radius_mm: Measured | None = None
    toothed_plane_mm: Measured | None = None
    ratchet_radius_mm: Measured | None = None
    ratchet_plane_mm: Measured | None = None
    bridge_mm: Measured | None = None
    winder: Winder = Winder.CROWN_WHEEL

    @property
    def step_deg(self) -> float:
        """Return how far apart unknown directions are tried."""
        places = (self.centre_wheel_deg, self.click_deg, self.crown_wheel_deg)
        return STEP_DEG if places[0] and any(places[1:]) else COARSE_STEP_DEG


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadChoice:
    """A value that is known, or those among which the worst is looked for, and in which words."""

    values: tuple[Measured, ...]
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Partner:
    """What pushes: where it pushes to, how strongly (one over its radius), and how high."""

    name: str
    directions: LoadChoice
    force: LoadChoice
    height: LoadChoice
    on_barrel: bool


Partners = Callable[[Turns], tuple[Partner, ...]]
"""What pushes, by the way in which the barrel turns."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """A stance under loads: the worst that what is not known allows, and the kindest.

    They are the same where everything is known.
    """

    worst: ArborPose
    kindest: ArborPose


def under_way(known: KnownParts, barrel: Barrel) -> Loaded:
    """Return how the barrel stands while the watch runs: the mesh pulls, the click holds."""
    return loaded("running", running_partners(known, barrel), known, barrel)


def running_partners(known: KnownParts, barrel: Barrel) -> Partners:
    """Return what pushes while the watch runs, for each way of turning."""
    return lambda way: (mesh(known, barrel, way), click(known, barrel, way))


def winding_partners(known: KnownParts, barrel: Barrel) -> Partners:
    """Return what pushes while the watch is wound, for each way of turning."""

    def partners(way: Turns) -> tuple[Partner, ...]:
        pulls = mesh(known, barrel, way)
        return (pulls,) if known.winder is Winder.KEY else (pulls, crown(known, barrel, way))

    return partners


def while_winding(known: KnownParts, barrel: Barrel) -> Loaded:
    """Return how the barrel stands while it is wound: the mesh still pulls, the click is lifted.

    A key turns the arbor without pushing it aside.
    """
    return loaded("winding", winding_partners(known, barrel), known, barrel)


def loaded(name: str, partners: Partners, known: KnownParts, barrel: Barrel) -> Loaded:
    """Return how the barrel stands under its partners; what is not known, at its worst.

    Every combination is tried; the largest lean is the worst.
    """
    tried = combinations(partners, known)
    leans = np.round(leans_of(tried, barrel), 9)
    taken: tuple[str, ...] = () if known.turns else ("both ways of turning",)
    sample = partners(known.turns or Turns.CLOCKWISE)
    taken += tuple(each.words for partner in sample for each in choices(partner) if each.words)
    worst, kindest = (
        pushed(name, tried[int(place)], barrel, tuple(dict.fromkeys(taken)))
        for place in (np.argmax(leans), np.argmin(leans))
    )
    return Loaded(worst=worst, kindest=kindest)


def combinations(partners: Partners, known: KnownParts) -> list[tuple[Push, ...]]:
    """Return the pushes of all partners together, in every way that what is known allows."""
    turnings = (known.turns,) if known.turns else tuple(Turns)
    return [
        each for way in turnings for each in product(*(ways(partner) for partner in partners(way)))
    ]


def choices(partner: Partner) -> tuple[LoadChoice, ...]:
    """Return what a partner's push hangs on."""
    return (partner.directions, partner.force, partner.height)


def ways(partner: Partner) -> list[Push]:
    """Return the pushes that what is known of a partner allows."""
    return [
        Push(
            name=partner.name,
            direction_deg=direction,
            force_n=force,
            height_mm=height,
            on_barrel=partner.on_barrel,
        )
        for direction, force, height in product(*(each.values for each in choices(partner)))
    ]


def leans_of(tried: list[tuple[Push, ...]], barrel: Barrel) -> Numbers:
    """Return the lean under each combination of pushes, all worked at once."""
    rows = [dict(push_values(pushes)) for pushes in tried]
    values = {name: each.value for name, each in measured_values(barrel)}
    pushes = {name: np.array([row[name].value for row in rows]) for name in rows[0]}
    spread = spread_out(values | pushes)
    found: Numbers = np.abs(under_loads(barrel, bearing_loads(tried[0], spread), spread).slope)
    return found


def mesh(known: KnownParts, barrel: Barrel, way: Turns) -> Partner:
    """Return the pinion that the barrel drives: it pushes the teeth back, and the two apart."""
    return Partner(
        name="mesh",
        directions=directions(
            known.centre_wheel_deg,
            lambda place: pull_direction(place, way, PRESSURE_ANGLE_DEG),
            u_deg=PRESSURE_U_DEG,
            words="all directions of the pinion",
            step_deg=known.step_deg,
        ),
        force=LoadChoice(values=(slanting_force(pitch_radius(known)),)),
        height=height_of_teeth(known, barrel),
        on_barrel=True,
    )


def click(known: KnownParts, barrel: Barrel, way: Turns) -> Partner:
    """Return the click: it holds the ratchet wheel along the tangent, the way that winds."""
    radius = ratchet_radius(known)
    return Partner(
        name="click",
        directions=directions(
            known.click_deg,
            lambda place: thrust_direction(place, way, 0.0),
            u_deg=0.0,
            words="all click directions",
            step_deg=known.step_deg,
        ),
        force=LoadChoice(values=tuple(force(each) for each in radius.values), words=radius.words),
        height=height_of_ratchet(known, barrel),
        on_barrel=False,
    )


def crown(known: KnownParts, barrel: Barrel, way: Turns) -> Partner:
    """Return the wheel that turns the ratchet wheel: along its turning, and away from itself."""
    radius = ratchet_radius(known)
    name = "rotor's train" if known.winder is Winder.ROTOR else "crown wheel"
    return Partner(
        name=name,
        directions=directions(
            known.crown_wheel_deg,
            lambda place: thrust_direction(place, way, PRESSURE_ANGLE_DEG),
            u_deg=PRESSURE_U_DEG,
            words=f"all directions of the {name}",
            step_deg=known.step_deg,
        ),
        force=LoadChoice(
            values=tuple(slanting_force(each) for each in radius.values), words=radius.words
        ),
        height=height_of_ratchet(known, barrel),
        on_barrel=False,
    )


def directions(
    place: Measured | None,
    push: Callable[[float], float],
    *,
    u_deg: float,
    words: str,
    step_deg: float,
) -> LoadChoice:
    """Return where a partner at a place pushes to; every direction if the place is not known."""
    if place is None:
        return LoadChoice(values=everywhere(step_deg), words=words)
    doubt = math.hypot(place.u or PLACE_U_DEG, u_deg)
    return LoadChoice(values=(Measured(push(place.value), doubt),))


def everywhere(step_deg: float) -> tuple[Measured, ...]:
    """Return directions all round."""
    return tuple(Measured(float(each)) for each in np.arange(0.0, 360.0, step_deg))


def force(radius_mm: Measured) -> Measured:
    """Return the force that holds a torque of 1 N·mm along the tangent (N)."""
    return propagate(lambda radius: 1 / radius, radius_mm)


def slanting_force(radius_mm: Measured) -> Measured:
    """Return the force that holds a torque of 1 N·mm through slanting teeth (N)."""
    cosine = math.cos(math.radians(PRESSURE_ANGLE_DEG))
    return propagate(lambda radius: 1 / (radius * cosine), radius_mm)


def pitch_radius(known: KnownParts) -> Measured:
    """Return the radius at which the teeth push: the sheet's, else about that of the rim."""
    if known.pitch_radius_mm:
        return known.pitch_radius_mm
    share = Measured(PITCH_SHARE, 0.015)
    return propagate(lambda rim, part: rim * part, known.rim_radius_mm, share)


def height_of_teeth(known: KnownParts, barrel: Barrel) -> LoadChoice:
    """Return the height of the teeth, or its ends where it is not known."""
    span = barrel.arbor.span_mm.value
    return known_or_ends(
        known.toothed_plane_mm, "height of the teeth", (share * span for share in TOOTHED_SHARES)
    )


def ratchet_radius(known: KnownParts) -> LoadChoice:
    """Return the radius of the ratchet wheel, or its ends where it is not known."""
    rim = known.rim_radius_mm.value
    return known_or_ends(
        known.ratchet_radius_mm, "ratchet radius", (share * rim for share in RATCHET_SHARES)
    )


def height_of_ratchet(known: KnownParts, barrel: Barrel) -> LoadChoice:
    """Return the height of the ratchet wheel, or its ends where it is not known."""
    half = known.bridge_mm.value / 2 if known.bridge_mm else HALF_BRIDGE_MM
    face = barrel.arbor.span_mm.value + half
    return known_or_ends(
        known.ratchet_plane_mm, "ratchet plane", (face + rise for rise in RATCHET_RISES_MM)
    )


def known_or_ends(value: Measured | None, name: str, ends: Iterable[float]) -> LoadChoice:
    """Return a value that is known, or both ends of where it may lie, in words."""
    if value is not None:
        return LoadChoice(values=(value,))
    low, high = ends
    return LoadChoice(
        values=(Measured(low), Measured(high)), words=f"{name} {low:.2f} to {high:.2f} mm"
    )
