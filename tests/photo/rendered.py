"""Photographs of a hole and a card by physics: a pinhole camera, area sampling, blur, noise, white.

The world: z = 0 is the plate's surface, z up to the camera. The plate has one hole, oval or round,
with or without a chamfer; the card lies at its own height. Light is reckoned in proportion; blur
comes before the sensor, shot and read noise in it, the cut at white after it, then the camera's
own contrast curve and the code of IEC 61966-2-1.
"""

import io
import math
from dataclasses import dataclass

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter

from sideshake.photo.card import HALF_SIDE, ScaleCardSize, dots
from sideshake.photo.light import coded, photograph

PAPER, INK, PLATE, DEPTH = 0.75, 0.04, 0.42, 0.015
FINE, COARSE = 6, 4
"""Samples along each side of a pixel at the hole's rim and at dots."""
ROUGH = 4
"""Everything else is sampled once in so many pixels each way: nothing there is measured."""


@dataclass(frozen=True, kw_only=True)
class Scene:
    """What stands before the camera, in mm and degrees, and the camera, in px."""

    long_mm: float = 1.02
    short_mm: float = 1.0
    angle_deg: float = 0.0
    """From 3 o'clock (the plate's +x) counter-clockwise."""
    lobes_mm: float = 0.0
    """Third harmonic of the rim's radius: no ellipse."""
    keyhole_mm: float = 0.0
    hole_mm: tuple = (0.0, 0.0)
    chamfer_mm: float = 0.0
    chamfer_light: float = 0.0
    """Of a chamfer under a ring of lamps, bright all round; 0 is light from one side."""
    squares_mm: float = 0.0
    squares: float = 0.0
    """The plate is a chessboard of squares so large, lighter and darker by this share."""
    thickness_mm: float = 0.5
    behind: float = 0.0
    """Light from behind through the hole; 0 is light from the front."""
    card: ScaleCardSize | None = ScaleCardSize.SMALL
    card_mm: tuple = (0.0, 0.0)
    card_deg: float = 0.0
    card_above_mm: float = 0.0
    card_leans_deg: float = 0.0
    card_leans_towards_deg: float = 0.0
    across: float = 1.0
    along: float = 1.0
    dot_shifts_mm: float = 0.0
    mirrored: bool = False
    oil_deg: float = 0.0
    """How much of the rim a bright smear covers."""
    wide_px: int = 1100
    high_px: int = 1100
    um_a_pixel: float = 20.0
    distance_mm: float = 80.0
    tilt_deg: float = 0.0
    tilt_towards_deg: float = 0.0
    bending: float = 0.0
    blur_px: float = 1.0
    exposure: float = 1.0
    uneven: float = 0.15
    full_well: float = 8000.0
    read: float = 0.003
    tone: float = 1.0
    grain: float = 0.02
    seed: int = 0


class Camera:
    """A pinhole that looks at the plate's origin, tilted; its pictures bend about their middle."""

    def __init__(self, scene):
        tilt, towards = math.radians(scene.tilt_deg), math.radians(scene.tilt_towards_deg)
        axis = np.array([-math.sin(towards), math.cos(towards), 0.0])
        cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
        turn = np.eye(3) + math.sin(tilt) * cross + (1 - math.cos(tilt)) * cross @ cross
        self.place = turn @ np.array([0, 0, scene.distance_mm])
        self.right, self.up, self.back = turn.T
        self.focal = scene.distance_mm * 1000 / scene.um_a_pixel
        self.middle = ((scene.wide_px - 1) / 2, (scene.high_px - 1) / 2)
        self.half = math.hypot(scene.wide_px, scene.high_px) / 2
        self.bending = scene.bending

    def on_plane(self, x, y, height_mm, slope=(0.0, 0.0)):
        """Return where pixels see the plane z = height + slope * place."""
        bent = np.stack([(x - self.middle[0]) / self.half, (y - self.middle[1]) / self.half])
        straight = bent.copy()
        for _ in range(5):
            straight = bent / (1 + self.bending * (straight**2).sum(axis=0))
        u, v = straight * self.half / self.focal
        ray = [u * r - v * p - b for r, p, b in zip(self.right, self.up, self.back, strict=True)]
        rise = height_mm + slope[0] * self.place[0] + slope[1] * self.place[1]
        reach = (rise - self.place[2]) / (ray[2] - slope[0] * ray[0] - slope[1] * ray[1])
        return self.place[0] + reach * ray[0], self.place[1] + reach * ray[1]

    def seen(self, x, y, z):
        """Return the pixel at which a point is seen."""
        point = np.array([x, y, z]) - self.place
        u, v = point @ self.right / -(point @ self.back), -(point @ self.up) / -(point @ self.back)
        flat = np.array([u, v]) * self.focal / self.half
        return flat * (1 + self.bending * (flat**2).sum()) * self.half + self.middle


