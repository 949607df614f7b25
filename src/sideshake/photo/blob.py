"""Outlines round a pressed point: blobs of one brightness in windows that grow."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from sideshake.core.errors import InputError
from sideshake.photo.light import require_within

Picture = NDArray[np.float32]
"""Linear light, rows by columns, full scale 1."""
Values = NDArray[np.float64]

WINDOW_PX = 180
"""A window is looked at with about so many pixels across; fine teeth merge there, outlines stay."""
GROWTH = 1.25
LEAST_RADIUS_PX = 12.0
LEAST_WINDOW_PX = 16
SAME = 0.06
"""Two outlines whose radii differ by less, as a share, are one."""
LEVELLINGS = 3
EVERY = 7
"""A level is fitted to every seventh pixel: no step of rows or columns."""
APART = 3.2
"""Classes must differ by so many of their own standard deviations; noise cut in two reaches 2.7."""
SHALLOWEST = 0.45
"""Roots lie no nearer to the centre, as a share of the tips; a pinion of 6 leaves has 0.5."""
RAYS = 360


@dataclass(frozen=True, slots=True, kw_only=True)
class Blob:
    """A closed outline round the pressed point, roughly; lengths in pixels.

    `bright` says whether what it holds is brighter than what lies round it.
    """

    x: float
    y: float
    low: float
    high: float
    bright: bool


def require_picture(light: Picture, at: tuple[float, float]) -> None:
    """Refuse what is no picture, or a point beside it.

    Raises
    ------
    InputError : fewer than 24 rows or columns, light that is not finite, a point outside
    """
    if light.ndim != 2 or min(light.shape) < 24 or not np.isfinite(light).all():
        raise InputError(
            f"a picture has 24 rows and columns or more, of finite light, got {light.shape}"
        )
    require_within(at, (light.shape[1], light.shape[0]))


def blobs(light: Picture, at: tuple[float, float]) -> list[Blob]:
    """Return the outlines round a point, the smallest first.

    Parameters
    ----------
    light : shape (rows, columns), linear light
    at : x to the right and y down, pixels, of the point pressed

    Returns
    -------
    outlines that differ in radius by more than 6 %; none if nothing closed lies round the point

    References
    ----------
    Otsu (1979), IEEE Trans. SMC 9, 62-66: the threshold; here each class has a sloping level
    """
    found: list[Blob] = []
    for reach in reaches(light, at):
        for blob in blobs_within(light, at, reach):
            if not any(same(blob, other) for other in found):
                found.append(blob)
    return sorted(found, key=lambda blob: blob.high)


def reaches(light: Picture, at: tuple[float, float]) -> list[float]:
    """Return the half sides of the windows, growing until the picture ends."""
    rows, columns = light.shape
    most = max(at[0], at[1], columns - at[0], rows - at[1])
    count = int(np.ceil(np.log(most / (1.2 * LEAST_RADIUS_PX)) / np.log(GROWTH)))
    return [float(most * GROWTH**-step) for step in range(max(count, 1))][::-1]


def same(one: Blob, other: Blob) -> bool:
    """Return whether two outlines are one."""
    return one.bright == other.bright and abs(one.high - other.high) < SAME * other.high


def blobs_within(light: Picture, at: tuple[float, float], reach: float) -> list[Blob]:
    """Return the outlines round the point that lie wholly in one window, bright and dark."""
    window = window_round(light, at, reach)
    if window is None:
        return []
    found = []
    for bright in (True, False):
        held = blob_round(window.bright == bright, window.at)
        if held is not None:
            found.append(described(held, window, bright=bright))
    return [
        blob for blob in found if blob.high > LEAST_RADIUS_PX and blob.low > SHALLOWEST * blob.high
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A square of the picture round a point, in which bright and dark are told apart.

    Its pixels are means of `by` by `by`; `at` is the point in them, `left` and `top` its corner in
    the picture.
    """

    bright: NDArray[np.bool_]
    at: tuple[float, float]
    left: int
    top: int
    by: int


def window_round(light: Picture, at: tuple[float, float], reach: float) -> Window | None:
    """Return the window round a point; None where it is too small, or holds one brightness only."""
    left, top = max(int(at[0] - reach), 0), max(int(at[1] - reach), 0)
    by = max(int(2 * reach / WINDOW_PX), 1)
    small = reduced(light[top : int(at[1] + reach) + 1, left : int(at[0] + reach) + 1], by)
    if min(small.shape) < LEAST_WINDOW_PX:
        return None
    mask = brighter(small)
    if not told_apart(small, mask):
        return None
    here = ((at[0] - left + 0.5) / by - 0.5, (at[1] - top + 0.5) / by - 0.5)
    return Window(bright=mask, at=here, left=left, top=top, by=by)


