"""The outline of a pin or coin: its outermost sharp line, whichever side of it is brighter.

A thing on a ground shines here and throws a shadow there: its edge is brighter than the ground on
one side of it and darker on the other, and a soft shadow or a line of its own relief is the
strongest step one way. So lines are weighed by how steeply the logarithm of the light changes, in
any colour and either way: a shadow dims all colours alike but softly, and a coin of the ground's
brightness still has its own colour. Each line is followed as a circle that a few harmonics bend.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, map_coordinates

from sideshake.core.errors import NotEnough
from sideshake.photo.ellipse import Ellipse, fitted
from sideshake.photo.find import find_rim
from sideshake.photo.light import LightPhotograph
from sideshake.photo.unrolled import harmonics

Values = NDArray[np.float64]

RAYS = 240
NEAREST, FARTHEST = 0.78, 1.25
"""How far in and out of the rough outline lines are looked for, over its radius."""
STARTS = np.arange(0.84, 1.2, 0.015)
WINDOWS = (0.04, 0.03, 0.02, 0.015, 0.01, 0.01, 0.008, 0.008)
"""How far off a line its steep places may lie while it is followed, over the radius."""
HELD = (0.0, 0.01, 0.01, 0.3, 0.3)
"""Against 1 for each sharp ray: where few are seen, a line is a circle in the middle."""
STEP_PX = 0.5
ALONG, ACROSS = 1.0, 2.4
"""Smoothing, in rays and in steps (standard deviations)."""
BLACK = 0.003
"""Added to the light before its logarithm: darker differences are noise."""
ENOUGH_PX = 200.0
"""A radius so large is enough to find the outline; it is measured at full size."""
CLOSE_PX = 1.5
APART = 0.02
"""Lines whose radii differ by less are one."""
AS_SHARP = 0.85
"""The outermost of those lines is taken that are so sharp against the sharpest."""
SHARP_ALONG = 0.7
"""As much of the outline must be sharp: no more than 30 % of a rim may be lost."""
RIVAL_ALONG, RIVAL_OUT = 0.5, 0.025
"""A line further out, sharp along half, could be the outline as well."""

NOT_SHARP = (
    "only {share:.0f} % of the pin's or coin's edge stands out sharply, {least:.0f} % are needed: "
    "lay it on smooth even ground of another colour, and light it from all sides"
)
TWO_LINES = (
    "two lines could be the edge of the pin or coin (the outer is {out:.0f} % wider: a shadow, or "
    "the border of its relief): light it from all sides, on smooth even ground of another colour"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineLine:
    """A closed line: its radius over the rough outline's against the angle, and how much is sharp.

    `terms` has shape (5,): 1, cos, sin, cos 2, sin 2.
    """

    terms: Values
    sharp: float

    @property
    def size(self) -> float:
        """Return its mean radius over the rough outline's."""
        return float(self.terms[0])


def find_outline(photo: LightPhotograph, at: tuple[float, float]) -> Ellipse:
    """Return the outline of the pin or coin round a pressed place, to a pixel or so.

    Raises
    ------
    NotEnough : none is seen, it is not sharp enough round about, or two lines could be it
    """
    rough = find_rim(photo, at, outline=True).ellipse
    ellipse = Ellipse(x=rough.x, y=rough.y, r=rough.r)
    for _ in range(2):
        radii, steep = steepness(photo, ellipse)
        lines = lines_in(radii, steep, CLOSE_PX / ellipse.r)
        chosen = outermost(lines)
        ellipse = bent_circle(ellipse, chosen)
    require_sharp(chosen, lines)
    return ellipse


