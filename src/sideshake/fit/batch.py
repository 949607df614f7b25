"""Which few sizes to have made so that most future repairs are served, and what each more costs."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import LinearConstraint, milp

from sideshake.errors import InputError, NotEnough
from sideshake.fit.jewel import (
    CUT_BEYOND_MM,
    LEAST_RING_MM,
    STANDARD_OUTSIDES_MM,
    Part,
    Seat,
    largest_outside,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """What a batch costs: setting up for each size, and each piece; any currency."""

    per_size: float
    per_piece: float
    pieces_per_size: int

    def __post_init__(self) -> None:
        if min(self.per_size, self.per_piece) < 0 or self.pieces_per_size < 1:
            raise InputError(
                f"prices {self.per_size:g} and {self.per_piece:g} must be 0 or more, pieces "
                f"{self.pieces_per_size} at least 1"
            )

    def of(self, sizes: int) -> float:
        """Return the cost of that many sizes."""
        return sizes * (self.per_size + self.pieces_per_size * self.per_piece)


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """The sizes chosen, how many of the repairs they serve, and what they cost."""

    sizes: tuple[Part, ...]
    served: int
    repairs: int
    cost: float

    @property
    def coverage(self) -> float:
        """Return the share of the repairs served."""
        return self.served / self.repairs


LEAST_THICKNESS_SHARE = 0.5
"""A jewel sits in sound metal over at least half the plate's thickness (from memory)."""
HUNDREDTH = 0.01


def candidates(seats: tuple[Seat, ...]) -> tuple[Part, ...]:
    """Return every part worth considering, by holes, standard outsides and thicknesses."""
    holes = sorted({each for seat in seats for each in holes_for(seat)})
    thicknesses = sorted({whole_thickness(seat) for seat in seats})
    return tuple(
        Part(outside_mm=outside, hole_mm=hole, thickness_mm=thickness)
        for hole in holes
        for outside in STANDARD_OUTSIDES_MM
        for thickness in thicknesses
        if hole + 2 * LEAST_RING_MM["ruby"] <= outside
    )


def holes_for(seat: Seat) -> list[float]:
    """Return the holes, in whole hundredths, that give a seat the play it wants."""
    low, high = (seat.pivot_mm.value + play for play in seat.play_mm)
    first, last = math.ceil(low / HUNDREDTH - 1e-6), math.floor(high / HUNDREDTH + 1e-6)
    return [round(count * HUNDREDTH, 2) for count in range(first, last + 1)]


def whole_thickness(seat: Seat) -> float:
    """Return the plate's thickness rounded down to a twentieth (mm)."""
    return max(0.15, math.floor(seat.plate_thickness_mm * 20 + 1e-9) / 20)


def serving(seats: tuple[Seat, ...], parts: tuple[Part, ...]) -> NDArray[np.float64]:
    """Return 1 where a part gives the play wanted and fits the metal, shape (seats, parts)."""
    pivot = np.array([[seat.pivot_mm.value] for seat in seats])
    low, high = (np.array([[seat.play_mm[end]] for seat in seats]) for end in (0, 1))
    old, plate = (
        np.array([[getattr(seat, name)] for seat in seats])
        for name in ("old_hole_mm", "plate_thickness_mm")
    )
    room = np.array([[largest_outside(seat)] for seat in seats])
    hole, outside, thickness = (
        np.array([getattr(part, name) for part in parts])
        for name in ("hole_mm", "outside_mm", "thickness_mm")
    )
    play = hole - pivot
    right = (play >= low - 1e-9) & (play <= high + 1e-9)
    fits = (outside >= old + 2 * CUT_BEYOND_MM - 1e-9) & (outside <= room + 1e-9)
    holds = (thickness <= plate + 1e-9) & (thickness >= LEAST_THICKNESS_SHARE * plate - 1e-9)
    return np.asarray(right & fits & holds, dtype=float)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """The repairs, the parts worth considering, and which part serves which repair."""

    repairs: int
    parts: tuple[Part, ...]
    able: NDArray[np.float64]

    def best(self, sizes: int, *, prices: Prices) -> Batch:
        """Return the choice of at most `sizes` parts that serves most repairs."""
        chosen = covering(self.able, sizes)
        taken = (self.parts[column] for column in np.flatnonzero(chosen))
        picked = tuple(sorted(taken, key=lambda part: (part.hole_mm, part.outside_mm)))
        served = int(np.count_nonzero(self.able[:, chosen].any(axis=1)))
        cost = prices.of(len(picked))
        return Batch(sizes=picked, served=served, repairs=self.repairs, cost=cost)


def choice(seats: tuple[Seat, ...]) -> Choice:
    """Return what there is to choose from; of parts that serve the same repairs, one stays.

    Raises
    ------
    InputError : there is no repair
    NotEnough : no part could be made for any of the repairs
    """
    if not seats:
        raise InputError("there is no repair in the list: nothing to have made")
    parts = candidates(seats)
    able = serving(seats, parts) if parts else np.zeros((len(seats), 0))
    able, first = np.unique(able, axis=1, return_index=True)
    if not able.any():
        raise NotEnough("none of the repairs has room for a part")
    return Choice(repairs=len(seats), parts=tuple(parts[each] for each in first), able=able)


def best_batch(seats: tuple[Seat, ...], sizes: int, *, prices: Prices) -> Batch:
    """Return the choice of at most `sizes` sizes that serves most repairs.

    Raises
    ------
    InputError : there is no repair, or fewer than one size is allowed
    NotEnough : no part could be made for any of the repairs

    References
    ----------
    maximum coverage as a mixed integer programme, solved by HiGHS (scipy.optimize.milp)
    """
    if sizes < 1:
        raise InputError(f"a batch needs at least one size, got {sizes}")
    return choice(seats).best(sizes, prices=prices)


def covering(able: NDArray[np.float64], sizes: int) -> NDArray[np.bool_]:
    """Return which columns to take, at most `sizes`, so that most rows have a 1 in one of them.

    Variables: one for each column (taken) and one for each row (served, at most what is taken).
    Among equally good choices the one with fewer columns wins.
    """
    rows, columns = able.shape
    worth = np.concatenate([np.full(columns, 1e-4), -np.ones(rows)])
    served = LinearConstraint(np.hstack([-able, np.eye(rows)]), -np.inf, 0.0)
    few = LinearConstraint(np.concatenate([np.ones(columns), np.zeros(rows)]), 0.0, float(sizes))
    whole = np.concatenate([np.ones(columns), np.zeros(rows)])
    solved = milp(worth, constraints=[served, few], integrality=whole, bounds=(0, 1))
    if not solved.success:
        raise NotEnough(f"no best batch was found: {solved.message}")
    return np.asarray(solved.x[:columns] > 0.5)


def coverage_curve(seats: tuple[Seat, ...], *, prices: Prices) -> tuple[Batch, ...]:
    """Return the best batch for one size, two, and so on, until nothing more is served.

    Raises
    ------
    InputError : there is no repair
    NotEnough : no part could be made for any of the repairs
    """
    offered = choice(seats)
    curve: list[Batch] = []
    for sizes in range(1, len(seats) + 1):
        best = offered.best(sizes, prices=prices)
        if curve and best.served <= curve[-1].served:
            break
        curve.append(best)
    return tuple(curve)