def told_apart(light: Picture, mask: NDArray[np.bool_]) -> bool:
    """Return whether the two classes are more than noise cut in two."""
    if mask.all() or not mask.any():
        return False
    bright, dark = light[mask], light[~mask]
    within = np.sqrt(mask.mean() * bright.var() + (1 - mask.mean()) * dark.var())
    return bool(bright.mean() - dark.mean() > APART * within)


def reduced(light: Picture, by: int) -> Picture:
    """Return the means of squares of `by` pixels a side; a rest at the far edges is left out."""
    if by == 1:
        return light
    rows, columns = (size // by * by for size in light.shape)
    squares = light[:rows, :columns].reshape(rows // by, by, columns // by, by)
    means: Picture = squares.mean(axis=(1, 3), dtype=np.float32)
    return means


def brighter(light: Picture) -> NDArray[np.bool_]:
    """Return what is brighter than the middle between the two classes, each with a slope."""
    rows, columns = light.shape
    y, x = np.mgrid[:rows, :columns]
    sides = np.stack([np.ones(light.size), x.ravel() / columns, y.ravel() / rows], axis=1)
    values = light.ravel().astype(np.float64)
    some, few = values[::EVERY], sides[::EVERY]
    level = np.array([otsu(some), 0.0, 0.0])
    for _ in range(LEVELLINGS):
        mask = some > few @ level
        if min(mask.sum(), (~mask).sum()) < 0.02 * mask.size:
            break
        level = 0.5 * (plane_of(few, some, mask) + plane_of(few, some, ~mask))
    return np.asarray(values > sides @ level).reshape(light.shape)


def plane_of(sides: Values, values: Values, part: NDArray[np.bool_]) -> Values:
    """Return the terms of the plane through a part of the values."""
    held = sides * part[:, None]
    normal = held.T @ sides + 1e-6 * np.eye(3)  # a class may lie on one line
    return np.asarray(np.linalg.solve(normal, held.T @ values), np.float64)


def otsu(values: Values) -> float:
    """Return the threshold that leaves the least variance within both classes."""
    counts, edges = np.histogram(values, bins=256)
    middle = 0.5 * (edges[1:] + edges[:-1])
    below = np.cumsum(counts)
    above = below[-1] - below
    sums = np.cumsum(counts * middle)
    with np.errstate(divide="ignore", invalid="ignore"):
        apart = sums / below - (sums[-1] - sums) / above
    between = np.nan_to_num(below * above * apart**2)
    best = np.flatnonzero(between >= between.max() * (1 - 1e-9))
    return float(edges[1 + best.mean().astype(int)])


def blob_round(mask: NDArray[np.bool_], at: tuple[float, float]) -> NDArray[np.bool_] | None:
    """Return the filled blob round a point that does not touch the window's rim."""
    parts, _ = ndimage.label(mask)
    rim = np.concatenate([parts[0], parts[-1], parts[:, 0], parts[:, -1]])
    inner = mask & ~np.isin(parts, np.unique(rim))
    filled = ndimage.binary_fill_holes(inner)
    parts, _ = ndimage.label(filled)
    row, column = (int(np.clip(round(at[k]), 0, parts.shape[1 - k] - 1)) for k in (1, 0))
    return parts == parts[row, column] if parts[row, column] else None


def described(held: NDArray[np.bool_], window: Window, *, bright: bool) -> Blob:
    """Return centre and radii of a blob, in pixels of the whole picture."""
    y, x = ndimage.center_of_mass(held)
    angles = np.linspace(0, 2 * np.pi, RAYS, endpoint=False)
    steps = np.arange(0, np.hypot(*held.shape))
    columns = x + steps[:, None] * np.cos(angles)
    rows = y - steps[:, None] * np.sin(angles)
    hit = ndimage.map_coordinates(held.astype(np.float32), [rows, columns], order=1)
    by = window.by
    radii = by * hit.sum(axis=0)
    low, high = np.quantile(radii, (0.02, 0.985))
    shift = 0.5 * (by - 1)
    return Blob(
        x=float(window.left + by * x + shift),
        y=float(window.top + by * y + shift),
        low=float(low),
        high=float(high),
        bright=bright,
    )
