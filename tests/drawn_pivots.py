"""Photographs of pivots drawn from geometry: a shaft with a shoulder, tapered, bent or grooved."""

from dataclasses import dataclass

import numpy as np
from scipy import ndimage

FINE = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPivot:
    """A pivot of `thick` pixels at its middle, `long` pixels from shoulder to end.

    `taper` is the growth of thickness on a length of one towards the shoulder; `bow` how far the
    middle line bulges, `groove` how deep a worn ring is at its middle.
    """

    thick: float = 60.0
    long: float = 150.0
    turn: float = 0.4
    middle: tuple[float, float] = (200.3, 198.7)
    taper: float = 0.0
    bow: float = 0.0
    groove: float = 0.0
    metal: float = 0.04
    ground: float = 0.7
    slope: float = 0.0
    blur: float = 1.0
    electrons: float = 8000.0
    seed: int = 1
    size: tuple[int, int] = (400, 400)


def drawn_pivot(drawn):
    """Return the photograph as linear light, float32."""
    rows, columns = drawn.size
    step = (np.arange(FINE) + 0.5) / FINE - 0.5
    y = drawn.middle[1] - (np.arange(rows)[:, None] + step).ravel()[:, None]
    x = (np.arange(columns)[:, None] + step).ravel()[None, :] - drawn.middle[0]
    c, s = np.cos(drawn.turn), np.sin(drawn.turn)
    along, aside = x * c + y * s, -x * s + y * c
    place = np.clip(2 * along / drawn.long, -1, 1)
    half = 0.5 * (drawn.thick + drawn.taper * along)
    half = half - drawn.groove * np.exp(-((along / (0.15 * drawn.long)) ** 2))
    metal = (np.abs(aside - drawn.bow * (1 - 2 * place**2)) < half) & (
        np.abs(along) < drawn.long / 2
    )
    metal |= (along >= drawn.long / 2) & (np.abs(aside) < 1.6 * drawn.thick)
    share = metal.reshape(rows, FINE, columns, FINE).mean(axis=(1, 3))
    light = drawn.ground + (drawn.metal - drawn.ground) * share
    light = light * (1 + drawn.slope * (np.arange(columns) / columns - 0.5))
    light = ndimage.gaussian_filter(light, drawn.blur)
    noise = np.sqrt(np.maximum(light, 0) / drawn.electrons + 2e-6)
    made = light + noise * np.random.default_rng(drawn.seed).standard_normal(light.shape)
    return np.clip(made, 0, 1).astype(np.float32)
