"""Which loads may have worn a hole of the arbor, and in which directions they press there."""

import math

import numpy as np

from sideshake.wear.arbor_pose import FRICTION_DEG, Push, bearing_loads, middle_spans, push_values
from sideshake.wear.barrel import Barrel
from sideshake.wear.cause import Thrust, WearCause
from sideshake.wear.loads import (
    KnownParts,
    Partners,
    combinations,
    mesh,
    running_partners,
    winding_partners,
)


def thrusts_on(
    known: KnownParts, barrel: Barrel, *, upper: bool, arbor_turns: bool = False
) -> tuple[Thrust, ...]:
    """Return the loads on the lower or the upper bearing of the arbor.

    That of the mesh alone; that under way, which is the click's and the mesh's together; and that
    of winding, the crown wheel's and the mesh's. Where the arbor turns while the watch runs no
    click holds it: only the mesh is left.
    """
    pulls = thrust(
        WearCause.MESH, lambda way: (mesh(known, barrel, way),), known, barrel, upper=upper
    )
    if arbor_turns:
        return (pulls,)
    loads = (
        (WearCause.CLICK, running_partners(known, barrel)),
        (WearCause.WINDING, winding_partners(known, barrel)),
    )
    return (
        pulls,
        *(thrust(cause, partners, known, barrel, upper=upper) for cause, partners in loads),
    )


def thrust(
    cause: WearCause, partners: Partners, known: KnownParts, barrel: Barrel, *, upper: bool
) -> Thrust:
    """Return one load on one bearing, in every direction that what is known allows."""
    tried = combinations(partners, known)
    found = directions_on(tried, barrel, upper=upper)
    widest = max(each.direction_deg.u for each in tried[0])
    return Thrust(
        cause=cause,
        directions_deg=tuple(dict.fromkeys(found)),
        u_deg=math.hypot(FRICTION_DEG / math.sqrt(3.0), widest),
    )


def directions_on(tried: list[tuple[Push, ...]], barrel: Barrel, *, upper: bool) -> list[float]:
    """Return the direction of the load on one bearing under each combination of pushes."""
    rows = [dict(push_values(pushes)) for pushes in tried]
    values = {name: np.array([row[name].value for row in rows]) for name in rows[0]}
    loads = bearing_loads(tried[0], values | middle_spans(barrel))
    angles = np.degrees(np.angle(loads.upper if upper else loads.lower))
    return [round(float(each), 3) % 360.0 for each in np.atleast_1d(angles)]
