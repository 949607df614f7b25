"""A barrel as bounds on straight lines, read from a plain dict."""

from dataclasses import dataclass
from math import cos, radians, sin
from typing import Any

import numpy as np

LEAST_PLAY_MM = 2e-6  # a hole no wider than its pivot still needs a room to search in; 2 nm


@dataclass(frozen=True)
class Hole:
    """A hole round a pivot at a height: the pivot's middle may move within an ellipse.

    The half axes of that ellipse are half the hole's long and short axis less half the pivot. In a
    cylinder it binds at both mouths, in a bell-mouthed hole at the middle alone. A pivot larger
    than its hole (two measurements with their doubts) has no play at all.
    """

    height_mm: float
    long_mm: float
    short_mm: float
    long_axis_deg: float
    pivot_mm: float
    length_mm: float = 0.0
    mouth: str = "cylinder"

    def mouths_mm(self) -> list[float]:
        """Return the heights at which the hole binds."""
        if self.mouth not in {"cylinder", "bell"}:
            raise ValueError(f"a hole's mouth is cylinder or bell, not {self.mouth!r}")
        if self.mouth == "bell" or self.length_mm == 0:
            return [self.height_mm]
        return [self.height_mm - self.length_mm / 2, self.height_mm + self.length_mm / 2]

    def room(self) -> np.ndarray:
        """Return the symmetric 2x2 matrix that maps the unit circle on the ellipse, in mm."""
        turn = radians(self.long_axis_deg)
        axes = np.array([[cos(turn), -sin(turn)], [sin(turn), cos(turn)]])
        plays = [max(each - self.pivot_mm, LEAST_PLAY_MM) for each in (self.long_mm, self.short_mm)]
        return axes @ np.diag(plays) @ axes.T / 2


@dataclass(frozen=True)
class Line:
    """A straight line held in two holes, its slope held by shoulders where `greatest_slope` says
    so.

    Why shoulders hold the slope to 2 e / (a + b): the two faces of diameters a and b have between
    them and the plates the endshake e. Leaning by a small slope t, the upper face's rim rises by
    a t / 2 on one side, the lower one's sinks by b t / 2 on the other; both find room as long as
    (a + b) t / 2 <= e. At that lean nothing is left to move up or down.
    """

    lower: Hole
    upper: Hole
    greatest_slope: float | None = None

    def bounds(self) -> np.ndarray:
        """Return B, (k, 2, 4): q = (x, y at height 0, slopes) is allowed if all |B q| <= 1."""
        found = []
        for hole in (self.lower, self.upper):
            inverse = np.linalg.inv(hole.room())
            found += [np.hstack([inverse, inverse * z]) for z in hole.mouths_mm()]
        if self.greatest_slope is not None:
            slope = max(self.greatest_slope, 1e-9)
            found.append(np.hstack([np.zeros((2, 2)), np.eye(2) / slope]))
        return np.array(found)


@dataclass(frozen=True)
class Barrel:
    """All that the mechanics need of one barrel; `inner` is the drum's line seen from the arbor.

    The heights of `inner` are measured like all others. `inner_loads_at(z)` is the height at which
    a load on the drum at z is taken to press on the inner pair.
    """

    arbor: Line
    inner: Line | None
    inner_mapped: bool
    torque_nmm: float
    sense: float  # +1 turns counter-clockwise, -1 clockwise
    pressure_deg: float
    teeth_radius_mm: float
    teeth_height_mm: float
    centre_wheel_deg: float
    ratchet_radius_mm: float
    ratchet_height_mm: float
    click_deg: float | None
    crown_wheel_deg: float | None
    axial_play_mm: float
    rim_radius_mm: float
    gap_plate_mm: float
    gap_bridge_mm: float
    neighbour: tuple[float, float, float] | None  # place in degrees, height, gap

    def inner_loads_at(self, z_mm: float) -> float:
        """Return z itself, or in the simplification its image from the arbor's to the inner span.

        Mapped, a load shares itself between floor and lid as it would between the arbor's own
        bearings: the moments are taken about heights 0 and span.
        """
        if self.inner is None or not self.inner_mapped:
            return z_mm
        floor, lid = self.inner.lower.height_mm, self.inner.upper.height_mm
        low, high = self.arbor.lower.height_mm, self.arbor.upper.height_mm
        return floor + (lid - floor) * (z_mm - low) / (high - low)


