"""Holes drawn at random, photographed by `rendered`, measured; what was true beside what was said.

Every error that the budget names is really made: the card lies off the rim's height, its lines
are measured by a calliper, its dots are printed a little off, the hole's rim is broken a little,
the camera has its own contrast curve, looks askew and bends. How wide each is drawn stands here
(our assumptions).
"""

from dataclasses import dataclass, replace

import numpy as np

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.card import Print
from sideshake.photo.hole import HoleSeen, PhotoView, measure_hole
from sideshake.photo.scale import ByCard
from tests.photo.rendered import Scene, picture_of, where_px

CALLIPER_MM = 0.02
"""Standard uncertainty of a line measured by calliper."""


@dataclass(frozen=True, kw_only=True)
class Trial:
    """A scene, how it was read, and what came of it; `seen` is None where it was refused."""

    scene: Scene
    seen: HoleSeen | None
    refused: str = ""

    @property
    def true_mean_mm(self):
        return (self.scene.long_mm + self.scene.short_mm) / 2

    @property
    def true_oval_mm(self):
        return self.scene.long_mm - self.scene.short_mm

    @property
    def size_off_px(self):
        return (self.seen.mean_mm.value - self.true_mean_mm) / self.seen.mm_a_pixel

    @property
    def oval_off_px(self):
        return (self.seen.oval_mm.value - self.true_oval_mm) / self.seen.mm_a_pixel

    @property
    def size_held(self):
        return self.seen.mean_mm.holds(self.true_mean_mm)

    @property
    def oval_held(self):
        return self.seen.oval_mm.holds(self.true_oval_mm)

    @property
    def size_intervals(self):
        """How many 95 % half-widths the size is off."""
        return abs(self.seen.mean_mm.value - self.true_mean_mm) / self.seen.mean_mm.expanded

    @property
    def direction_off_deg(self):
        off = self.seen.oval.picture_deg.value - self.scene.angle_deg
        return abs((off + 90) % 180 - 90)


def drawn_scene(seed, *, oval_mm=None):
    """Return a hole in a plate under front light, with every error of the budget."""
    random = np.random.default_rng([31, seed])
    um = random.uniform(16, 22)
    mean = um * random.uniform(65, 200) / 1000
    oval = random.uniform(0, 0.06) if oval_mm is None else oval_mm
    return Scene(
        seed=seed,
        long_mm=mean + oval / 2,
        short_mm=mean - oval / 2,
        angle_deg=random.uniform(0, 180),
        hole_mm=tuple(random.uniform(-1, 1, 2)),
        chamfer_mm=random.uniform(0, 0.002),
        card_mm=tuple(random.uniform(-0.5, 0.5, 2)),
        card_deg=random.uniform(0, 360),
        card_above_mm=random.uniform(-0.1, 0.1),
        card_leans_deg=random.uniform(0, 1),
        card_leans_towards_deg=random.uniform(0, 360),
        across=random.uniform(0.985, 1.015),
        along=random.uniform(0.985, 1.015),
        dot_shifts_mm=0.005,
        wide_px=int(24500 / um),
        high_px=int(23500 / um),
        um_a_pixel=um,
        distance_mm=random.uniform(60, 90),
        tilt_deg=random.uniform(0, 3),
        tilt_towards_deg=random.uniform(0, 360),
        bending=random.uniform(-0.03, 0.03),
        blur_px=random.uniform(0.5, 1.1),
        exposure=random.uniform(0.6, 1.25),
        full_well=random.uniform(3000, 20000),
        tone=random.uniform(1 / 1.15, 1.15),
    )


def still(scene):
    """Return the scene without what no edge can tell: only optics, noise and fit are left."""
    return replace(
        scene,
        card_above_mm=0.0,
        card_leans_deg=0.0,
        across=1.0,
        along=1.0,
        dot_shifts_mm=0.0,
        chamfer_mm=0.0,
        tone=1.0,
    )


def measured(scene, *, press=(0.2, 0.1), view=None):
    """Return what is measured of a scene; pressed a little beside the hole's middle."""
    random = np.random.default_rng([37, scene.seed])
    lines = [Measured(100 * each + random.normal(0, CALLIPER_MM), CALLIPER_MM)
             for each in (scene.across, scene.along)]  # fmt: skip
    photo = picture_of(scene)
    x, y = where_px(scene)
    radius_px = scene.short_mm * 500 / scene.um_a_pixel
    at = (x + press[0] * radius_px, y + press[1] * radius_px)
    try:
        seen = measure_hole(
            photo,
            at,
            ByCard(printed=Print(across_mm=lines[0], along_mm=lines[1])),
            view=view or PhotoView(),
        )
    except NotEnough as why:
        return Trial(scene=scene, seen=None, refused=str(why))
    return Trial(scene=scene, seen=seen)
