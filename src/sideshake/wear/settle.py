"""Where a loaded axis settles in its holes: as far along the loads as every mouth lets it.

An axis is a straight line held by two bearings; its points are complex numbers, x + iy, seen from
the bridge (mm). A load at each bearing pulls it; without friction it comes to rest where the loads
can do no more work. What it may not leave are sections of the holes, and the slope that shoulders
and endshake allow. That is a convex problem, so there is one answer, and it is found either by
trying which two sections carry the axis or, where three or more do, by an interior-point method.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product
from typing import Any

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Points = NDArray[np.complex128]

LEAST_PLAY_MM = 1e-5
"""Half a play is never taken smaller: a hundredth of a micrometre, far below any measurement."""
CHUNK = 4096
"""Cases worked at once, so that the arrays stay in the processor's cache."""
ROUNDS = 60
EXACT, CLOSE_ENOUGH = 1e-9, 1e-5
"""Work still to be gained, as a share of all, at which a case counts as solved: for one answer, and
for one of many draws (there it moves the lean by less than 0.1 %)."""
FAINT = 1e-6
"""A pull to the middle, as a share of the loads: a case that may rest anywhere along a way (in wide
holes, stopped by its shoulders) rests in its middle; others are moved by as little."""
LEAST_ROOM = 1e-14
"""Room to a rim is never counted as less, so that rounding cannot make it nothing."""
SLACK = 1e-9
"""A point this share outside its section counts as on its rim."""
CENTRING, RECENTRING, BACK_OFF = 0.1, 0.5, 0.98
"""Each round aims at a tenth of the work still to be gained (at half of it after a step shorter
than half), and stops short of the rims. Found by trying; any such values end in the same place."""
FEWER = 0.8
"""Solved cases are set aside when fewer than this share is still open."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MouthSection:
    """One ellipse that the axis must pass through.

    `share` is its height in spans above the lower bearing, `upper` the bearing it belongs to;
    `long_mm` and `across_mm` are half the plays along and across `axis_deg`.
    """

    share: Numbers
    long_mm: Numbers
    across_mm: Numbers
    axis_deg: float
    upper: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AxisPlace:
    """Where the axis stands at the middle of its lower and of its upper bearing (mm)."""

    lower: Points
    upper: Points

    def at(self, share: Any) -> Points:
        """Return where it stands at a height, in spans above the lower bearing."""
        found: Points = self.lower + (self.upper - self.lower) * share
        return found


def settle(
    sections: Sequence[MouthSection],
    loads: tuple[Points, Points],
    furthest_mm: Numbers,
    close: float = EXACT,
) -> AxisPlace:
    """Return where the axis comes to rest under a load at each bearing, for many cases at once.

    Parameters
    ----------
    sections : what it must pass through; sizes of shape (n,)
    loads : force on the lower and the upper bearing, shape (n,), any unit
    furthest_mm : how far the upper end may stand aside of the lower, by the shoulders; inf if free
    close : the share of the work that may still be to gain

    References
    ----------
    Boyd & Vandenberghe (2004), Convex Optimization, 11.7: the primal-dual interior-point method
    """
    lower, upper = loads
    settled = [
        settle_some([cut(each, part) for each in sections], (lower[part], upper[part]), far, close)
        for part, far in chunks(lower.size, furthest_mm)
    ]
    return AxisPlace(
        lower=np.concatenate([each.lower for each in settled]),
        upper=np.concatenate([each.upper for each in settled]),
    )


def chunks(size: int, furthest_mm: Numbers) -> list[tuple[slice, Numbers]]:
    """Return the cases in pieces that fit the cache."""
    parts = [slice(start, start + CHUNK) for start in range(0, size, CHUNK)]
    return [(part, furthest_mm[part]) for part in parts]


def cut(section: MouthSection, part: Any) -> MouthSection:
    """Return some of a section's cases."""
    return MouthSection(
        share=section.share[part],
        long_mm=section.long_mm[part],
        across_mm=section.across_mm[part],
        axis_deg=section.axis_deg,
        upper=section.upper,
    )


