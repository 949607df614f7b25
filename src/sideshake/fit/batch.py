"""Which few sizes to have made so that most future repairs are served, and what each more costs.

A size serves a repair by the rule by which a jewel from the drawer does (`fit.jewel.serves`).
"""

import math
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import LinearConstraint, milp

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.fit.jewel import (
    FINE_HOLE_STEP_MM,
    LEAST_THICKNESS_MM,
    STANDARD_OUTSIDES_MM,
    Part,
    Seat,
    largest_outside,
    least_outside,
    play_inside,
    serves,
    thickness_asked,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchPrices:
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
class JewelBatch:
    """The sizes chosen, how many of the repairs they serve, and what they cost.

    `right` : how many of those will end with the play wanted, each having its own chance
    """

    sizes: tuple[Part, ...]
    served: int
    repairs: int
    right: Measured
    cost: float

    @property
    def coverage(self) -> float:
        """Return the share of the repairs served."""
        return self.served / self.repairs


def candidates(seats: tuple[Seat, ...]) -> tuple[Part, ...]:
    """Return every part worth considering: holes in half-hundredths, outsides, thicknesses."""
    sizes = {size for seat in seats for size in sizes_for(seat)}
    return tuple(
        Part(outside_mm=outside, hole_mm=hole, thickness_mm=thickness)
        for hole, outside, thickness in sorted(sizes)
    )


def sizes_for(seat: Seat) -> set[tuple[float, float, float]]:
    """Return hole, outside and thickness of the parts that may serve a seat."""
    if seat.plate_thickness_mm < LEAST_THICKNESS_MM:
        return set()
    own = {
        min(largest_outside(seat), round(math.ceil(least_outside(seat, hole) * 20) / 20, 4))
        for hole in holes_for(seat)
    }
    outsides = {*STANDARD_OUTSIDES_MM, *own}
    thickness = thickness_asked(seat)
    return {
        (hole, outside, thickness)
        for hole, outside in product(holes_for(seat), outsides)
        if hole < outside <= largest_outside(seat)
    }


def holes_for(seat: Seat) -> list[float]:
    """Return the holes, in half-hundredths, that can give a seat the play it wants.

    A jewel's bore closes in its seat, at most by the whole interference: so much larger may it be.
    """
    low, high = (seat.pivot_mm.value + play for play in seat.play_mm)
    first = math.ceil(low / FINE_HOLE_STEP_MM - 1e-6)
    last = math.floor((high + seat.interference_mm) / FINE_HOLE_STEP_MM + 1e-6)
    return [round(count * FINE_HOLE_STEP_MM, 4) for count in range(first, last + 1)]


def chances(seats: tuple[Seat, ...], parts: tuple[Part, ...]) -> NDArray[np.float64]:
    """Return the chance of the right play where a part serves a seat, shape (seats, parts).

    It is 0 where the part does not serve.
    """
    found = np.zeros((len(seats), len(parts)))
    sizes = np.array([[each.hole_mm, each.thickness_mm] for each in parts]).reshape(-1, 2)
    for row, seat in enumerate(seats):
        holes = holes_for(seat)
        worth_trying = (
            (sizes[:, 0] >= holes[0] - 1e-9)
            & (sizes[:, 0] <= holes[-1] + 1e-9)
            & (sizes[:, 1] <= seat.plate_thickness_mm)
            if holes and seat.plate_thickness_mm >= LEAST_THICKNESS_MM
            else np.zeros(len(parts), dtype=bool)
        )
        for column in np.flatnonzero(worth_trying):
            if serves(seat, parts[column]):
                found[row, column] = play_inside(seat, parts[column])
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchChoice:
    """The repairs, the parts worth considering, and how likely each is right where it serves."""

    repairs: int
    parts: tuple[Part, ...]
    chances: NDArray[np.float64]

    def best(self, sizes: int, *, prices: BatchPrices) -> JewelBatch:
        """Return the choice of at most `sizes` parts that serves most repairs."""
        chosen = covering((self.chances > 0).astype(float), sizes)
        taken = (self.parts[column] for column in np.flatnonzero(chosen))
        picked = tuple(sorted(taken, key=lambda part: (part.hole_mm, part.outside_mm)))
        best = self.chances[:, chosen].max(axis=1, initial=0.0)
        return JewelBatch(
            sizes=picked,
            served=int(np.count_nonzero(best)),
            repairs=self.repairs,
            right=Measured(float(best.sum()), float(np.sqrt((best * (1 - best)).sum()))),
            cost=prices.of(len(picked)),
        )


def choice(seats: tuple[Seat, ...]) -> BatchChoice:
    """Return what there is to choose from; of parts that serve the same repairs, the likeliest
    stays.

    Raises
    ------
    InputError : there is no repair
    NotEnough : no part could be made for any of the repairs
    """
    if not seats:
        raise InputError("there is no repair in the list: nothing to have made")
    parts = candidates(seats)
    found = chances(seats, parts)
    if not found.any():
        raise NotEnough(
            "none of the repairs has room for a part whose play would most likely be right"
        )
    likeliest = np.argsort(-found.sum(axis=0), kind="stable")
    _, first = np.unique(found[:, likeliest] > 0, axis=1, return_index=True)
    kept = likeliest[first]
    return BatchChoice(
        repairs=len(seats), parts=tuple(parts[each] for each in kept), chances=found[:, kept]
    )


def best_batch(seats: tuple[Seat, ...], sizes: int, *, prices: BatchPrices) -> JewelBatch:
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


def coverage_curve(seats: tuple[Seat, ...], *, prices: BatchPrices) -> tuple[JewelBatch, ...]:
    """Return the best batch for one size, two, and so on, until nothing more is served.

    Raises
    ------
    InputError : there is no repair
    NotEnough : no part could be made for any of the repairs
    """
    offered = choice(seats)
    curve: list[JewelBatch] = []
    for sizes in range(1, len(seats) + 1):
        best = offered.best(sizes, prices=prices)
        if curve and best.served <= curve[-1].served:
            break
        curve.append(best)
    return tuple(curve)
