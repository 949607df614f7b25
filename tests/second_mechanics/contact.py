"""Where a loaded line comes to rest: the place in its bounds where the loads have done most work.

Without friction the loads push the line until no allowed movement lets them do more work. Their
work
is linear in the four freedoms q = (x, y at height 0, slope in x, slope in y); each bound |B q| <= 1
is convex, so there is one greatest work, and every rest is that one:

    most  c . q   with   s_k = (1, B_k q) in the cone  s0 >= |s1|,
    least sum z0  with   z_k = (z0, z1) in the cone and  - sum B_k' z1 = c.

The second line is the statics: -z1 is what a bound gives back, all of them balance the loads, and
whatever balances them is worth at least the work. So the two close in on the answer from both
sides,
and what lies between them (`Rest.doubt`) is a proven error, whatever the search did. The search is
a
primal-dual interior-point method with Nesterov and Todd's scaling and Mehrotra's corrector
(Nesterov
and Todd 1997; Andersen, Dahl and Vandenberghe 2011, "Interior-point methods for large-scale cone
programming"; both from memory), which from a middle start needs ten to twenty steps.
"""

from dataclasses import dataclass

import numpy as np

from second_mechanics.barrel import Line

CLOSE = 1e-10  # relative gap between the two sides at which a load's rest is found
STEPS = 60


@dataclass(frozen=True)
class Rest:
    """n loads and where each leaves the line.

    `q` shape (n, 4); `reactions` shape (n, k, 2), what each bound of `Line.bounds` gives back, in
    the loads' unit (for shoulders a couple); `doubt` shape (n,), how much more work could at most
    be done, as a share of the work.
    """

    q: np.ndarray
    reactions: np.ndarray
    doubt: np.ndarray

    def moved(self, z_mm: float) -> np.ndarray:
        """Return the line's movement at a height, shape (n, 2)."""
        return self.q[:, :2] + z_mm * self.q[:, 2:]

    @property
    def slope(self) -> np.ndarray:
        """The slope of the line, shape (n, 2)."""
        return self.q[:, 2:]


def rest(line: Line, loads: np.ndarray) -> Rest:
    """Return where loads (n, 4) = (force x, force y, sum of z times force x, of z times force y)
    end.

    The search runs in coordinates in which the mean bound is a sphere and every load has length 1,
    so that small plays and small forces cost nothing in accuracy.
    """
    loads = np.atleast_2d(np.asarray(loads, float))
    if not np.all(np.isfinite(loads)) or np.any(np.all(loads == 0, axis=1)):
        raise ValueError("a line without a load does not come to rest at one place")
    bounds = line.bounds()
    values, vectors = np.linalg.eigh(np.einsum("kij,kil->jl", bounds, bounds))
    back = vectors / np.sqrt(values)  # q = back @ y
    round_bounds = bounds @ back
    round_loads = loads @ back
    size = np.linalg.norm(round_loads, axis=1)
    y, held = _search(round_bounds, round_loads / size[:, None])
    work = np.sum(y * round_loads, axis=1) / size
    doubt = np.linalg.norm(held, axis=2).sum(axis=1) / work - 1
    return Rest(y @ back.T, _as_forces(line, held * size[:, None, None]), doubt)