def steepness(photo: LightPhotograph, ellipse: Ellipse) -> tuple[Values, Values]:
    """Return radii (over the ellipse's) and how steep the light is there, shape (radii, rays)."""
    step = max(1, int(ellipse.r / ENOUGH_PX))
    box = photo.around(ellipse.x, ellipse.y, (FARTHEST + 0.02) * ellipse.long)
    planes = np.log(photo.colours(box, step) + BLACK)
    radii = np.arange(NEAREST, FARTHEST, STEP_PX * step / ellipse.r)
    out = ellipse.points(angles()) - (ellipse.x, ellipse.y)
    middle = (step - 1) / 2
    columns = (ellipse.x + radii[:, None] * out[:, 0] - box.left - middle) / step
    rows = (ellipse.y + radii[:, None] * out[:, 1] - box.top - middle) / step
    square = np.zeros(columns.shape)
    for number in range(planes.shape[2]):
        rays = map_coordinates(planes[..., number], [rows, columns], order=1, mode="nearest")
        rays = gaussian_filter1d(rays.astype(float), ALONG, axis=1, mode="wrap")
        square += gaussian_filter1d(rays, ACROSS, axis=0, order=1) ** 2
    return radii, np.sqrt(square)


def angles() -> Values:
    """Return the directions of the rays, radians."""
    return np.arange(RAYS) / RAYS * 2 * np.pi


def lines_in(radii: Values, steep: Values, close: float) -> list[OutlineLine]:
    """Return the closed lines, the innermost first, each sharper than its neighbours.

    A place counts as sharp up to what is usual of the rays' steepest places: a highlight counts no
    more.
    """
    sharp = np.minimum(steep / max(float(np.median(steep.max(axis=0))), 1e-9), 1.0)
    peak = np.zeros(steep.shape, bool)
    peak[1:-1] = (steep[1:-1] >= steep[:-2]) & (steep[1:-1] > steep[2:])
    found = [
        line for start in STARTS if (line := followed(radii, sharp, peak, float(start), close))
    ]
    found.sort(key=lambda line: line.size)
    return [
        line
        for line in found
        if line.sharp
        >= max(each.sharp for each in found if abs(each.size - line.size) < APART * line.size)
    ]


def followed(
    radii: Values, sharp: Values, peak: NDArray[np.bool_], start: float, close: float
) -> OutlineLine | None:
    """Return the line that the steep places near a circle lie on; None where it is lost."""
    columns = harmonics(angles())
    terms = np.array([start, 0.0, 0.0, 0.0, 0.0])
    for window in WINDOWS:
        off = np.abs(radii[:, None] - columns @ terms)
        weight = np.where(peak & (off < window), sharp * (1 - (off / window) ** 2), 0.0)
        place = weight.argmax(axis=0)
        held = weight[place, np.arange(RAYS)]
        if (held > 0).mean() < 0.3:
            return None
        weighed = columns * held[:, None]
        normal = weighed.T @ columns + np.diag(HELD)
        terms = np.linalg.solve(normal, weighed.T @ radii[place])
    near = np.abs(radii[:, None] - columns @ terms) < close
    return OutlineLine(terms=terms, sharp=float(np.where(near, sharp, 0.0).max(axis=0).mean()))


def outermost(lines: list[OutlineLine]) -> OutlineLine:
    """Return the outermost of the sharpest lines.

    Raises
    ------
    NotEnough : there is none
    """
    if not lines:
        raise NotEnough(NOT_SHARP.format(share=0.0, least=100 * SHARP_ALONG))
    least = AS_SHARP * max(line.sharp for line in lines)
    return max((line for line in lines if line.sharp >= least), key=lambda line: line.size)


def require_sharp(chosen: OutlineLine, lines: list[OutlineLine]) -> None:
    """Refuse an outline that is not sharp round about, or beside which another could be meant.

    Raises
    ------
    NotEnough : with what to do
    """
    if chosen.sharp < SHARP_ALONG:
        raise NotEnough(NOT_SHARP.format(share=100 * chosen.sharp, least=100 * SHARP_ALONG))
    for line in lines:
        out = line.size / chosen.size - 1.0
        if out > RIVAL_OUT and line.sharp > RIVAL_ALONG:
            raise NotEnough(TWO_LINES.format(out=100 * out))


def bent_circle(ellipse: Ellipse, line: OutlineLine) -> Ellipse:
    """Return a line as an ellipse in the whole picture."""
    middle = (ellipse.x, ellipse.y)
    out = ellipse.points(angles()) - middle
    points = out * (harmonics(angles()) @ line.terms)[:, None] + middle
    return fitted(points, Ellipse(x=ellipse.x, y=ellipse.y, r=ellipse.r * line.size)).ellipse
