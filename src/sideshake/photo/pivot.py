"""A pivot in silhouette: how thick it is, how straight, and how much it tapers."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.blob import Picture, Values, reaches, require_picture, window_round
from sideshake.photo.lengths import scaled

LEAST_PX = 14.0
MOST_BLUR = 0.06
"""Of the diameter (standard deviation)."""
SAME_WIDTH = 0.12
LEAST_LENGTH = 0.7
"""Of the diameter: a shorter piece tells neither taper nor straightness."""
EDGE_PX = 0.08
"""Where one edge lies between metal and ground is not known better (standard)."""
BURNT = 0.985
BURNT_SHIFT, BURNT_LIMIT = 0.4, 0.5
"""Burnt-out ground eats so much of an edge's blur, give or take a limit: exposed a third over the
white 0.47, twice over 0.7 (from the normal distribution)."""
LEAST_RUN_OUT_PX = 0.25
STEP_PX = 0.5
DIRECTIONS = 180

NO_PIVOT = (
    "no pivot is seen at this point: press on its middle, in silhouette against a plain ground"
)
THIN = "the pivot is only {wide:.0f} pixels thick, and it must be {least:.0f}; go nearer"
BLURRED = "the pivot's edge is blurred over {blur:.0%} of its thickness; focus on it, hold still"
SHORT = "only {long:.1f} thicknesses of the pivot are seen alike; show more of its length"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pivot:
    """A measured pivot; lengths in pixels unless the name says otherwise.

    `diameter_px` is at the middle of the piece that was measured, `length_px` long, whose axis
    lies at `axis_deg` (0 to 180) counter-clockwise from 3 o'clock. `taper` is by how much the
    diameter grows on a length of one that way. `bow_px` is how far the middle line runs out from
    straight, `rough_px` how far either edge does (half of the whole run-out).
    """

    diameter_px: Measured
    mm_per_px: Measured | None
    taper: Measured
    bow_px: Measured
    rough_px: Measured
    length_px: float
    axis_deg: float
    blur_px: float
    middle: tuple[float, float]
    burnt: bool

    @property
    def diameter_mm(self) -> Measured | None:
        """Return the diameter in millimetres, None without a scale."""
        return scaled(self.diameter_px, self.mm_per_px)

    @property
    def bent(self) -> bool:
        """Return whether the middle line is curved beyond doubt."""
        return self.bow_px.value > max(3 * self.bow_px.u, LEAST_RUN_OUT_PX)

    @property
    def grooved(self) -> bool:
        """Return whether a side is not straight beyond doubt."""
        return self.rough_px.value > max(3 * self.rough_px.u, LEAST_RUN_OUT_PX)


@dataclass(frozen=True, slots=True, kw_only=True)
class PivotAxis:
    """A straight line in the picture: through x and y, at an angle, and half a width."""

    x: float
    y: float
    angle: float
    half: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Edges:
    """Both edges along an axis; shape (n,), pixels from it, at `along` pixels from its middle."""

    along: Values
    left: Values
    right: Values
    good: NDArray[np.bool_]
    blur: float
    burnt: bool


def pivot(light: Picture, at: tuple[float, float], *, mm_per_px: Measured | None = None) -> Pivot:
    """Return the pivot at a point.

    Parameters
    ----------
    light : shape (rows, columns), linear light, full scale 1
    at : x to the right and y down, pixels, on the pivot
    mm_per_px : the scale at the pivot's height

    Raises
    ------
    InputError : the point lies outside the picture
    NotEnough : no pivot, too thin, too short or not sharp; the message says what to do

    References
    ----------
    GUM (JCGM 100:2008) 4.3 and 5.1 for the parts of the uncertainty
    """
    require_picture(light, at)
    axis = rough_axis(light, at)
    for _ in range(3):
        edges = edges_along(light, axis)
        axis = straightened(axis, edges)
    edges = edges_along(light, axis)
    require_good(edges, axis)
    return described(edges, axis, mm_per_px)


def rough_axis(light: Picture, at: tuple[float, float]) -> PivotAxis:
    """Return the axis of the part at a point: across its narrowest chord.

    Raises
    ------
    NotEnough : nothing narrower than the window lies there
    """
    for reach in reaches(light, at):
        found = narrowest(light, at, reach)
        if found is not None:
            return found
    raise NotEnough(NO_PIVOT)


def narrowest(light: Picture, at: tuple[float, float], reach: float) -> PivotAxis | None:
    """Return the axis within a window, or none if the part does not end within it."""
    window = window_round(light, at, reach)
    if window is None:
        return None
    (x, y), by, mask = window.at, window.by, window.bright
    row, column = (
        int(np.clip(round(v), 0, n - 1)) for v, n in ((y, mask.shape[0]), (x, mask.shape[1]))
    )
    chords = chords_at(mask == mask[row, column], x, y, reach / by)
    best = int(np.argmin(chords.sum(axis=0)))
    ahead, behind = chords[:, best]
    if not 2 <= ahead + behind < 0.7 * reach / by:
        return None
    across = np.pi * best / DIRECTIONS
    shift = 0.5 * (ahead - behind)
    return PivotAxis(
        x=at[0] + float(by * shift * np.cos(across)),
        y=at[1] - float(by * shift * np.sin(across)),
        angle=float(across - np.pi / 2),
        half=float(0.5 * by * (ahead + behind)),
    )


def chords_at(mask: NDArray[np.bool_], x: float, y: float, reach: float) -> Values:
    """Return how far the part reaches ahead and behind in each direction; shape (2, 180)."""
    angles = np.pi * np.arange(DIRECTIONS) / DIRECTIONS
    steps = np.arange(0, reach, 0.5)[:, None]
    found = []
    for sign in (1, -1):
        columns, rows = x + sign * steps * np.cos(angles), y - sign * steps * np.sin(angles)
        inside = ndimage.map_coordinates(mask.astype(np.float32), [rows, columns], order=0, cval=1)
        ends = np.where(inside.all(axis=0), len(steps), np.argmin(inside, axis=0))
        found.append(0.5 * ends)
    return np.array(found)


def edges_along(light: Picture, axis: PivotAxis) -> Edges:
    """Return both edges, each from the area between the axis and the ground beyond."""
    along = np.arange(-12 * axis.half, 12 * axis.half, max(1.0, axis.half / 60))
    gap = max(0.35 * axis.half, 4.0)
    step = max(STEP_PX, axis.half / 200)
    across = np.arange(-axis.half - 2 * gap, axis.half + 2 * gap + step, step)
    c, s = math.cos(axis.angle), math.sin(axis.angle)
    columns = axis.x + along[:, None] * c - across * s
    rows = axis.y - along[:, None] * s - across * c
    strip = ndimage.map_coordinates(light, [rows, columns], order=1, mode="nearest")
    here = (columns >= 0) & (rows >= 0) & (columns < light.shape[1]) & (rows < light.shape[0])
    return read_edges(strip, along, across, axis, here.all(axis=1))


def read_edges(
    strip: NDArray[np.float32],
    along: Values,
    across: Values,
    axis: PivotAxis,
    here: NDArray[np.bool_],
) -> Edges:
    """Return where metal ends on both sides of the axis in each line across it."""
    step = across[1] - across[0]
    metal = np.median(strip[:, np.abs(across) < 0.5 * axis.half], axis=1)
    beyond = across[-1] - 0.8 * max(0.35 * axis.half, 4.0)
    ends, shares, ground = [], [], []
    for side in (1, -1):
        outer = np.median(strip[:, side * across > beyond], axis=1)
        apart = np.where(np.abs(metal - outer) < 1e-3, 1e-3, metal - outer)
        share = np.clip((strip - outer[:, None]) / apart[:, None], -0.2, 1.2)
        ends.append(step * share[:, side * across > 0].sum(axis=1) + half_left(across, step, side))
        shares.append(share[:, side * across > 0])
        ground.append(outer)
    near = np.abs(along) < axis.half
    apart = np.stack([metal - level for level in ground])
    usual = float(np.median(apart[:, near]))
    apart = apart / (usual or 1e-3)
    clear = here & (apart > 0.5).all(axis=0) & (apart < 1.7).all(axis=0)
    good = alike(along, ends[0] + ends[1], clear, axis)
    steep = max(
        float(np.median(np.abs(np.diff(share, axis=1)).max(axis=1)[good])) if good.any() else 0.0
        for share in shares
    )
    light_level = max(
        float(np.median(level[good])) if good.any() else 0.0 for level in (*ground, metal)
    )
    return Edges(
        along=along,
        left=ends[0],
        right=-ends[1],
        good=good,
        blur=step / max(steep * math.sqrt(2 * math.pi), 1e-3),
        burnt=light_level > BURNT,
    )


def half_left(across: Values, step: float, side: int) -> float:
    """Return what lies between the axis and the first half step on a side."""
    first = np.abs(across[side * across > 0]).min()
    return float(first - 0.5 * step)


def alike(
    along: Values, width: Values, clear: NDArray[np.bool_], axis: PivotAxis
) -> NDArray[np.bool_]:
    """Return the piece round the point pressed in which the width stays alike, without its ends."""
    near = clear & (np.abs(along) < axis.half)
    if not near.any():
        return near
    usual = float(np.median(width[near]))
    same = clear & (np.abs(width - usual) < SAME_WIDTH * usual)
    same = ndimage.binary_closing(same, iterations=3) & clear
    parts, _ = ndimage.label(same)
    middle = parts[np.abs(along) < axis.half]
    held = np.bincount(middle[middle > 0], minlength=2)
    piece = parts == int(np.argmax(held)) if held.sum() else np.zeros_like(same)
    trim = max(3, int(0.25 * axis.half / (along[1] - along[0])))
    held_piece: NDArray[np.bool_] = ndimage.binary_erosion(piece, iterations=trim)
    return held_piece


def straightened(axis: PivotAxis, edges: Edges) -> PivotAxis:
    """Return the axis laid along the middle line, in the middle of the piece that is alike.

    Raises
    ------
    NotEnough : no piece is alike
    """
    if edges.good.sum() < 6:
        raise NotEnough(NO_PIVOT)
    along = edges.along[edges.good]
    middle = 0.5 * (edges.left + edges.right)[edges.good]
    slope, offset = line(along, middle)
    centre = 0.5 * (along[0] + along[-1])
    aside = offset + slope * centre
    c, s = math.cos(axis.angle), math.sin(axis.angle)
    width = float(np.median((edges.left - edges.right)[edges.good]))
    return PivotAxis(
        x=axis.x + centre * c - aside * s,
        y=axis.y - centre * s - aside * c,
        angle=axis.angle + math.atan(slope),
        half=0.5 * width,
    )


def line(along: Values, values: Values) -> tuple[float, float]:
    """Return slope and offset of a line, points far off weighing little (Huber)."""
    weights = np.ones_like(values)
    slope = offset = 0.0
    for _ in range(8):
        slope, offset = (float(term) for term in np.polyfit(along, values, 1, w=np.sqrt(weights)))
        left = np.abs(values - slope * along - offset)
        usual = max(2 * float(np.median(left)), 1e-6)
        weights = np.minimum(1, usual / np.maximum(left, 1e-12))
    return slope, offset


def require_good(edges: Edges, axis: PivotAxis) -> None:
    """Refuse what is too thin, too short or not sharp."""
    width = 2 * axis.half
    if width < LEAST_PX:
        raise NotEnough(THIN.format(wide=width, least=LEAST_PX))
    if edges.blur > MOST_BLUR * width:
        raise NotEnough(BLURRED.format(blur=edges.blur / width))
    along = edges.along[edges.good]
    if len(along) < 8 or along[-1] - along[0] < LEAST_LENGTH * width:
        long = (along[-1] - along[0]) / width if len(along) else 0.0
        raise NotEnough(SHORT.format(long=long))


def described(edges: Edges, axis: PivotAxis, mm_per_px: Measured | None) -> Pivot:
    """Return what the edges amount to, with every uncertainty."""
    along = edges.along[edges.good]
    width = (edges.left - edges.right)[edges.good]
    middle = 0.5 * (edges.left + edges.right)[edges.good]
    length = float(along[-1] - along[0])
    slope, offset = line(along, width)
    scatter = width - slope * along - offset
    counted = count_as(scatter)
    noise = float(np.std(scatter)) / math.sqrt(counted)
    eaten = 2 * edges.blur if edges.burnt else 0.0
    own = math.hypot(2 * EDGE_PX, BURNT_LIMIT * eaten / math.sqrt(3))
    seen = (offset + slope * 0.5 * (along[0] + along[-1])) * math.cos(math.atan(slope / 2))
    diameter = Measured(seen + BURNT_SHIFT * eaten, math.hypot(noise, own))
    forward = 1.0 if math.degrees(axis.angle) % 360 < 180 else -1.0
    slope_u = math.sqrt(12) * noise / length
    return Pivot(
        diameter_px=diameter,
        mm_per_px=mm_per_px,
        taper=Measured(forward * slope, math.hypot(slope_u, EDGE_PX / length)),
        bow_px=run_out(along, middle),
        rough_px=max(
            (run_out(along, each[edges.good]) for each in (edges.left, edges.right)),
            key=lambda each: each.value,
        ),
        length_px=length,
        axis_deg=math.degrees(axis.angle) % 180,
        blur_px=edges.blur,
        middle=(axis.x, axis.y),
        burnt=edges.burnt,
    )


def count_as(scatter: Values) -> float:
    """Return as how many independent values correlated ones count.

    References
    ----------
    Bayley & Hammersley (1946), J. R. Stat. Soc. Suppl. 8, 184-197
    """
    centred = scatter - scatter.mean()
    power = float(centred @ centred)
    total, count = 1.0, len(centred)
    for lag in range(1, count // 4):
        alike_by = float(centred[:-lag] @ centred[lag:]) / power if power > 0 else 0.0
        if alike_by < 0.05:
            break
        total += 2 * alike_by
    return max(count / total, 2.0)


def run_out(along: Values, values: Values) -> Measured:
    """Return half of how far a line runs out from straight, noise smoothed away."""
    slope, offset = line(along, values)
    left = values - slope * along - offset
    width = max(len(left) // 12, 3)
    smooth = ndimage.uniform_filter1d(left, width, mode="nearest")
    rough = float(np.std(left - smooth)) / math.sqrt(width)
    expected = 2.0 * rough
    run = 0.5 * float(smooth.max() - smooth.min())
    return Measured(math.sqrt(max(run**2 - expected**2, 0.0)), math.hypot(rough, 0.5 * EDGE_PX))