def _search(bounds: np.ndarray, loads: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return y (n, 4) within the bounds and reactions (n, k, 2) that balance the loads exactly.

    The mean bound being a sphere, the sum of B' B is 1, so that B c are the smallest reactions that
    balance c: the start, and what mends rounding at the end.
    """
    y = np.zeros_like(loads)
    s = np.zeros((len(loads), len(bounds), 3))
    s[:, :, 0] = 1.0
    z = _cone(bounds, loads)
    z[:, :, 0] = 2.0
    for _ in range(STEPS):
        gap = np.sum(s * z, axis=(1, 2))
        open_still = gap > CLOSE * np.sum(y * loads, axis=1)
        if not np.any(open_still):
            break
        dy, ds, dz = _step(bounds, s, z)
        share = open_still * np.minimum(1.0, 0.99 * np.minimum(_room(s, ds), _room(z, dz)))
        y = y + share[:, None] * dy
        s[:, :, 1:] = np.einsum("kij,nj->nki", bounds, y)
        z = z + share[:, None, None] * dz
    y = y / np.maximum(np.linalg.norm(s[:, :, 1:], axis=2).max(axis=1), 1.0)[:, None]
    held = -z[:, :, 1:]
    missing = loads - np.einsum("kij,nki->nj", bounds, held)
    return y, held + np.einsum("kij,nj->nki", bounds, missing)


def _cone(bounds: np.ndarray, loads: np.ndarray) -> np.ndarray:
    pushed = -np.einsum("kij,nj->nki", bounds, loads)
    return np.concatenate([np.zeros_like(pushed[:, :, :1]), pushed], axis=2)


def _step(
    bounds: np.ndarray, s: np.ndarray, z: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return the way of y, s and z: straight at the answer, then mended for what curves."""
    scale, unscale = _scaling(s, z)
    at = _times(scale, z)
    here = _product(at, at)
    _, ds, dz = _solve(bounds, unscale, -at)
    reach = np.minimum(1.0, np.minimum(_room(s, ds), _room(z, dz)))
    mean = np.sum(s * z, axis=(1, 2)) / s.shape[1]
    wanted = -here - _product(_times(unscale, ds), _times(scale, dz))
    wanted[:, :, 0] += (mean * (1 - reach) ** 3)[:, None]
    return _solve(bounds, unscale, _divide(at, wanted))


def _solve(
    bounds: np.ndarray, unscale: np.ndarray, wanted: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return the step with W dz + ds / W = wanted that keeps s = (1, B y) and the loads balanced.

    That is a least-squares problem in A = (0; B) / W, solved by QR: A' A would lose the ways in
    which nothing holds the line beside those in which a bound does.
    """
    n, k = wanted.shape[:2]
    a = np.einsum("nkia,kaj->nkij", unscale[:, :, :, 1:], bounds).reshape(n, 3 * k, 4)
    d = wanted.reshape(n, 3 * k, 1)
    q, r = np.linalg.qr(a)
    dy = np.linalg.solve(r, np.swapaxes(q, 1, 2) @ d)
    dz = _times(unscale, (d - a @ dy).reshape(n, k, 3))
    return dy[:, :, 0], -_cone(bounds, dy[:, :, 0]), dz


def _scaling(s: np.ndarray, z: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return W and its inverse, (n, k, 3, 3), with W z = s / W: Nesterov and Todd's."""
    s_size, z_size = _size(s), _size(z)
    s_unit, z_unit = s / s_size[:, :, None], z / z_size[:, :, None]
    turned = z_unit * np.array([1.0, -1.0, -1.0])
    half = np.sqrt((1 + np.sum(s_unit * z_unit, axis=2)) / 2)
    w = (s_unit + turned) / (2 * half[:, :, None])
    eta = np.sqrt(s_size / z_size)[:, :, None, None]
    return eta * _arrow(w), _arrow(w * np.array([1.0, -1.0, -1.0])) / eta


def _arrow(w: np.ndarray) -> np.ndarray:
    tip, tail = w[:, :, 0], w[:, :, 1:]
    found = np.empty((*w.shape, 3))
    found[:, :, 0, :], found[:, :, :, 0] = w, w
    outer = tail[:, :, :, None] * tail[:, :, None, :]
    found[:, :, 1:, 1:] = np.eye(2) + outer / (1 + tip)[:, :, None, None]
    return found


def _size(v: np.ndarray) -> np.ndarray:
    length = np.linalg.norm(v[:, :, 1:], axis=2)
    return np.sqrt(np.maximum((v[:, :, 0] - length) * (v[:, :, 0] + length), 1e-30))


def _product(u: np.ndarray, v: np.ndarray) -> np.ndarray:
    tip = np.sum(u * v, axis=2, keepdims=True)
    return np.concatenate([tip, u[:, :, :1] * v[:, :, 1:] + v[:, :, :1] * u[:, :, 1:]], axis=2)


def _divide(by: np.ndarray, v: np.ndarray) -> np.ndarray:
    """Return u with by o u = v."""
    top = by[:, :, :1] * v[:, :, :1] - np.sum(by[:, :, 1:] * v[:, :, 1:], axis=2, keepdims=True)
    tip = top / _size(by)[:, :, None] ** 2
    return np.concatenate([tip, (v[:, :, 1:] - tip * by[:, :, 1:]) / by[:, :, :1]], axis=2)


def _times(matrices: np.ndarray, v: np.ndarray) -> np.ndarray:
    return np.einsum("nkij,nkj->nki", matrices, v)


def _room(v: np.ndarray, way: np.ndarray) -> np.ndarray:
    """Return how many steps `way` may be gone from v, shape (n,), before one cone is left."""
    a = way[:, :, 0] ** 2 - np.sum(way[:, :, 1:] ** 2, axis=2)
    b = v[:, :, 0] * way[:, :, 0] - np.sum(v[:, :, 1:] * way[:, :, 1:], axis=2)
    c = _size(v) ** 2
    # (a x + 2 b) x + c = 0, least root above 0; written as c / (-b + ...) it survives a = 0
    root = np.sqrt(np.maximum(b**2 - a * c, 0))
    meets = (b**2 >= a * c) & ((a < 0) | (b < 0))
    most = np.where(meets, c / np.maximum(-b + root, 1e-300), np.inf)
    return most.min(axis=1)


def _as_forces(line: Line, held: np.ndarray) -> np.ndarray:
    rooms = [hole.room() for hole in (line.lower, line.upper) for _ in hole.mouths_mm()]
    if line.greatest_slope is not None:
        rooms.append(np.eye(2) * max(line.greatest_slope, 1e-9))
    return -np.stack([held[:, k] @ np.linalg.inv(room) for k, room in enumerate(rooms)], axis=1)