def settle_some(
    sections: Sequence[MouthSection],
    loads: tuple[Points, Points],
    furthest_mm: Numbers,
    close: float,
) -> AxisPlace:
    """Return where the axis settles: carried by two sections if they can, else by more."""
    axis, rests = carried_by_two(sections, loads, furthest_mm)
    left = np.flatnonzero(~rests)
    if left.size:
        few = [cut(each, left) for each in sections]
        held = carried_by_more(few, (loads[0][left], loads[1][left]), furthest_mm[left], close)
        axis.lower[left], axis.upper[left] = held.lower, held.upper
    return axis


def carried_by_two(
    sections: Sequence[MouthSection], loads: tuple[Points, Points], furthest_mm: Numbers
) -> tuple[AxisPlace, NDArray[np.bool_]]:
    """Return the axis resting on one section of each bearing, and for which cases it does.

    Two forces must balance the loads, so both are known; each section is touched where the force
    is square to its rim. If the axis so held keeps within all others, it is where it settles: the
    conditions of Karush, Kuhn and Tucker hold.
    """
    size = loads[0].size
    axis = AxisPlace(lower=np.zeros(size, complex), upper=np.zeros(size, complex))
    rests = np.zeros(size, bool)
    pairs = product([s for s in sections if not s.upper], [s for s in sections if s.upper])
    for one, other in pairs:
        if np.all(rests):
            break
        held = on_two(one, other, loads)
        fits = inside(held, sections, furthest_mm) & ~rests
        axis.lower[fits], axis.upper[fits] = held.lower[fits], held.upper[fits]
        rests |= fits
    return axis, rests


def on_two(one: MouthSection, other: MouthSection, loads: tuple[Points, Points]) -> AxisPlace:
    """Return the axis that two sections hold against the loads."""
    apart = other.share - one.share
    far = (loads[1] - one.share * (loads[0] + loads[1])) / apart
    near = loads[0] + loads[1] - far
    first, second = furthest_along(one, near), furthest_along(other, far)
    rise = (second - first) / apart
    lower = first - rise * one.share
    return AxisPlace(lower=lower, upper=lower + rise)


def furthest_along(section: MouthSection, force: Points) -> Points:
    """Return the point of a section that lies furthest along a force; its middle if there is none.

    For an ellipse with half axes a and b it is (a² u, b² v) / sqrt(a² u² + b² v²).
    """
    turn = np.exp(1j * np.radians(section.axis_deg))
    along = force / turn
    x, y = section.long_mm**2 * along.real, section.across_mm**2 * along.imag
    size = np.sqrt(x * along.real + y * along.imag)
    found: Points = (x + 1j * y) / np.where(size > 0, size, 1.0) * turn
    return found


def inside(
    axis: AxisPlace, sections: Sequence[MouthSection], furthest_mm: Numbers
) -> NDArray[np.bool_]:
    """Return for which cases the axis keeps within every section and within the slope allowed."""
    fits: NDArray[np.bool_] = np.abs(axis.upper - axis.lower) <= furthest_mm * (1 + SLACK)
    for each in sections:
        at = axis.at(each.share) * np.exp(-1j * np.radians(each.axis_deg))
        fits &= (at.real / each.long_mm) ** 2 + (at.imag / each.across_mm) ** 2 <= 1 + SLACK
    return fits


@dataclass(frozen=True, slots=True)
class Rims:
    """Limits 1 - y'Qy >= 0 on y = a p + b q, for k limits and n cases.

    p is the axis' place and q its lean, as the frame counts them.
    """

    a: Numbers
    b: Numbers
    xx: Numbers
    xy: Numbers
    yy: Numbers

    def some(self, which: NDArray[np.bool_]) -> "Rims":
        """Return the limits of some of the cases."""
        every = (self.a, self.b, self.xx, self.xy, self.yy)
        return Rims(*(each[:, which] for each in every))

    def moves(self, way: Numbers) -> tuple[Numbers, Numbers]:
        """Return y for p = (way[0], way[1]) and q = (way[2], way[3])."""
        return self.a * way[0] + self.b * way[2], self.a * way[1] + self.b * way[3]

    def pressed(self, x: Numbers, y: Numbers) -> tuple[Numbers, Numbers]:
        """Return Qy."""
        return self.xx * x + self.xy * y, self.xy * x + self.yy * y


