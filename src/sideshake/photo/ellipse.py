"""An ellipse through edge points, with an honest covariance.

It is written as c + S e(t), e(t) the unit circle and S = [[r + p, q], [q, r - p]]: r is the mean
semi-axis and (p, q) the pair of the second harmonic, which is nothing where the hole is round. So
no parameter loses its meaning at the circle, as the direction of the long axis does.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError, NotEnough
from sideshake.photo.spread import MAD_TO_SIGMA

Points = NDArray[np.float64]
LEAST_POINTS = 12
TUKEY = 4.685
"""Where the biweight ends, in standard deviations: 95 % as good as least squares if all is normal
(Beaton and Tukey 1974)."""
STEPS = 40
MILD_STEPS = 15
"""So many steps of least absolute distances first: from them no burr draws the fit away."""
ROUGH_STEPS, MILD_ROUGH_STEPS = 8, 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Ellipse:
    """An ellipse: its middle, its mean semi-axis r and the pair (p, q) of its second harmonic.

    Examples
    --------
    >>> wide = Ellipse(x=0.0, y=0.0, r=10.0, p=1.0, q=0.0)
    >>> wide.long, wide.short, wide.angle_rad
    (11.0, 9.0, 0.0)
    """

    x: float
    y: float
    r: float
    p: float = 0.0
    q: float = 0.0

    def __post_init__(self) -> None:
        if not self.r > math.hypot(self.p, self.q):
            raise InputError(f"an ellipse has two semi-axes above 0, got {self}")

    @property
    def long(self) -> float:
        """Return the long semi-axis."""
        return self.r + math.hypot(self.p, self.q)

    @property
    def short(self) -> float:
        """Return the short semi-axis."""
        return self.r - math.hypot(self.p, self.q)

    @property
    def out_of_round(self) -> float:
        """Return how far it is from a circle: the second harmonic over the mean semi-axis."""
        return (self.long - self.r) / self.r

    @property
    def angle_rad(self) -> float:
        """Return where the long axis points, from +x towards +y, -pi/2 to pi/2."""
        return 0.5 * math.atan2(self.q, self.p)

    @property
    def numbers(self) -> NDArray[np.float64]:
        """Return x, y, r, p, q."""
        return np.array([self.x, self.y, self.r, self.p, self.q])

    @property
    def stretch(self) -> NDArray[np.float64]:
        """Return the matrix S that makes this ellipse of the unit circle."""
        return np.array([[self.r + self.p, self.q], [self.q, self.r - self.p]])

    def points(self, angles_rad: NDArray[np.float64]) -> Points:
        """Return the points c + S e(t), shape (n, 2)."""
        circle = np.column_stack([np.cos(angles_rad), np.sin(angles_rad)])
        return circle @ self.stretch + (self.x, self.y)

    def seen(self, points: Points) -> tuple[NDArray[np.float64], NDArray[np.float64], Points]:
        """Return of points: how far outside they lie, their t, and the outward normals there.

        The distance is (rho - 1) / |grad rho| with rho = |S^-1 (point - c)|: exact for a circle.
        """
        back = np.linalg.inv(self.stretch)
        on_circle = (points - (self.x, self.y)) @ back
        rho = np.linalg.norm(on_circle, axis=1)
        safe = np.maximum(rho, 1e-12)
        slope = (on_circle / safe[:, None]) @ back
        steep = np.linalg.norm(slope, axis=1)
        steep = np.maximum(steep, 1e-12)
        angles = np.arctan2(on_circle[:, 1], on_circle[:, 0])
        return (rho - 1.0) / steep, angles, slope / steep[:, None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """An ellipse that was fitted, and what the points say about it.

    Parameters
    ----------
    covariance : shape (5, 5), of x, y, r, p, q, neighbouring points being alike
    residuals : shape (n,), how far each point lies outside; also those that were not believed
    weights : shape (n,), 0 where a point was not believed, to 1
    alike : how many neighbouring points count as one
    """

    ellipse: Ellipse
    covariance: NDArray[np.float64]
    residuals: NDArray[np.float64]
    weights: NDArray[np.float64]
    alike: float

    @property
    def scatter(self) -> float:
        """Return the standard deviation of the believed points about the ellipse."""
        total = max(float(self.weights.sum()), 1e-12)
        return math.sqrt(float((self.weights * self.residuals**2).sum()) / total)

    @property
    def counted(self) -> float:
        """Return how many independent points the believed ones are worth."""
        return float((self.weights > 0).sum()) / self.alike


def direct_ellipse(points: Points) -> Ellipse:
    """Return the ellipse of least algebraic distance: a start, biased towards small ones.

    Parameters
    ----------
    points : shape (n, 2), at least 6 of them

    Raises
    ------
    NotEnough : the points lie on no ellipse

    References
    ----------
    Fitzgibbon, Pilu, Fisher (1999), IEEE PAMI 21, 476-480; in the stable form of Halir and Flusser
    (1998), WSCG

    Examples
    --------
    >>> t = np.linspace(0, 6, 20)
    >>> found = direct_ellipse(Ellipse(x=3, y=-1, r=5, p=0.5, q=0.2).points(t))
    >>> [round(float(each), 6) for each in found.numbers]
    [3.0, -1.0, 5.0, 0.5, 0.2]
    """
    middle = points.mean(axis=0)
    spread = float(np.sqrt(((points - middle) ** 2).mean())) or 1.0
    x, y = ((points - middle) / spread).T
    square = np.column_stack([x * x, x * y, y * y])
    plain = np.column_stack([x, y, np.ones_like(x)])
    try:
        back = -np.linalg.solve(plain.T @ plain, plain.T @ square)
        reduced = square.T @ square + square.T @ plain @ back
        values, vectors = np.linalg.eig(np.array([reduced[2] / 2, -reduced[1], reduced[0] / 2]))
    except np.linalg.LinAlgError:
        raise NotEnough("the points lie on no ellipse") from None
    vectors = vectors.real
    which = np.flatnonzero(4 * vectors[0] * vectors[2] - vectors[1] ** 2 > 0)
    if len(which) == 0 or not np.isfinite(values).all():
        raise NotEnough("the points lie on no ellipse")
    conic = vectors[:, which[0]]
    return of_conic(np.concatenate([conic, back @ conic]), middle, spread)


def of_conic(conic: NDArray[np.float64], middle: NDArray[np.float64], spread: float) -> Ellipse:
    """Return the ellipse of a conic in shifted and scaled coordinates.

    Raises
    ------
    NotEnough : the conic is none
    """
    a, b, c, d, e, f = conic
    form = np.array([[a, b / 2], [b / 2, c]])
    place = np.linalg.solve(form, [-d / 2, -e / 2])
    level = place @ form @ place - f
    values, vectors = np.linalg.eigh(form / level)
    if not (values > 0).all():
        raise NotEnough("the points lie on no ellipse")
    stretch = spread * (vectors / np.sqrt(values)) @ vectors.T
    x, y = place * spread + middle
    return Ellipse(
        x=float(x),
        y=float(y),
        r=float(stretch[0, 0] + stretch[1, 1]) / 2,
        p=float(stretch[0, 0] - stretch[1, 1]) / 2,
        q=float(stretch[0, 1]),
    )


def fitted(
    points: Points,
    start: Ellipse,
    *,
    believed: NDArray[np.float64] | None = None,
    rough: bool = False,
) -> Fitted:
    """Return the ellipse of least weighted squares of true distances, points far off left out.

    Parameters
    ----------
    points : shape (n, 2), in order round the ellipse, evenly spread
    start : an ellipse close by
    believed : shape (n,), 0 to 1: how far each point is to be believed; all of them if left out
    rough : a few steps are enough: no point is far off, and the ellipse only a start

    Raises
    ------
    NotEnough : fewer than 12 points are believed, or they lie on no ellipse

    References
    ----------
    Gauss-Newton on the distance; weights: Beaton and Tukey (1974), Technometrics 16, 147-185
    """
    before = np.ones(len(points)) if believed is None else believed
    if (before > 0).sum() < LEAST_POINTS:
        raise NotEnough(f"an ellipse needs {LEAST_POINTS} points of an edge")
    ellipse, weights = start, before
    steps, mild_steps = (ROUGH_STEPS, MILD_ROUGH_STEPS) if rough else (STEPS, MILD_STEPS)
    for number in range(steps):
        distance, angles, normals = ellipse.seen(points)
        mild = number < mild_steps
        weights = before * (mildly(distance) if mild else biweight(distance, before))
        if (weights > 0).sum() < LEAST_POINTS:
            raise NotEnough("the points lie on no ellipse")
        moves = jacobian(angles, normals)
        step = solved(moves, distance, weights)
        ellipse = moved(ellipse, step)
        if not mild and np.abs(step).max() < 1e-7 * ellipse.r:
            break
    distance, angles, normals = ellipse.seen(points)
    covariance, alike = spread_of(jacobian(angles, normals), distance, weights)
    return Fitted(
        ellipse=ellipse, covariance=covariance, residuals=distance, weights=weights, alike=alike
    )


def moved(ellipse: Ellipse, step: NDArray[np.float64]) -> Ellipse:
    """Return the ellipse after a step.

    Raises
    ------
    NotEnough : what is left is no ellipse
    """
    x, y, r, p, q = (float(each) for each in ellipse.numbers + step)
    if not (math.isfinite(x + y) and r > math.hypot(p, q)):
        raise NotEnough("the points lie on no ellipse")
    return Ellipse(x=x, y=y, r=r, p=p, q=q)


def solved(
    moves: NDArray[np.float64], distance: NDArray[np.float64], weights: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the weighted least squares step.

    Raises
    ------
    NotEnough : the points do not determine it
    """
    try:
        return np.asarray(
            np.linalg.solve((moves.T * weights) @ moves, (moves.T * weights) @ distance), float
        )
    except np.linalg.LinAlgError:
        raise NotEnough("the points lie on no ellipse") from None