def rim_excess(scene, x, y):
    """Return how far outside the hole's rim points lie (mm), and in which direction."""
    x, y = x - scene.hole_mm[0], y - scene.hole_mm[1]
    turn = math.radians(scene.angle_deg)
    along = x * math.cos(turn) + y * math.sin(turn)
    across = -x * math.sin(turn) + y * math.cos(turn)
    angle = np.arctan2(across, along)
    a, b = scene.long_mm / 2, scene.short_mm / 2
    rho = np.hypot(along / a, across / b)
    reach = np.hypot(along, across)
    edge = reach / np.maximum(rho, 1e-9) + scene.lobes_mm * np.cos(3 * angle)
    slot = scene.keyhole_mm * np.exp(-((angle / 0.35) ** 2))
    return reach - edge - slot, np.arctan2(y, x)


def plate_light(scene, top, bottom):
    """Return the light of the plate and its hole; `top` and `bottom` are its two surfaces."""
    outside, direction = rim_excess(scene, *top)
    if scene.behind:
        through = (outside < 0) & (rim_excess(scene, *bottom)[0] < 0)
        return np.where(through, scene.behind, DEPTH)
    slope = scene.chamfer_light or PLATE * (0.55 + 0.25 * np.cos(direction - 2.0))
    plate = PLATE
    if scene.squares_mm:
        odd = sum(np.floor(each / scene.squares_mm) for each in top) % 2
        plate = PLATE * (1 + scene.squares * (2 * odd - 1))
    light = np.where(outside < 0, DEPTH, np.where(outside < scene.chamfer_mm, slope, plate))
    smear = np.abs(direction) < math.radians(scene.oil_deg) / 2
    return np.where(smear & (np.abs(outside) < 0.2 * scene.long_mm), PLATE, light)


class Card:
    """Ink and paper of a printed card, lying turned and moved on its plane."""

    def __init__(self, scene):
        random = np.random.default_rng([5, scene.seed])
        self.scene, self.turn = scene, math.radians(scene.card_deg)
        lean, way = math.radians(scene.card_leans_deg), math.radians(scene.card_leans_towards_deg)
        self.slope = (math.tan(lean) * math.cos(way), math.tan(lean) * math.sin(way))
        drawn = dots(scene.card)
        self.x = np.array([each.x_mm for each in drawn]) * scene.across
        self.y = np.array([each.y_mm for each in drawn]) * scene.along
        self.x += random.normal(0, scene.dot_shifts_mm, len(drawn))
        self.y += random.normal(0, scene.dot_shifts_mm, len(drawn))
        self.radius = np.array([each.radius_mm for each in drawn])
        if scene.mirrored:
            self.x = -self.x

    def own(self, x, y):
        """Return places of the plane in the card's own axes, in lengths along its slope."""
        a, b = self.slope
        x, y = x * math.hypot(1, a), y * math.hypot(1, b)
        x, y = x - self.scene.card_mm[0], y - self.scene.card_mm[1]
        c, s = math.cos(self.turn), math.sin(self.turn)
        return x * c + y * s, -x * s + y * c

    def dots_in_world(self):
        """Return where the dots' middles lie in the plane."""
        c, s = math.cos(self.turn), math.sin(self.turn)
        x = self.x * c - self.y * s + self.scene.card_mm[0]
        return x, self.x * s + self.y * c + self.scene.card_mm[1]

    def over(self, light, x, y):
        """Return light with the card's paper laid over it, without dots."""
        x, y = self.own(x, y)
        window = self.scene.card.value / 2
        paper = (np.hypot(x, y) > window) & (np.maximum(abs(x), abs(y)) < window * HALF_SIDE)
        return np.where(paper, PAPER, light)

    def dot(self, number, x, y):
        """Return the light of one dot and the paper round it."""
        x, y = self.own(x, y)
        ink = np.hypot(x - self.x[number], y - self.y[number]) < self.radius[number]
        return np.where(ink, INK, PAPER)


