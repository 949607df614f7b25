"""What made a hole oval: the direction of its long axis tells winding thrust from mesh thrust."""

from dataclasses import dataclass
from enum import StrEnum

from sideshake.quantities import Measured
from sideshake.wear.bearing import Hole, ovality
from sideshake.wear.stance import Stance

NEAR_DEG = 30.0
"""An axis this near to a thrust is put down to it; a sixth of the half turn an axis can take."""
SURE_OVAL = 2.0
"""An ovality below twice its own uncertainty may be no ovality at all."""


class Cause(StrEnum):
    """What wore the hole."""

    ROUND = "round"
    WINDING = "winding"
    MESH = "mesh"
    BOTH_POSSIBLE = "both possible"
    NEITHER = "neither"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleCause:
    """The cause, how far the long axis stands off each thrust (degrees), and a sentence."""

    cause: Cause
    ovality_mm: Measured
    off_winding_deg: float | None
    off_mesh_deg: float | None
    sentence: str


SENTENCES = {
    Cause.ROUND: "The hole is not measurably oval, so its shape tells nothing of the cause.",
    Cause.WINDING: "The long axis lies along the thrust of winding: the arbor turns in this hole "
    "only while the watch is wound, and a dry or dirty hole wears then. Clean, true and oil it, "
    "or the new hole goes the same way.",
    Cause.MESH: "The long axis lies along the steady pull of the mesh: the arbor stands still "
    "while the watch runs, so this is pressing and fretting, helped by every winding.",
    Cause.BOTH_POSSIBLE: "The thrusts of winding and of the mesh lie close together here: the "
    "direction cannot tell them apart.",
    Cause.NEITHER: "The long axis follows neither the thrust of winding nor that of the mesh: "
    "look for a bent arbor, a hole closed with a punch, or an earlier repair.",
    Cause.UNKNOWN: "Without the directions of the crown wheel and the centre pinion the cause "
    "stays open.",
}
TURNING_ARBOR = (
    "In this calibre the arbor turns while the watch runs, so the mesh wears the hole all the time."
)


def cause_of(
    hole: Hole, *, winding_deg: float | None, mesh_deg: float | None, arbor_turns: bool = False
) -> HoleCause:
    """Return what the direction of the long axis says about the cause.

    Parameters
    ----------
    winding_deg, mesh_deg : direction in which each thrust loads this bearing; None if not known
    arbor_turns : whether the arbor turns while the watch runs (not in an ordinary going barrel)
    """
    oval = ovality(hole)
    winding = None if winding_deg is None else axis_off(hole.long_axis_deg, winding_deg)
    mesh = None if mesh_deg is None else axis_off(hole.long_axis_deg, mesh_deg)
    cause = which_cause(winding, mesh) if is_oval(oval) else Cause.ROUND
    words = TURNING_ARBOR if arbor_turns and cause is Cause.MESH else SENTENCES[cause]
    return HoleCause(
        cause=cause, ovality_mm=oval, off_winding_deg=winding, off_mesh_deg=mesh, sentence=words
    )


def is_oval(oval: Measured) -> bool:
    """Return whether an ovality is more than its own uncertainty can make."""
    return oval.value > SURE_OVAL * oval.u and oval.value > 0


def which_cause(winding: float | None, mesh: float | None) -> Cause:
    """Return the cause from how far the axis stands off each thrust (degrees)."""
    if winding is None and mesh is None:
        return Cause.UNKNOWN
    near_winding = winding is not None and winding <= NEAR_DEG
    near_mesh = mesh is not None and mesh <= NEAR_DEG
    if near_winding and near_mesh:
        return Cause.BOTH_POSSIBLE
    if near_winding:
        return Cause.WINDING
    return Cause.MESH if near_mesh else Cause.NEITHER


def axis_off(axis_deg: float, thrust_deg: float) -> float:
    """Return the angle between an axis, which has no sense, and a thrust (0 to 90 degrees).

    Examples
    --------
    >>> axis_off(10.0, 190.0), axis_off(0.0, 135.0)
    (0.0, 45.0)
    """
    off = abs(axis_deg - thrust_deg) % 180.0
    return min(off, 180.0 - off)


def loads_on(stance: Stance | None, place: str) -> float | None:
    """Return the direction in which a stance loads the "lower" or the "upper" bearing."""
    if stance is None:
        return None
    return stance.lower_deg if place == "lower" else stance.upper_deg
