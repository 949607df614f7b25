"""How a jewel or bush is to be made beside its three sizes: hole, oil sink, edges, surfaces.

One place for what a maker would otherwise telephone about. All of it is common practice, from
memory and without a source, except where one is named. Millimetres; roughness in micrometres.
"""

import math
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.fit.jewel import (
    HOLE_TOLERANCE_MM,
    OUTSIDE_TOLERANCE_MM,
    THICKNESS_TOLERANCE_MM,
    Part,
)
from sideshake.fit.materials import RUBY
from sideshake.fit.shape import BoreShape

SINK_SHARE = 0.5
"""How much of the wall round the hole the oil sink takes at the face."""
SINK_DEPTH_SHARE = 0.3
"""How deep an oil sink is as a share of the thickness."""
LEAST_SINK_WALL_MM = 0.04
"""An oil sink narrower than this round the hole holds no oil; as much face stays beside it."""
SINK_TOLERANCE_MM = 0.05
EDGE_RADIUS_MM = 0.02
CHAMFER_TOLERANCE_MM = 0.02
OLIVE_TOLERANCE_MM = 0.05
RUNOUT_MM = 0.005
SQUARE_MM = 0.005
"""Within how much the flat face is square to the hole: no more than the hole may run out."""
PACKING = (
    "Each part number by itself in a closed box or paper, marked with order and part number; all "
    "in a hard parcel, insured."
)
"""How parts are packed unless something else is agreed."""
OUTER_EDGE_MM = 0.02
"""Most that is taken off an edge without an indication of its own, and no burr (ISO 13715)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sink:
    """An oil sink: the hollow of a sphere round the hole, on the outer face."""

    across_mm: float
    deep_mm: float

    @property
    def deep_tolerance_mm(self) -> float:
        """Return how far its depth may be off: a quarter, to a hundredth."""
        return max(0.01, round(self.deep_mm / 4, 2))

    def sphere(self, hole_mm: float) -> tuple[float, float]:
        """Return the sphere's radius, and how far its middle lies outside the face.

        From r² = (across/2)² + h² at the face and r² = (hole/2)² + (h + deep)² at the hole.
        """
        rim, hole = self.across_mm / 2, hole_mm / 2
        outside = (rim**2 - hole**2 - self.deep_mm**2) / (2 * self.deep_mm)
        return math.hypot(rim, outside), outside


@dataclass(frozen=True, slots=True, kw_only=True)
class Roughness:
    """The most that Ra may be on each surface, micrometres."""

    hole_um: float
    faces_um: float
    outside_um: float


RUBY_ROUGHNESS = Roughness(hole_um=0.025, faces_um=0.05, outside_um=0.2)
METAL_ROUGHNESS = Roughness(hole_um=0.8, faces_um=0.4, outside_um=0.4)


def roughness(part: Part) -> Roughness:
    """Return how smooth a part's surfaces are to be."""
    return RUBY_ROUGHNESS if part.material == RUBY else METAL_ROUGHNESS


def sink_of(part: Part) -> Sink | None:
    """Return the oil sink; None where none is wished, and in a bush.

    Raises
    ------
    InputError : the wall round the hole leaves no room for the sink that is wished
    """
    if not part.sink or part.material != RUBY:
        return None
    wall = (part.outside_mm - part.hole_mm) / 2
    wide = min(SINK_SHARE * wall, wall - part.chamfer_mm - LEAST_SINK_WALL_MM)
    if wide < LEAST_SINK_WALL_MM:
        raise InputError(
            f"a wall of {wall:.3f} mm round the hole has no room for an oil sink beside the "
            f"chamfer of {part.chamfer_mm:.3f} mm: wish for one without"
        )
    deep = min(SINK_DEPTH_SHARE * part.thickness_mm, wide)
    return Sink(across_mm=round(part.hole_mm + 2 * wide, 2), deep_mm=round(deep, 2))


def bore_length_mm(part: Part) -> float:
    """Return how long the hole is between the flat face and the sink."""
    sink = sink_of(part)
    return part.thickness_mm - (sink.deep_mm if sink else 0.0)


def olive_radius_mm(part: Part) -> float | None:
    """Return the radius of an olive hole's wall along the axis, about its length; None if straight.

    At its ends the hole is then wider than in its middle by about a quarter of its length.
    """
    if part.bore is not BoreShape.OLIVE:
        return None
    return max(0.05, round(bore_length_mm(part) * 20) / 20)


def edge_radius_mm(part: Part) -> float:
    """Return the radius at both ends of the hole, less in a very thin part."""
    return EDGE_RADIUS_MM if bore_length_mm(part) >= 6 * EDGE_RADIUS_MM else EDGE_RADIUS_MM / 2


def bore_words(part: Part) -> str:
    """Return the form of the hole, as it is said in a list."""
    radius = olive_radius_mm(part)
    return "straight hole" if radius is None else f"olive hole, R {radius:.3f}"


def sink_words(part: Part) -> str:
    """Return the oil sink, or that there is none, as it is said in a list."""
    sink = sink_of(part)
    if sink is None:
        return "no oil sink"
    return f"oil sink Ø {sink.across_mm:.3f}, {sink.deep_mm:.3f} deep"


def tolerance_words() -> str:
    """Return the tolerance of each size a part is ordered by, in their order."""
    return (
        f"hole ±{HOLE_TOLERANCE_MM:.3f}, outside ±{OUTSIDE_TOLERANCE_MM:.3f}, "
        f"thickness ±{THICKNESS_TOLERANCE_MM:.3f} mm"
    )


def form_tolerance_words() -> str:
    """Return how true hole, outside and flat face are to each other."""
    return (
        f"the hole runs out against the outside by at most {RUNOUT_MM:.3f} mm; the flat face is "
        f"square to the hole within {SQUARE_MM:.3f} mm"
    )
