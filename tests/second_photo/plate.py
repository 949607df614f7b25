"""What a ray meets: the card, the plate, its chamfer, the wall of the hole, what lies behind."""

import functools
from dataclasses import dataclass, field

import numpy as np
from scipy import spatial

from sideshake.photo.card import HALF_SIDE, ScaleCardSize, dots


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """An oval hole through the plate; `long_mm` and `short_mm` are diameters of the bore.

    `direction_deg` is where the long axis lies, counter-clockwise from 3 o'clock. The chamfer is a
    cone of 45 degrees, `chamfer_mm` wide and deep, round the bore.
    """

    long_mm: float = 1.0
    short_mm: float = 1.0
    direction_deg: float = 0.0
    chamfer_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp:
    """Where light comes from: behind, or in front with its middle at an azimuth."""

    behind: bool = False
    azimuth_deg: float = 120.0
    gloss: float = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A plate with a hole, and a card round it `above_mm` higher than the hole's rim plane.

    `printed` are the stretches of the print along the card's own x and y; `card_middle_mm` is
    where the card's middle lies in the plate's frame, `card_turn_deg` how it is turned.
    """

    hole: Hole = field(default_factory=Hole)
    lamp: Lamp = field(default_factory=Lamp)
    thick_mm: float = 0.4
    metal: float = 0.45
    brushed: float = 0.06
    brushed_deg: float = 20.0
    depth_light: float = 0.015
    card: ScaleCardSize | None = ScaleCardSize.SMALL
    above_mm: float = 0.0
    printed: tuple[float, float] = (1.0, 1.0)
    card_middle_mm: tuple[float, float] = (0.0, 0.0)
    card_turn_deg: float = 0.0
    paper: float = 0.75
    ink: float = 0.04
    seed: int = 1

    def light(self, start, ways):
        """Return the light along rays back to the camera, 1 is white."""
        light = self.plate_light(start, ways)
        if self.card is not None:
            on_card = at_height(start, ways, self.above_mm)
            cover = self.card_light(on_card)
            light = np.where(np.isnan(cover), light, cover)
        return light

    def plate_light(self, start, ways):
        """Return the light of plate and hole."""
        top = at_height(start, ways, 0.0)
        hole = self.hole
        out = beyond(hole, top, 0.0)
        light = self.surface(top)
        mouth = out < hole.chamfer_mm
        waist = at_height(start, ways, -hole.chamfer_mm)
        on_cone = mouth & (beyond(hole, waist, 0.0) >= 0)
        light = np.where(on_cone, self.cone_light(top), light)
        through = mouth & ~on_cone
        bottom = at_height(start, ways, -self.thick_mm)
        clear = through & (beyond(hole, bottom, 0.0) < 0)
        light = np.where(through, self.wall_light(top), light)
        return np.where(clear, 1.0 if self.lamp.behind else self.depth_light, light)

    def surface(self, place):
        """Return the light of the plate's flat top: brushed, or dark against light from behind."""
        if self.lamp.behind:
            return np.full(place.shape[:-1], 0.02)
        a = np.radians(self.brushed_deg)
        across = -place[..., 0] * np.sin(a) + place[..., 1] * np.cos(a)
        return self.metal * (1 + self.brushed * streaks(across / 0.03, self.seed))

    def cone_light(self, place):
        """Return the light of the chamfer: a highlight where it faces the lamp."""
        if self.lamp.behind:
            return np.full(place.shape[:-1], 0.03)
        around = np.arctan2(place[..., 1], place[..., 0]) + np.pi
        away = np.cos(around - np.radians(self.lamp.azimuth_deg))
        return 0.12 + self.lamp.gloss * np.clip(away, 0, 1) ** 6 + 0.2 * np.clip(away, 0, 1)

    def wall_light(self, place):
        """Return the light of the bore's wall: grazing light from behind, nearly none in front."""
        level = 0.12 if self.lamp.behind else 0.5 * self.depth_light
        return np.full(place.shape[:-1], level)

    def card_light(self, place):
        """Return the light of the card, nothing where it does not lie: its window is cut out."""
        size = self.card
        a = np.radians(self.card_turn_deg)
        x, y = place[..., 0] - self.card_middle_mm[0], place[..., 1] - self.card_middle_mm[1]
        x, y = (x * np.cos(a) + y * np.sin(a)), (-x * np.sin(a) + y * np.cos(a))
        x, y = x / self.printed[0], y / self.printed[1]
        window = size.value / 2
        there = (np.hypot(x, y) > window) & (np.maximum(np.abs(x), np.abs(y)) < HALF_SIDE * window)
        drawn = dots(size)
        tree = spatial.cKDTree([(dot.x_mm, dot.y_mm) for dot in drawn])
        away, nearest = tree.query(np.stack([x[there], y[there]], axis=-1))
        inked = np.zeros(x.shape, bool)
        inked[there] = away < np.array([dot.radius_mm for dot in drawn])[nearest]
        paper = 0.3 * self.paper if self.lamp.behind else self.paper
        return np.where(there, np.where(inked, self.ink, paper), np.nan)

    def dots_mm(self):
        """Return where the middles of the dots really lie, shape (48, 3), in the plate's frame."""
        drawn = np.array([(dot.x_mm, dot.y_mm) for dot in dots(self.card)]) * self.printed
        a = np.radians(self.card_turn_deg)
        turned = drawn @ np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])
        placed = turned + np.array(self.card_middle_mm)
        return np.column_stack([placed, np.full(len(placed), self.above_mm)])


def at_height(start, ways, height_mm):
    """Return where rays cross a plane parallel to the plate."""
    reach = (height_mm - start[2]) / ways[..., 2]
    return start + reach[..., None] * ways


def beyond(hole, place, grown_mm):
    """Return how far places lie outside the oval, about: its implicit function over its slope."""
    a = np.radians(hole.direction_deg)
    x, y = place[..., 0], place[..., 1]
    along, aside = x * np.cos(a) + y * np.sin(a), -x * np.sin(a) + y * np.cos(a)
    long, short = hole.long_mm / 2 + grown_mm, hole.short_mm / 2 + grown_mm
    level = (along / long) ** 2 + (aside / short) ** 2
    slope = 2 * np.hypot(along / long**2, aside / short**2)
    return np.where(slope > 0, (level - 1) / np.where(slope > 0, slope, 1), -short)


def streaks(place, seed):
    """Return a smooth random line, mean 0 and deviation about 1, at places on it."""
    return np.interp(place, *line_of(seed))


@functools.cache
def line_of(seed):
    """Return a smooth random line by summed sines, as places and values."""
    rng = np.random.default_rng(seed)
    rates, phases = rng.uniform(0.2, 3, 12), rng.uniform(0, 2 * np.pi, 12)
    table = np.linspace(-2000, 2000, 400_001)
    waves = sum(np.sin(r * table + p) for r, p in zip(rates, phases, strict=True)) / np.sqrt(6)
    return table, waves
