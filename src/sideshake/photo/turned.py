"""Several photographs with the part turned between: what turns with the part is wear.

In the picture's axes the oval of each photograph is wear, turned with the part, and what the camera
adds (a bent lens, a tilt the card did not take out), which stays. As complex numbers of the second
harmonic: seen = wear exp(2 i turn) + camera. Turned about the line of sight a pair turns twice as
fast. Three photographs, a third of a turn apart or a quarter, tell both.
"""

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.hole import HALF_TURN, REAL, HoleSeen, PhotoView, SeenSide

LEAST_PHOTOGRAPHS = 3
LEAST_TURN_SPREAD = 0.25
"""How far the turns must lie apart: 1 less the length of the mean of exp(2 i turn)."""
AGREES = 0.01
"""Below this probability the photographs contradict each other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OvalPair:
    """An oval as told by several photographs: how large, which way, how probably real.

    `direction_deg` is that of the long axis, 0 to 180: on the part for wear, in the picture for
    what the camera adds; None unless real.
    """

    oval_mm: Measured
    direction_deg: Measured | None
    chance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedPhotographs:
    """What several photographs of one hole, the part turned between, tell together.

    Parameters
    ----------
    mean_mm : the mean diameter; what the photographs share (scale, form) is not averaged away
    wear : what turned with the part
    camera : what stayed
    agree : the probability of so much contradiction, or more, if both are all there is
    """

    mean_mm: Measured
    wear: OvalPair
    camera: OvalPair
    agree: float

    @property
    def contradict(self) -> bool:
        """Return whether the photographs contradict each other: a turn mistaken, another hole."""
        return self.agree < AGREES


def combined(holes: Sequence[HoleSeen]) -> TurnedPhotographs:
    """Return what turned with the part and what stayed.

    Parameters
    ----------
    holes : at least three, of one hole from one side, each with its own `view.turned_deg`

    Raises
    ------
    InputError : fewer than three, from different sides, or turned by too little
    NotEnough : a photograph tells no oval (light from behind)

    References
    ----------
    Reversal, as for roundness: Evans, Hocken, Estler (1996), CIRP Annals 45, 617-634

    Examples
    --------
    See docs/photograph.md.
    """
    require_turned(holes)
    ovals = [hole.oval for hole in holes if hole.oval is not None]
    if len(ovals) < len(holes):
        raise NotEnough("light from behind tells no oval: light the hole from the front")
    seen = np.array([complex(oval.p_mm, oval.q_mm) for oval in ovals])
    turns = np.exp(2j * np.radians([hole.view.turned_deg for hole in holes]))
    edge_u = math.sqrt(float(np.mean([oval.edge_u_mm**2 for oval in ovals])))
    design = np.column_stack([turns, np.ones_like(turns)])
    wear, camera = np.linalg.lstsq(design, seen, rcond=None)[0]
    missed = float((np.abs(seen - design @ np.array([wear, camera])) ** 2).sum())
    spread = np.linalg.inv((design.conj().T @ design).real)
    freedom = 2 * len(holes) - 4
    agree = float(stats.chi2.sf(missed / edge_u**2, freedom))
    u = max(edge_u, math.sqrt(missed / freedom))
    side = holes[0].view.side
    return TurnedPhotographs(
        mean_mm=mean_of(holes),
        wear=pair_of(complex(wear), u * math.sqrt(spread[0, 0]), freedom, side),
        camera=pair_of(complex(camera), u * math.sqrt(spread[1, 1]), freedom, SeenSide.BRIDGE),
        agree=agree,
    )


def require_turned(holes: Sequence[HoleSeen]) -> None:
    """Refuse too few photographs, different sides, or turns too much alike."""
    if len(holes) < LEAST_PHOTOGRAPHS:
        raise InputError(f"{LEAST_PHOTOGRAPHS} photographs are needed, got {len(holes)}")
    if len({hole.view.side for hole in holes}) > 1:
        raise InputError("all photographs must show the hole from the same side")
    mean = np.mean(np.exp(2j * np.radians([hole.view.turned_deg for hole in holes])))
    if 1.0 - abs(mean) < LEAST_TURN_SPREAD:
        raise InputError(
            "the part must be turned between the photographs, by about 60 degrees each time (a "
            "half turn does not count: an oval looks the same)"
        )


def pair_of(pair: complex, u_mm: float, freedom: int, side: SeenSide) -> OvalPair:
    """Return an oval from its complex number and the standard uncertainty of either part.

    The chance is that of an F distribution with the freedom the photographs leave and the many
    edge points of each.
    """
    square = abs(pair) ** 2
    freed = math.sqrt(max(square - 2 * u_mm**2, 0.0))
    chance = float(stats.f.cdf(square / u_mm**2 / 2, 2, MANY + freedom)) if u_mm else 1.0
    middle = math.degrees(cmath.phase(pair)) / 2
    way = Measured(
        PhotoView(side=side).part_deg(middle),
        min(math.degrees(0.5 * u_mm / max(abs(pair), 1e-12)), HALF_TURN / math.sqrt(12)),
    )
    return OvalPair(
        oval_mm=Measured(4 * freed, 4 * u_mm),
        direction_deg=way if chance >= REAL else None,
        chance=chance,
    )


MANY = 20
"""Independent points that an edge is worth at the least (measured: 60 to 360, of which up to 22
count as one)."""


def mean_of(holes: Sequence[HoleSeen]) -> Measured:
    """Return the mean of the mean diameters: their scatter shrinks, what they share does not."""
    values = [hole.mean_mm.value for hole in holes]
    return Measured(float(np.mean(values)), max(hole.mean_mm.u for hole in holes))