def read(given: dict[str, Any]) -> Barrel:
    """Return the barrel of a plain dict; its keys are those `drawn.random_barrels` writes.

    A hole (`lower`, `upper`, `inner`'s `floor` and `lid`) is a dict with `pivot_mm` and either
    `hole_mm` or `hole_long_mm`, `hole_short_mm`, `long_axis_deg`; `length_mm` (0 if absent) and
    `mouth`, "cylinder" (if absent) or "bell". `shoulders` is None or `above_mm`, `below_mm`, and
    `neighbour` None or `place_deg`, `height_mm`, `gap_mm`. `click_deg` or `crown_wheel_deg` may be
    absent or None: then that stance is asked over all places.

    `inner` is None or a dict with `floor`, `lid`, `lid_to_floor_mm`, `floor_height_mm` (None: the
    inner pair stands in the middle of the arbor's span) and `loads`: "own", the mesh presses on
    floor and lid at its true height, or "mapped", see `Barrel.inner_loads_at`. Mapped or not, the
    drum moves where its own bearings stand.

    `drum_endshake_mm` (0 if absent), the drum's own endshake on its arbor, takes its half of the
    gaps to plate and bridge as the arbor's `endshake_mm` does.
    """
    turns = {"counter-clockwise": 1.0, "clockwise": -1.0}
    span, endshake, inner = given["span_mm"], given["endshake_mm"], given.get("inner")
    neighbour = given.get("neighbour")
    keys = ("place_deg", "height_mm", "gap_mm")
    return Barrel(
        arbor=Line(
            _hole(given["lower"], 0.0),
            _hole(given["upper"], span),
            _shoulder_slope(given.get("shoulders"), endshake),
        ),
        inner=None if inner is None else _inner(inner, span),
        inner_mapped=inner is not None and {"own": False, "mapped": True}[inner["loads"]],
        torque_nmm=given["torque_nmm"],
        sense=turns[given["turns"]],
        pressure_deg=given.get("pressure_deg", 15.0),
        teeth_radius_mm=given["teeth_radius_mm"],
        teeth_height_mm=given["teeth_height_mm"],
        centre_wheel_deg=given["centre_wheel_deg"],
        ratchet_radius_mm=given["ratchet_radius_mm"],
        ratchet_height_mm=given["ratchet_height_mm"],
        click_deg=given.get("click_deg"),
        crown_wheel_deg=given.get("crown_wheel_deg"),
        axial_play_mm=endshake + given.get("drum_endshake_mm", 0.0),
        rim_radius_mm=given["rim_radius_mm"],
        gap_plate_mm=given["gap_plate_mm"],
        gap_bridge_mm=given["gap_bridge_mm"],
        neighbour=None if neighbour is None else tuple(neighbour[key] for key in keys),
    )


def _hole(given: dict[str, Any], height_mm: float) -> Hole:
    long_mm = given["hole_mm"] if "hole_mm" in given else given["hole_long_mm"]
    return Hole(
        height_mm,
        long_mm,
        given.get("hole_short_mm", long_mm),
        given.get("long_axis_deg", 0.0),
        given["pivot_mm"],
        given.get("length_mm", 0.0),
        given.get("mouth", "cylinder"),
    )


def _shoulder_slope(given: dict[str, float] | None, endshake_mm: float) -> float | None:
    if given is None:
        return None
    return 2 * endshake_mm / (given["above_mm"] + given["below_mm"])


def _inner(given: dict[str, Any], span_mm: float) -> Line:
    length = given["lid_to_floor_mm"]
    floor = given.get("floor_height_mm")
    floor = (span_mm - length) / 2 if floor is None else floor
    return Line(_hole(given["floor"], floor), _hole(given["lid"], floor + length))