def carried_by_more(
    sections: Sequence[MouthSection],
    loads: tuple[Points, Points],
    furthest_mm: Numbers,
    close: float,
) -> AxisPlace:
    """Return where the axis settles when it may rest on any number of sections."""
    frame = frame_of(sections, furthest_mm)
    pull = frame.seen(*loads)
    size = np.sqrt(np.add.reduce(pull**2))
    rims = rims_of(sections, frame, furthest_mm)
    return frame.axis(furthest_work(rims, pull / np.where(size > 0, size, 1.0), close))


@dataclass(frozen=True, slots=True)
class AxisFrame:
    """The axis by its place in the tighter bearing and how far the upper end leans from the lower.

    `upper` is 1 where the upper bearing is the tighter one, else 0. Each is counted in what the
    holes allow of it, `place_mm` and `lean_mm`, so that tight and wide holes go together.
    """

    upper: Numbers
    place_mm: Numbers
    lean_mm: Numbers

    def seen(self, lower: Points, upper: Points) -> Numbers:
        """Return the loads as they pull at place and lean, shape (4, n)."""
        place = (lower + upper) * self.place_mm
        lean = np.where(self.upper > 0, -lower, upper) * self.lean_mm
        return np.stack([place.real, place.imag, lean.real, lean.imag])

    def axis(self, at: Numbers) -> AxisPlace:
        """Return the axis of a place and a lean, shape (4, n)."""
        place = (at[0] + 1j * at[1]) * self.place_mm
        lean = (at[2] + 1j * at[3]) * self.lean_mm
        lower = place - lean * self.upper
        return AxisPlace(lower=lower, upper=lower + lean)


def frame_of(sections: Sequence[MouthSection], furthest_mm: Numbers) -> AxisFrame:
    """Return in what the axis is best counted: the tighter bearing, and what the lean can be."""
    low, high = (
        np.minimum.reduce([each.long_mm for each in sections if each.upper is upper])
        for upper in (False, True)
    )
    allowed = [
        (one.long_mm + other.long_mm) / np.abs(other.share - one.share)
        for one, other in combinations(sections, 2)
    ]
    return AxisFrame(
        upper=(high < low).astype(float),
        place_mm=np.minimum(low, high),
        lean_mm=np.minimum.reduce([furthest_mm, *allowed]),
    )


def rims_of(sections: Sequence[MouthSection], frame: AxisFrame, furthest_mm: Numbers) -> Rims:
    """Return the sections, and the slope's limit where it is one, as limits."""
    rows = []
    for each in sections:
        turn = np.radians(each.axis_deg)
        cosine, sine = np.cos(turn), np.sin(turn)
        along, across = each.long_mm**-2.0, each.across_mm**-2.0
        rows.append(
            (
                frame.place_mm,
                (each.share - frame.upper) * frame.lean_mm,
                along * cosine**2 + across * sine**2,
                (along - across) * cosine * sine,
                along * sine**2 + across * cosine**2,
            )
        )
    if np.any(furthest_mm <= frame.lean_mm):
        stiff, none = furthest_mm**-2.0, np.zeros_like(furthest_mm)
        rows.append((none, frame.lean_mm, stiff, none, stiff))
    return Rims(*(np.stack(each) for each in zip(*rows, strict=True)))


def furthest_work(rims: Rims, pull: Numbers, close: float) -> Numbers:
    """Return the place, shape (4, n), within the rims at which the pull has done most work."""
    count, size = rims.a.shape
    found, going = np.zeros((4, size)), np.arange(size)
    at, presses = np.zeros((4, size)), np.full((count, size), 1.0 / count)
    aim = np.full(size, CENTRING)
    for _ in range(ROUNDS):
        x, y = rims.moves(at)
        qx, qy = rims.pressed(x, y)
        room = np.maximum(1 - x * qx - y * qy, LEAST_ROOM)
        left = np.add.reduce(presses * room)
        goal = aim * left / count
        way = newton_way(rims, pull - FAINT * at, (presses, room, goal), (2 * qx, 2 * qy))
        step, more = stepped(rims, (presses, room, goal), way, (2 * qx, 2 * qy))
        at, presses = at + step * way, presses + step * more
        aim = np.where(step < RECENTRING, RECENTRING, CENTRING)
        still = left > close * np.abs(np.add.reduce(pull * at))
        if np.count_nonzero(still) < FEWER * still.size:
            found[:, going] = at
            rims, pull, going = rims.some(still), pull[:, still], going[still]
            at, presses, aim = at[:, still], presses[:, still], aim[still]
        if not going.size:
            break
    found[:, going] = at
    return found


