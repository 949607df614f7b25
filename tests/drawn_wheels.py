"""Photographs of wheels drawn from geometry, with the truth beside them.

A pixel is the mean of `FINE` × `FINE` samples of an exact in-or-out test in the wheel's own plane,
blurred by a Gaussian, with oil, dirt, a slope of light and the noise of counted electrons on top.
"""

from dataclasses import dataclass, field

import numpy as np
from scipy import ndimage

FINE = 4
FORMS = ("involute", "ogive", "ratchet", "date", "saw")


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What a drawn wheel is, and how it was photographed; angles in radians, lengths in pixels.

    `lost` maps a tooth to what is left of its height (0 is missing), `thin` to what of its
    thickness is gone from one flank, `bent` to how far its tip lies aside, in pitches. Tooth 0
    stands at `turn`; the teeth run counter-clockwise here.
    """

    teeth: int = 31
    tip: float = 150.0
    depth: float = 0.0
    form: str = "involute"
    inside: bool = False
    centre: tuple[float, float] = (200.3, 198.8)
    size: tuple[int, int] = (400, 400)
    turn: float = 0.3
    lost: dict[int, float] = field(default_factory=dict)
    thin: dict[int, float] = field(default_factory=dict)
    bent: dict[int, float] = field(default_factory=dict)
    spokes: int = 5
    tilt_deg: float = 0.0
    tilt_axis: float = 0.7
    metal: float = 0.06
    ground: float = 0.8
    brushed: float = 0.0
    slope: float = 0.0
    blur: float = 0.9
    electrons: float = 8000.0
    oil: int = 0
    dirt: int = 0
    numerals: bool = False
    ink: float = 0.0
    seed: int = 1

    @property
    def height(self) -> float:
        """Return how high a tooth is."""
        return self.depth or min(4.4 * self.tip / self.teeth, 0.25 * self.tip)

    @property
    def root(self) -> float:
        """Return the radius of the roots."""
        return self.tip + self.height if self.inside else self.tip - self.height


def tooth_form(form, u):
    """Return the height (0 root, 1 tip) of a tooth at `u`, in pitches from its axis."""
    away = np.abs(u)
    if form == "involute":
        return np.clip(1 - (np.maximum(away - 0.11, 0) / 0.21) ** 1.4, 0, 1)
    if form == "ogive":
        return np.where(away < 0.24, 0.5 + 0.5 * np.sqrt(np.clip(1 - (away / 0.24) ** 2, 0, 1)), 0)
    if form == "ratchet":
        return np.where((u > -0.45) & (u < 0.4), (u + 0.45) / 0.85, 0.0)
    if form == "date":
        return np.clip(1 - np.maximum(away - 0.03, 0) / 0.18, 0, 1)
    return np.clip(1 - away / 0.5, 0, 1)


def in_tooth(drawn, angle, level):
    """Return whether a place is within a tooth; `level` is its height, 0 the roots, 1 the tip."""
    place = (angle - drawn.turn) * drawn.teeth / (2 * np.pi)
    number = np.round(place).astype(int)
    u = place - number
    number %= drawn.teeth
    left, gone, aside = np.ones(drawn.teeth), np.zeros(drawn.teeth), np.zeros(drawn.teeth)
    for table, given in ((left, drawn.lost), (gone, drawn.thin), (aside, drawn.bent)):
        table[list(given)] = list(given.values())
    u = u - aside[number] * np.clip(level, 0, 1)  # each height is moved in proportion
    height = np.minimum(tooth_form(drawn.form, u), left[number])
    worn = tooth_form(drawn.form, u - 0.5 * gone[number])
    return np.where(gone[number] > 0, np.minimum(height, worn), height) > level


def covered(drawn):
    """Return which share of each pixel is metal: near edges from finer samples."""
    rows, columns = drawn.size
    y, x = np.mgrid[:rows, :columns].astype(float)
    share = is_metal(drawn, x, y).astype(float)
    near = ndimage.maximum_filter(share, 5) != ndimage.minimum_filter(share, 5)
    step = (np.arange(FINE) + 0.5) / FINE - 0.5
    across, down = (each.ravel() for each in np.meshgrid(step, step))
    share[near] = is_metal(drawn, x[near, None] + across, y[near, None] + down).mean(axis=1)
    return share


def is_metal(drawn, x, y):
    """Return whether places are metal."""
    radius, angle = plane_polar(drawn, x, y)
    out = drawn.root - radius if drawn.inside else radius - drawn.root
    metal = in_tooth(drawn, angle, out / drawn.height)
    if drawn.inside:
        return metal & (radius < 1.28 * drawn.root)
    rim = 0.8 * drawn.root
    spoke = np.abs(np.sin(0.5 * drawn.spokes * angle)) * radius < 0.14 * drawn.tip
    window = (radius < rim) & (radius > 0.3 * rim) & ~spoke
    return metal & ~window & (radius > 0.1 * drawn.tip)


def plane_polar(drawn, x, y):
    """Return radius and angle in the plane of the wheel, which may be tilted."""
    across, up = x - drawn.centre[0], drawn.centre[1] - y
    c, s = np.cos(drawn.tilt_axis), np.sin(drawn.tilt_axis)
    along = across * c + up * s
    aside = (-across * s + up * c) / np.cos(np.radians(drawn.tilt_deg))
    across, up = along * c - aside * s, along * s + aside * c
    return np.hypot(across, up), np.arctan2(up, across)


def drawn_wheel(drawn):
    """Return the photograph as linear light, float32, full scale 1."""
    rng = np.random.default_rng(drawn.seed)
    share = covered(drawn)
    rows, columns = drawn.size
    y, x = np.mgrid[:rows, :columns].astype(float)
    radius, angle = plane_polar(drawn, x, y)
    metal = drawn.metal * (1 + drawn.brushed * np.cos(2 * (angle - 1.1)))
    if drawn.numerals:
        metal = metal + numerals(drawn, radius, angle)
    light = drawn.ground + (metal - drawn.ground) * share
    for size, solid in [(0.5, 0.55)] * drawn.oil + [(0.22, 1.0)] * drawn.dirt:
        light = blotted(drawn, light, x, y, pitches=size, solid=solid, rng=rng)
    light = light * (1 + drawn.slope * (x - 0.5 * columns) / columns)
    light = ndimage.gaussian_filter(light, drawn.blur)
    noise = np.sqrt(np.maximum(light, 0) / drawn.electrons + 2e-6)
    return np.clip(light + noise * rng.standard_normal(light.shape), 0, 1).astype(np.float32)


def numerals(drawn, radius, angle):
    """Return printed spots in the middle of each pitch, well outside the teeth."""
    u = (angle * drawn.teeth / (2 * np.pi)) % 1 - 0.5
    middle = 1.14 * drawn.root
    return np.where((np.abs(u) < 0.2) & (np.abs(radius - middle) < 0.06 * drawn.root), 0.3, 0)


def blotted(drawn, light, x, y, *, pitches, solid, rng):
    """Return the light with one blot near the teeth: a film of oil or a solid speck."""
    pitch = 2 * np.pi * drawn.tip / drawn.teeth
    around = rng.uniform(0, 2 * np.pi)
    low, high = sorted((drawn.root, drawn.tip))
    out = rng.uniform(low, high)
    at_x, at_y = drawn.centre[0] + out * np.cos(around), drawn.centre[1] - out * np.sin(around)
    long = pitches * pitch * rng.uniform(0.6, 1.3)
    wide, lean = long * rng.uniform(0.5, 1), rng.uniform(0, np.pi)
    along = (x - at_x) * np.cos(lean) + (y - at_y) * np.sin(lean)
    aside = -(x - at_x) * np.sin(lean) + (y - at_y) * np.cos(lean)
    inside = 1 / (1 + np.exp(np.clip(8 * (np.hypot(along / long, aside / wide) - 1), -50, 50)))
    if solid < 1:  # oil lets the ground through and shines a little
        return light * (1 - 0.45 * inside) + 0.45 * inside * (0.5 * light + 0.12)
    return light * (1 - inside) + inside * (0.5 * drawn.metal + 0.5 * drawn.ink)
