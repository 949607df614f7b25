"""Photographs spoilt in a way and to a degree drawn at random: measured right, or refused.

A card at a wrong height is not among them: no picture tells it, so the docs and the card do.
"""

import io
from dataclasses import replace

import numpy as np
from PIL import Image

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.card import Print
from sideshake.photo.hole import measure_hole
from sideshake.photo.light import photograph
from sideshake.photo.scale import ByCard
from tests.photo.holes import Trial, drawn_scene
from tests.photo.rendered import codes, where_px

LINES = Print(across_mm=Measured(100.0, 0.02), along_mm=Measured(100.0, 0.02))


def spoilt_scene(seed):
    """Return the kind of spoiling, and a scene spoilt so."""
    random = np.random.default_rng([41, seed])
    scene = replace(drawn_scene(seed), across=1.0, along=1.0)
    kinds = sorted(SCENES)
    kind = kinds[seed % len(kinds)]
    return kind, replace(scene, **SCENES[kind](random, scene))


SCENES = {
    "oil": lambda r, s: {"oil_deg": r.uniform(20, 200)},
    "keyhole": lambda r, s: {"keyhole_mm": s.long_mm * r.uniform(0.02, 0.4)},
    "blur": lambda r, s: {"blur_px": r.uniform(1, 6)},
    "tilt": lambda r, s: {"tilt_deg": r.uniform(3, 30)},
    "burnt": lambda r, s: {"exposure": r.uniform(1.3, 6)},
    "grain": lambda r, s: {"grain": r.uniform(0.05, 0.4)},
    "noise": lambda r, s: {"full_well": r.uniform(40, 400), "read": 0.02},
    "small": lambda r, s: {"long_mm": s.um_a_pixel * 0.001 * (x := r.uniform(15, 75)),
                           "short_mm": s.um_a_pixel * 0.00098 * x},
    "cut off": lambda r, s: {"hole_mm": (r.uniform(10, 13), r.uniform(-2, 2))},
    "lobes": lambda r, s: {"lobes_mm": s.long_mm * r.uniform(0.005, 0.06)},
    "card bent": lambda r, s: {"dot_shifts_mm": r.uniform(0.01, 0.2)},
    "sunk": lambda r, s: {"chamfer_mm": r.uniform(0.01, 0.25)},
    "uneven": lambda r, s: {"uneven": r.uniform(0.3, 1.2)},
    "mirrored": lambda r, s: {"mirrored": True},
    "no card": lambda r, s: {"card": None},
    "jpeg": lambda r, s: {},
    "shrunk": lambda r, s: {},
    "far off the middle": lambda r, s: {"card_mm": tuple(r.uniform(-7, 7, 2))},
}  # fmt: skip


def spoilt_trial(seed):
    """Return what came of a spoilt photograph."""
    kind, scene = spoilt_scene(seed)
    random = np.random.default_rng([43, seed])
    picture = Image.fromarray(codes(scene))
    stream = io.BytesIO()
    at = where_px(scene)
    if kind == "shrunk":
        share = random.uniform(0.25, 0.7)
        size = (round(picture.width * share), round(picture.height * share))
        at = tuple(
            (each + 0.5) * new / old - 0.5
            for each, new, old in zip(at, size, picture.size, strict=True)
        )
        picture = picture.resize(size, Image.Resampling.BICUBIC)
    if kind == "jpeg":
        exif = Image.Exif()
        exif[271] = "Somebody"
        picture.save(stream, "JPEG", quality=int(random.uniform(5, 60)), exif=exif)
    else:
        picture.save(stream, "PNG", compress_level=1)
    try:
        photo = photograph(stream.getvalue())
        at = (min(max(at[0], 0), photo.width_px - 1), min(max(at[1], 0), photo.height_px - 1))
        seen = measure_hole(photo, at, ByCard(printed=LINES))
    except NotEnough as why:
        return kind, Trial(scene=scene, seen=None, refused=str(why))
    return kind, Trial(scene=scene, seen=seen)