def newton_way(
    rims: Rims,
    pull: Numbers,
    state: tuple[Numbers, Numbers, Numbers],
    slopes: tuple[Numbers, Numbers],
) -> Numbers:
    """Return Newton's step towards the place where each press times its room is the goal."""
    presses, room, goal = state
    gx, gy = slopes
    push = goal / room
    weight = presses / room
    xx = 2 * presses * rims.xx + weight * gx * gx
    xy = 2 * presses * rims.xy + weight * gx * gy
    yy = 2 * presses * rims.yy + weight * gy * gy
    aa, ab, bb = rims.a * rims.a, rims.a * rims.b, rims.b * rims.b
    blocks = [tuple(np.add.reduce(share * each) for each in (xx, xy, yy)) for share in (aa, ab, bb)]
    blocks[0], blocks[2] = faintly(blocks[0]), faintly(blocks[2])
    px, py = push * gx, push * gy
    rest = pull - np.stack(
        [
            np.add.reduce(rims.a * px),
            np.add.reduce(rims.a * py),
            np.add.reduce(rims.b * px),
            np.add.reduce(rims.b * py),
        ]
    )
    return solved(blocks, rest)


def faintly(block: tuple[Numbers, ...]) -> tuple[Numbers, ...]:
    """Return a block on the diagonal with the faint pull to the middle in it."""
    xx, xy, yy = block
    return (xx + FAINT, xy, yy + FAINT)


def solved(blocks: list[tuple[Numbers, ...]], rest: Numbers) -> Numbers:
    """Return the solution of [[A, B], [B, C]] way = rest, each block symmetric two by two."""
    (axx, axy, ayy), (bxx, bxy, byy), (cxx, cxy, cyy) = blocks
    scale = 1 / (axx * ayy - axy * axy)
    ixx, ixy, iyy = ayy * scale, -axy * scale, axx * scale
    # D = A^-1 B; then the Schur complement C - B D is symmetric
    dxx, dxy = ixx * bxx + ixy * bxy, ixx * bxy + ixy * byy
    dyx, dyy = ixy * bxx + iyy * bxy, ixy * bxy + iyy * byy
    sxx = cxx - bxx * dxx - bxy * dyx
    sxy = cxy - bxx * dxy - bxy * dyy
    syy = cyy - bxy * dxy - byy * dyy
    rx = rest[2] - dxx * rest[0] - dyx * rest[1]
    ry = rest[3] - dxy * rest[0] - dyy * rest[1]
    scale = 1 / (sxx * syy - sxy * sxy)
    qx, qy = (syy * rx - sxy * ry) * scale, (sxx * ry - sxy * rx) * scale
    px = ixx * rest[0] + ixy * rest[1] - dxx * qx - dxy * qy
    py = ixy * rest[0] + iyy * rest[1] - dyx * qx - dyy * qy
    return np.stack([px, py, qx, qy])


def stepped(
    rims: Rims,
    state: tuple[Numbers, Numbers, Numbers],
    way: Numbers,
    slopes: tuple[Numbers, Numbers],
) -> tuple[Numbers, Numbers]:
    """Return place and presses after the longest step that keeps within all rims, at most one."""
    presses, room, goal = state
    x, y = rims.moves(way)
    falls = slopes[0] * x + slopes[1] * y
    qx, qy = rims.pressed(x, y)
    bends = x * qx + y * qy
    more = (goal + presses * falls) / room - presses
    root = np.sqrt(falls * falls + 4 * bends * room)
    to_rim = np.minimum.reduce(2 * room / (falls + root + 1e-300))
    to_zero = np.minimum.reduce(
        np.where(more < 0, presses / -np.where(more < 0, more, -1.0), np.inf)
    )
    return np.minimum(1.0, BACK_OFF * np.minimum(to_rim, to_zero)), more
