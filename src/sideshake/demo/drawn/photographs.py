"""The season's photographs as JPEG files: the same watch, picture and key give the same bytes."""

import io
from dataclasses import dataclass
from random import Random

import numpy as np
import vl_convert
from PIL import Image

from sideshake.demo.drawn.back import back
from sideshake.demo.drawn.close_ups import CLOSE_UPS
from sideshake.demo.drawn.dial import front
from sideshake.demo.drawn.mat import HEIGHT, LINENS, SCALE, WIDTH, laid_on
from sideshake.demo.drawn.movement import inside
from sideshake.demo.drawn.scene import picture
from sideshake.demo.shapes import Watch
from sideshake.demo.visit import Picture

QUALITY = 84
WHOLE = {"dial": front, "movement": inside, "case-back": back}


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotographFile:
    """A photograph as a file's bytes."""

    data: bytes
    width_px: int = WIDTH
    height_px: int = HEIGHT
    ending: str = "jpg"


def svg_of(what: Picture, watch: Watch, *, key: str) -> str:
    """Return the drawing of a photograph; the watch looks alike in all, the time differs by key."""
    random = Random(f"{watch.key} {what} {key}")
    draw = WHOLE.get(what) or CLOSE_UPS[what]
    return picture(draw(watch, random))


def photograph(what: Picture, watch: Watch, *, key: str) -> PhotographFile:
    """Return the photograph of a watch; `key` is the visit's, so that no two are alike."""
    drawn = vl_convert.svg_to_png(svg_of(what, watch, key=key), scale=SCALE)
    with Image.open(io.BytesIO(drawn)) as png:
        things = np.asarray(png.convert("RGBA"))
    cloth = Random(f"{key} cloth").randrange(len(LINENS))
    stream = io.BytesIO()
    Image.fromarray(laid_on(things, cloth)).save(stream, "JPEG", quality=QUALITY)
    return PhotographFile(data=stream.getvalue())
