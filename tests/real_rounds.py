"""Round things in real photographs from outside the project, pressed at by hand.

The 20 cent coin has the form of a Spanish flower: seven notches (Council Regulation (EC) No 975/98,
as amended by No 423/1999, calls the form so; that it has seven is from memory). The euro and the
10 cent coin are round; the rings are plain. `../shared/data/photo` is not part of the project.
"""

from pathlib import Path

import numpy as np

from sideshake.photo.ellipse import Ellipse
from sideshake.photo.light import photograph
from sideshake.photo.trace import Coding, trace

FOLDER = Path(__file__).resolve().parents[2] / "shared/data/photo"
if not FOLDER.exists():
    FOLDER = Path(__file__).resolve().parents[3] / "shared/data/photo"
TWENTY = [
    (666, 111), (661, 215), (577, 258), (788, 234), (633, 330), (524, 335), (448, 465), (538, 470),
    (622, 506), (450, 595), (397, 663), (606, 593), (680, 663), (845, 614), (760, 732), (851, 719),
    (810, 813), (909, 811), (391, 754), (472, 786), (270, 433), (278, 322), (376, 302), (941, 262),
    (1039, 266), (1121, 326), (1043, 379), (953, 404), (938, 494), (1021, 600), (1070, 732),
]  # fmt: skip
"""In a copy 1300 wide of a photograph 4032 wide."""
TEN = [
    (797, 132), (798, 181), (924, 180), (699, 334), (831, 248), (975, 321), (268, 346), (305, 458),
    (153, 554), (686, 451), (541, 508), (651, 638), (559, 711), (683, 751), (915, 543), (1074, 613),
    (917, 664), (1021, 710), (1129, 736), (224, 851), (343, 1019), (534, 1009), (455, 922),
    (699, 880), (777, 962), (899, 985), (1015, 954), (1127, 926), (490, 1139), (662, 1131),
    (556, 1232),
]  # fmt: skip
"""In a copy 1300 wide of a photograph 3024 wide."""
EURO = [
    (838, 80), (725, 117), (770, 213), (864, 250), (690, 284), (970, 334), (575, 378), (852, 396),
    (668, 454), (788, 477), (451, 477), (360, 534), (623, 544), (885, 537), (879, 648), (777, 672),
]  # fmt: skip
"""In a copy 1300 wide of a photograph 4032 wide."""
COPY_PX = 1300
OUTER_OVER_INNER = 23.67 / 19.03
"""Of the rings' diameters."""
PRESSED = {"20c-IMG_4189.jpg": TWENTY, "10c-IMG_4191.jpg": TEN, "1e-IMG_4200.jpg": EURO}


COINS = {
    "20 cent": ("20c-IMG_4189.jpg", 7),
    "10 cent": ("10c-IMG_4191.jpg", 0),
}


def real_rounds(*names):
    """Yield name, light, point pressed and the number of notches (none: 0) of each."""
    for name in names or (*COINS, "ring"):
        yield from rings() if name == "ring" else coins(name)


def coins(name):
    """Yield each coin of a photograph, with some of what lies round it."""
    file, teeth = COINS[name]
    picture = photograph(FOLDER / "coins" / file)
    for x, y in pressed(file, picture.width_px):
        patch = picture.strip(picture.around(x, y, 0.07 * picture.width_px))
        yield name, patch.light, (x - patch.left, y - patch.top), teeth


def pressed(file, wide_px):
    """Return where the coins of a photograph were pressed, in its pixels."""
    return [tuple(wide_px / COPY_PX * value for value in point) for point in PRESSED[file]]


def rings():
    """Yield each ring, its middle pressed."""
    for path in sorted((FOLDER / "rings").glob("*.png")):
        light = photograph(path).small().light
        yield "ring", light, tuple(0.5 * np.array(light.shape[::-1])), 0


def ring_rims(part):
    """Return the outer and the inner rim of a ring, traced."""
    photo = photograph(FOLDER / f"rings/backlit-{part:02d}.png")
    inner = trace(photo, (photo.width_px / 2, photo.height_px / 2), coding=Coding.LINEAR)
    found = inner.fit.ellipse
    start = Ellipse(x=found.x, y=found.y, r=found.r * OUTER_OVER_INNER)
    return trace(photo, (0, 0), coding=Coding.LINEAR, start=start), inner