def rendered_light(scene):
    """Return the light that reaches the sensor, before noise: shape (high, wide)."""
    camera = Camera(scene)
    card = Card(scene) if scene.card else None

    def shade(x, y):
        top = camera.on_plane(x, y, 0.0)
        bottom = camera.on_plane(x, y, -scene.thickness_mm) if scene.behind else top
        light = plate_light(scene, top, bottom)
        if card is None:
            return light
        return card.over(light, *camera.on_plane(x, y, scene.card_above_mm, card.slope))

    def dot(number):
        return lambda x, y: card.dot(
            number, *camera.on_plane(x, y, scene.card_above_mm, card.slope)
        )

    y, x = np.mgrid[: scene.high_px, : scene.wide_px].astype(np.float32)
    rough = shade(x[::ROUGH, ::ROUGH].astype(float), y[::ROUGH, ::ROUGH].astype(float))
    light = (
        rough.repeat(ROUGH, axis=0).repeat(ROUGH, axis=1)[: scene.high_px, : scene.wide_px].copy()
    )
    if card is not None:
        for number, (u, v) in enumerate(zip(*card.dots_in_world(), strict=True)):
            at = camera.seen(u, v, scene.card_above_mm)
            reach = card.radius[number] * 1100 / scene.um_a_pixel + 3
            resample(light, at, reach, COARSE, dot(number))
    at = camera.seen(*scene.hole_mm, 0.0)
    reach = (scene.long_mm / 2 + scene.chamfer_mm + scene.keyhole_mm) * 1100 / scene.um_a_pixel + 4
    resample(light, at, reach, FINE, shade)
    slope = 1 + scene.uneven * (x / scene.wide_px - 0.5) + scene.uneven * (y / scene.high_px - 0.5)
    return gaussian_filter(light * slope, scene.blur_px)


def resample(light, at, reach, fine, shade):
    """Put the mean of many samples a pixel into a square of the picture."""
    high, wide = light.shape
    left, right = max(0, int(at[0] - reach)), min(wide, int(at[0] + reach) + 1)
    top, bottom = max(0, int(at[1] - reach)), min(high, int(at[1] + reach) + 1)
    if left >= right or top >= bottom:
        return
    step = (np.arange(fine) + 0.5) / fine - 0.5
    x = (np.arange(left, right)[:, None] + step).ravel()
    y = (np.arange(top, bottom)[:, None] + step).ravel()
    grid_y, grid_x = np.meshgrid(y, x, indexing="ij")
    many = shade(grid_x, grid_y)
    light[top:bottom, left:right] = many.reshape(bottom - top, fine, right - left, fine).mean(
        (1, 3)
    )


def codes(scene):
    """Return the picture as 8-bit codes."""
    random = np.random.default_rng([9, scene.seed])
    light = rendered_light(scene) * scene.exposure
    if scene.grain:
        grain = gaussian_filter(random.normal(0, 1, light.shape), 1.5)
        light = light * (1 + scene.grain * grain / grain.std())
    noise = np.sqrt(np.maximum(light, 0) / scene.full_well + scene.read**2)
    light = np.clip(light + noise * random.normal(0, 1, light.shape), 0, 1) ** scene.tone
    return np.round(coded(light) * 255).astype(np.uint8)


def picture_of(scene):
    """Return the photograph as it would have been decoded."""
    return photograph(file_of(scene))


def photographed(light):
    """Return light, shape (high, wide) or (high, wide, 3), as a photograph."""
    stream = io.BytesIO()
    Image.fromarray(np.round(255 * coded(light)).astype(np.uint8)).save(stream, "PNG")
    return photograph(stream.getvalue())


def file_of(scene, kind="PNG", **options):
    """Return the photograph as a file."""
    stream = io.BytesIO()
    options = {"compress_level": 1} if kind == "PNG" else {"quality": 95, **options}
    Image.fromarray(codes(scene)).save(stream, kind, **options)
    return stream.getvalue()


def where_px(scene, place_mm=None, height_mm=0.0):
    """Return the pixel at which a place on the plate, the hole's middle, is seen."""
    return tuple(
        float(each) for each in Camera(scene).seen(*(place_mm or scene.hole_mm), height_mm)
    )
