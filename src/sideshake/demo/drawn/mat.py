"""The mat under the watch and the light of the room, as arrays: quicker than drawing each thread."""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from sideshake.demo.drawn import ink

SCALE = 0.64
"""Pixels of the photograph for a pixel of the drawing: it is drawn in 0.2 s, not in 0.5."""
WIDTH, HEIGHT = round(SCALE * ink.WIDTH), round(SCALE * ink.HEIGHT)
LINENS = ((216, 206, 186), (206, 199, 186), (184, 184, 166), (146, 157, 160), (196, 178, 158))
"""Colours of the cloths."""
THREAD = 6.0
"""Pixels from thread to thread."""
LAMP_AT = (0.32, 0.25)
"""Where the lamp shines brightest, as shares of width and height."""
DUSK = 0.42
"""How much darker the corners are."""
GRAIN = 1.8
"""Noise of the photograph, steps of 255."""


@cache
def linen(which: int) -> NDArray[np.float32]:
    """Return a cloth of one of the colours, shape (height, width, 3), in steps of 255."""
    random = np.random.default_rng(which)
    down, across = np.mgrid[0:HEIGHT, 0:WIDTH].astype(np.float32)
    bend = 3 * np.sin(across / 240 + which) + 2 * np.sin(down / 180)
    warp = np.sin(2 * np.pi * (across + 0.04 * down + bend) / THREAD)
    weft = np.sin(2 * np.pi * (down - 0.05 * across + bend) / THREAD)
    over = np.where(
        np.sign(warp) == np.sign(weft), 0.5 + 0.5 * np.abs(warp), 0.5 + 0.5 * np.abs(weft)
    )
    slubs = uneven(random, WIDTH).reshape(1, -1) + uneven(random, HEIGHT).reshape(-1, 1)
    shade = 0.80 + 0.17 * over + 0.013 * slubs + 0.03 * random.normal(size=over.shape)
    cloth = shade[:, :, None] * np.array(LINENS[which], dtype=np.float32)
    return np.asarray(cloth * lamp()[:, :, None], dtype=np.float32)


def uneven(random: np.random.Generator, pixels: int) -> NDArray[np.float32]:
    """Return how bright each thread is across so many pixels, about -1 to 1."""
    threads = np.repeat(random.normal(size=int(pixels / THREAD) + 1), int(THREAD))
    return np.asarray(threads[:pixels], dtype=np.float32)


@cache
def lamp() -> NDArray[np.float32]:
    """Return the light on the mat: brightest at the lamp."""
    return np.asarray(1.08 - 0.30 * distance(LAMP_AT), dtype=np.float32)


@cache
def dusk() -> NDArray[np.float32]:
    """Return what the corners keep of their light."""
    far = np.clip(distance((0.5, 0.5)) - 0.55, 0, None)
    return np.asarray(1.0 - DUSK * far**1.5 * 1.6, dtype=np.float32)


def distance(at: tuple[float, float]) -> NDArray[np.float32]:
    """Return each pixel's distance from a place, in half widths of the picture."""
    down, across = np.mgrid[0:HEIGHT, 0:WIDTH].astype(np.float32)
    return np.asarray(
        np.hypot(across - at[0] * WIDTH, down - at[1] * HEIGHT) / (WIDTH / 2), dtype=np.float32
    )


@cache
def grain() -> NDArray[np.float32]:
    """Return the grain of the photograph, one layer for all of them."""
    noise = np.random.default_rng(7).normal(0, GRAIN, (HEIGHT, WIDTH, 1))
    return np.asarray(noise, dtype=np.float32)


def laid_on(things: NDArray[np.uint8], which: int) -> NDArray[np.uint8]:
    """Return the drawn things, shape (height, width, 4), on a cloth, with the room's light."""
    share = things[:, :, 3:].astype(np.float32) / 255
    mixed = things[:, :, :3] * share + linen(which) * (1 - share)
    lit = mixed * dusk()[:, :, None] + grain()
    return np.asarray(np.clip(lit, 0, 255), dtype=np.uint8)
