"""Free, running and winding: the loads of each, and where the barrel then stands.

Arbor and drum. The drum's line is the arbor's line p(z) plus the drum's own line r(z) in its
bearings
on the arbor. The mesh pushes the drum, click and crown wheel push the arbor (by the ratchet), and
what the drum is given it hands on to the arbor. All work is then

    mesh . (p + r)(z teeth) + ratchet force . p(z ratchet)

so arbor and drum come to rest apart: the arbor under both forces, the drum on it under the mesh.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import atan, atan2, cos, degrees, hypot, pi, radians, sin
from typing import Any

import numpy as np

from second_mechanics.barrel import Barrel, Line, read
from second_mechanics.contact import Rest, rest


@dataclass(frozen=True)
class Loaded:
    """The barrel under known loads (running or winding).

    `slope` is the drum's whole slope (arbor's and its own), `at_zero` its axis at height 0 (its own
    part included); `arbor_slope`, `arbor_at_zero` the same of the arbor alone. `reactions` are what
    the mouths of the arbor's holes (lower then upper, from below) and then the shoulders give back.
    """

    barrel: Barrel
    slope: np.ndarray
    at_zero: np.ndarray
    arbor_slope: np.ndarray
    arbor_at_zero: np.ndarray
    reactions: np.ndarray
    inner_reactions: np.ndarray | None
    doubt: float

    @property
    def lean_deg(self) -> float:
        """How far the drum leans."""
        return degrees(atan(hypot(*self.slope)))

    @property
    def toward_deg(self) -> float:
        """Where the drum's upper end goes, 0 to 360."""
        return degrees(atan2(self.slope[1], self.slope[0])) % 360

    def moved_mm(self, z_mm: float) -> np.ndarray:
        """Return how far the drum's axis has moved at a height, (x, y)."""
        return self.at_zero + z_mm * self.slope

    def arbor_moved_mm(self, z_mm: float) -> np.ndarray:
        """Return how far the arbor's axis has moved at a height, (x, y)."""
        return self.arbor_at_zero + z_mm * self.arbor_slope

    def gap_plate_mm(self, place_deg: float | None = None) -> float:
        """Return the least gap left under the rim, anywhere or in one direction; below 0 it rubs.

        The rim sinks where the upper end goes, by its radius times the slope toward there.
        """
        left = self.barrel.gap_plate_mm - self.barrel.axial_play_mm / 2
        return left - self.barrel.rim_radius_mm * _toward(self.slope, place_deg)

    def gap_bridge_mm(self, place_deg: float | None = None) -> float:
        """Return the least gap left over the rim: it rises on the side away from the upper end."""
        left = self.barrel.gap_bridge_mm - self.barrel.axial_play_mm / 2
        return left - self.barrel.rim_radius_mm * _toward(-self.slope, place_deg)

    def gap_neighbour_mm(self) -> float:
        """Return the gap left to the neighbour beside; endshake takes nothing sideways."""
        place_deg, height_mm, gap_mm = _neighbour(self.barrel)
        return gap_mm - float(self.moved_mm(height_mm) @ _way(place_deg))


