"""Where a likeness is greatest, to a fraction of a column.

Shapes: (rows, columns) for likenesses, which go round: column -1 is the last; (rows,) for places.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Rows = NDArray[np.float32]

FINE = 8
HALF_KERNEL = 12
FLATTEST = -1e-12
TAPS = np.arange(-HALF_KERNEL, HALF_KERNEL + 1)
APART = np.arange(-FINE, FINE + 1)[:, None] / FINE - TAPS
KERNEL = np.sinc(APART) * np.cos(np.pi * np.clip(APART / (HALF_KERNEL + 2), -1, 1) / 2) ** 2


def peak_near(likeness: Rows, expected: Floats, reach: int) -> tuple[Floats, Floats]:
    """Return where each row peaks within `reach` columns of `expected`, and how high."""
    lags = np.rint(expected).astype(np.intp)[:, None] + np.arange(-reach, reach + 1)
    near = np.take_along_axis(likeness, lags % likeness.shape[1], axis=1)
    return between_samples(likeness, lags[np.arange(lags.shape[0]), np.argmax(near, axis=1)])


def between_samples(likeness: Rows, best: NDArray[np.intp]) -> tuple[Floats, Floats]:
    """Return where each row really peaks and how high (band-limited interpolation, a parabola)."""
    around = np.take_along_axis(likeness, (best[:, None] + TAPS) % likeness.shape[1], axis=1)
    course = around @ KERNEL.T
    top = np.clip(np.argmax(course, axis=1), 1, 2 * FINE - 1)
    part, height = vertex(course, top)
    return best + (top - FINE + part) / FINE, height


def vertex(course: NDArray[np.floating], top: NDArray[np.intp]) -> tuple[Floats, Floats]:
    """Return how far (columns, at most 1) beside `top` the parabola through it and its neighbours
    has its vertex, and how high that is."""
    rows = np.arange(top.size)
    left, mid, right = (course[rows, top + step] for step in (-1, 0, 1))
    bend = np.minimum(left - 2 * mid + right, FLATTEST)
    part = np.clip(0.5 * (left - right) / bend, -1, 1)
    return part, mid - 0.25 * (left - right) * part