def jacobian(angles_rad: NDArray[np.float64], normals: Points) -> NDArray[np.float64]:
    """Return by how much the ellipse moves outwards at each point when x, y, r, p, q grow."""
    cosine, sine = np.cos(angles_rad), np.sin(angles_rad)
    x, y = normals.T
    return np.column_stack(
        [x, y, x * cosine + y * sine, x * cosine - y * sine, x * sine + y * cosine]
    )


def mildly(distance: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the weights that make squares of distances count as distances."""
    size = np.abs(distance)
    return np.asarray(1.0 / np.maximum(size, 0.1 * float(np.median(size)) + 1e-9), float)


def biweight(distance: NDArray[np.float64], before: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return Tukey's weights: 0 beyond 4.7 standard deviations of the middle half."""
    scale = MAD_TO_SIGMA * float(np.median(np.abs(distance[before > 0]))) + 1e-9
    share = np.clip(distance / (TUKEY * scale), -1.0, 1.0)
    weights: NDArray[np.float64] = (1.0 - share**2) ** 2
    return weights


def spread_of(
    moves: NDArray[np.float64], distance: NDArray[np.float64], weights: NDArray[np.float64]
) -> tuple[NDArray[np.float64], float]:
    """Return the covariance of the five numbers, and how many points count as one.

    Neighbours are alike: their covariance by distance round the ring is taken from the residuals
    up to where it first falls to nothing; that many points count as one.

    References
    ----------
    Priestley (1981), Spectral Analysis and Time Series, 5.3; Geyer (1992), Statist. Sci. 7, 473
    """
    lags = autocovariance(distance, weights)
    alike = max(1.0, float(1.0 + 2.0 * lags[1:].sum() / lags[0])) if lags[0] > 0 else 1.0
    believed = float((weights > 0).sum())
    freedom = max(believed / alike - 5.0, 1.0)
    lost = believed / alike / freedom
    return np.linalg.inv((moves.T * weights) @ moves) * lags[0] * alike * max(lost, 1.0), alike


def autocovariance(
    distance: NDArray[np.float64], weights: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the residuals' covariance by steps round the ring, up to where it is nothing."""
    inside = weights > 0
    centred = np.where(inside, distance - distance[inside].mean(), 0.0)
    power = np.abs(np.fft.rfft(centred)) ** 2
    pairs = np.fft.irfft(np.abs(np.fft.rfft(inside.astype(float))) ** 2, len(distance))
    lags = np.fft.irfft(power, len(distance)) / np.maximum(pairs, 1.0)
    half = np.asarray(lags[: len(lags) // 4 + 1], float)
    ends = np.flatnonzero(half <= 0)
    return half[: ends[0]] if len(ends) else half