@dataclass(frozen=True)
class Free:
    """The barrel in the hand: what can be reached at all, in the worst or in a given direction."""

    barrel: Barrel
    lean_deg: float
    toward_deg: float  # 0 to 180: whatever can lean one way can lean the other way as much
    arbor_lean_deg: float
    doubt: float

    def lean_toward_deg(self, place_deg: float) -> float:
        """Return how far the drum's upper end can be leaned in one direction."""
        return degrees(atan(self._slope(place_deg)))

    def moved_mm(self, z_mm: float, place_deg: float) -> float:
        """Return how far the drum's axis can be moved in one direction at a height."""
        load = np.concatenate([_way(place_deg), z_mm * _way(place_deg)])[None]
        arbor, inner = _parts(self.barrel, load)
        return float(sum(np.sum(part.q * load) for part in (arbor, inner) if part is not None))

    def gap_plate_mm(self, place_deg: float | None = None) -> float:
        """Return the least gap that can be left under the rim, anywhere or in one direction."""
        return self._gap(self.barrel.gap_plate_mm, place_deg)

    def gap_bridge_mm(self, place_deg: float | None = None) -> float:
        """Return the least gap that can be left over the rim, anywhere or in one direction."""
        return self._gap(self.barrel.gap_bridge_mm, place_deg)

    def gap_neighbour_mm(self) -> float:
        """Return the least gap that can be left to the neighbour."""
        place_deg, height_mm, gap_mm = _neighbour(self.barrel)
        return gap_mm - self.moved_mm(height_mm, place_deg)

    def _gap(self, gap_mm: float, place_deg: float | None) -> float:
        whole = np.tan(radians(self.lean_deg))
        slope = whole if place_deg is None else self._slope(place_deg)
        return gap_mm - self.barrel.axial_play_mm / 2 - self.barrel.rim_radius_mm * float(slope)

    def _slope(self, place_deg: float) -> float:
        return float(_reach(self.barrel, np.array([place_deg]))[0][0])


@dataclass(frozen=True)
class Answer:
    """The three stances; `running` or `winding` is None where its place is not known."""

    free: Free
    running: Loaded | None
    winding: Loaded | None


def solve(given: dict[str, Any]) -> Answer:
    """Return the three stances of a barrel given as a plain dict (`drawn.random_barrels`)."""
    barrel = read(given)
    running = None if barrel.click_deg is None else _loaded(barrel, running_loads(barrel))
    winding = None if barrel.crown_wheel_deg is None else _loaded(barrel, winding_loads(barrel))
    return Answer(_free(barrel), running, winding)


def over_click_places(given: dict[str, Any], places_deg: np.ndarray | None = None) -> list[Loaded]:
    """Return the running stance for every place of the click, each degree if none are given."""
    return _over(read(given), "click_deg", running_loads, places_deg)


def over_crown_places(given: dict[str, Any], places_deg: np.ndarray | None = None) -> list[Loaded]:
    """Return the winding stance for every place of the crown wheel."""
    return _over(read(given), "crown_wheel_deg", winding_loads, places_deg)


def mesh_force(barrel: Barrel) -> np.ndarray:
    """Return what the centre pinion gives the drum: against its turning, and toward its middle."""
    size = barrel.torque_nmm / (barrel.teeth_radius_mm * cos(radians(barrel.pressure_deg)))
    return size * _flank(-barrel.sense, barrel.centre_wheel_deg, barrel.pressure_deg)


def running_loads(barrel: Barrel) -> tuple[np.ndarray, np.ndarray]:
    """Return the loads on the arbor and on the inner pair under way: mesh, and the click's hold.

    The spring turns the drum in its sense and the arbor the other way; the click, tangential, turns
    the arbor back in the drum's sense with the same torque.
    """
    click = barrel.torque_nmm / barrel.ratchet_radius_mm * barrel.sense
    return _with_mesh(barrel, click * _way(_set(barrel.click_deg) + 90))


def winding_loads(barrel: Barrel) -> tuple[np.ndarray, np.ndarray]:
    """Return the loads while winding: mesh as under way, the crown wheel's tooth for the click."""
    size = barrel.torque_nmm / (barrel.ratchet_radius_mm * cos(radians(barrel.pressure_deg)))
    place = _set(barrel.crown_wheel_deg)
    return _with_mesh(barrel, size * _flank(barrel.sense, place, barrel.pressure_deg))


def _with_mesh(barrel: Barrel, at_ratchet: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    mesh, height = mesh_force(barrel), barrel.teeth_height_mm
    arbor = np.concatenate([mesh, mesh * height])
    arbor += np.concatenate([at_ratchet, at_ratchet * barrel.ratchet_height_mm])
    return arbor, np.concatenate([mesh, mesh * barrel.inner_loads_at(height)])


def _flank(sense: float, place_deg: float, pressure_deg: float) -> np.ndarray:
    """Return the unit push of a tooth that touches at a place: along `sense`, and to the middle."""
    pressure = radians(pressure_deg)
    return sense * cos(pressure) * _way(place_deg + 90) - sin(pressure) * _way(place_deg)


def _over(
    barrel: Barrel,
    name: str,
    loads_of: Callable[[Barrel], tuple[np.ndarray, np.ndarray]],
    places_deg: np.ndarray | None,
) -> list[Loaded]:
    places = np.arange(360.0) if places_deg is None else places_deg
    barrels = [replace(barrel, **{name: float(place)}) for place in places]
    pairs = [loads_of(each) for each in barrels]
    arbor = rest(barrel.arbor, np.array([pair[0] for pair in pairs]))
    inner = None if barrel.inner is None else rest(barrel.inner, np.array(pairs[0][1]))
    return [_put_together(each, arbor, inner, n) for n, each in enumerate(barrels)]


def _loaded(barrel: Barrel, loads: tuple[np.ndarray, np.ndarray]) -> Loaded:
    inner = None if barrel.inner is None else rest(barrel.inner, loads[1])
    return _put_together(barrel, rest(barrel.arbor, loads[0]), inner, 0)


def _put_together(barrel: Barrel, arbor: Rest, inner: Rest | None, n: int) -> Loaded:
    own = np.zeros(4) if inner is None else inner.q[0]
    return Loaded(
        barrel=barrel,
        slope=arbor.q[n, 2:] + own[2:],
        at_zero=arbor.q[n, :2] + own[:2],
        arbor_slope=arbor.q[n, 2:],
        arbor_at_zero=arbor.q[n, :2],
        reactions=arbor.reactions[n],
        inner_reactions=None if inner is None else inner.reactions[0],
        doubt=float(max(arbor.doubt[n], 0 if inner is None else inner.doubt[0])),
    )


def _free(barrel: Barrel) -> Free:
    """Return the greatest lean: the reach in a direction, over all directions, then closer.

    The last directions lie 0.02 degrees apart; the reach toward a direction falls off from the
    greatest by the cosine at most, so that 2e-8 of it can be lost.
    """
    places = np.arange(0, 180, 2.0)
    reach, arbor, _ = _reach(barrel, places)
    arbor_most = arbor.max()
    for spread in (2.0, 0.2):
        places = places[np.argmax(reach)] + np.linspace(-spread, spread, 21)
        reach, arbor, doubt = _reach(barrel, places)
    top = int(np.argmax(reach))
    return Free(
        barrel=barrel,
        lean_deg=degrees(atan(reach[top])),
        toward_deg=float(places[top] % 180),
        arbor_lean_deg=degrees(atan(max(arbor_most, arbor.max()))),
        doubt=float(doubt.max()),
    )


def _reach(barrel: Barrel, places_deg: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return the greatest slope toward each place, the arbor's share, and the doubt."""
    ways = np.stack([_way(each) for each in places_deg])
    loads = np.hstack([np.zeros_like(ways), ways])
    arbor, inner = _parts(barrel, loads)
    share = np.sum(arbor.slope * ways, axis=1)
    if inner is None:
        return share, share, arbor.doubt
    whole = share + np.sum(inner.slope * ways, axis=1)
    return whole, share, np.maximum(arbor.doubt, inner.doubt)


def _parts(barrel: Barrel, loads: np.ndarray) -> tuple[Rest, Rest | None]:
    line: Line | None = barrel.inner
    return rest(barrel.arbor, loads), None if line is None else rest(line, loads)


def _way(place_deg: float) -> np.ndarray:
    return np.array([cos(place_deg * pi / 180), sin(place_deg * pi / 180)])


def _toward(slope: np.ndarray, place_deg: float | None) -> float:
    return hypot(*slope) if place_deg is None else float(slope @ _way(place_deg))


def _set(place_deg: float | None) -> float:
    if place_deg is None:
        raise ValueError("the place at the ratchet is not known: ask over all places")
    return place_deg


def _neighbour(barrel: Barrel) -> tuple[float, float, float]:
    if barrel.neighbour is None:
        raise ValueError("this barrel has no neighbour beside it")
    return barrel.neighbour
