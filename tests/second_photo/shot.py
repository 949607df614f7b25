"""The sensor: rays through each pixel by a low-discrepancy sequence, defocus, noise, coding."""

import io
from dataclasses import dataclass

import numpy as np
from PIL import ExifTags, Image
from scipy import ndimage, signal

from second_photo.camera import Camera
from second_photo.plate import Plate

GOLDEN = 1.32471795724474602596  # the plastic number: its powers step evenly through a square
"""Roberts' R2 sequence (2018): an additive recurrence in two dimensions."""
FEW_RAYS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensor:
    """How a picture is taken from the light.

    `defocus_px` is the radius of the disc into which a point is spread, `flare` the share of all
    light that is scattered evenly, `exposure` what white paper of 1 becomes (above 1 it burns out).
    """

    rays: int = 64
    defocus_px: float = 0.8
    flare: float = 0.01
    exposure: float = 0.9
    electrons: float = 12000.0
    read_noise: float = 6.0
    camera_curve: bool = True
    jpeg: int | None = None
    seed: int = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """What the photograph shows; lengths in mm, pixels as in `Camera`."""

    long_mm: float
    short_mm: float
    direction_deg: float
    chamfer_mm: float
    middle_px: tuple[float, float]
    um_a_pixel: float
    tilt_deg: float
    above_mm: float
    printed: tuple[float, float]
    dots_px: np.ndarray | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """A photograph: light before coding, the file, and the truth."""

    light: np.ndarray
    file: bytes
    truth: Truth


def shoot(plate=None, camera=None, sensor=None):
    """Return a photograph of a plate."""
    plate, camera, sensor = plate or Plate(), camera or Camera(), sensor or Sensor()
    ideal = integrated(plate, camera, sensor.rays)
    spread = defocused(ideal, sensor.defocus_px)
    light = sensor.exposure * ((1 - sensor.flare) * spread + sensor.flare * spread.mean())
    rng = np.random.default_rng(sensor.seed)
    counted = rng.poisson(np.clip(light, 0, None) * sensor.electrons)
    read = rng.normal(0, sensor.read_noise, light.shape)
    seen = np.clip((counted + read) / sensor.electrons, 0, 1).astype(np.float32)
    return Shot(light=seen, file=filed(seen, sensor), truth=truth_of(plate, camera))


def integrated(plate, camera, rays):
    """Return the light on each pixel: the mean over rays through it, with cos⁴ fall-off.

    A few rays tell where light changes; there alone all of them are cast.
    """
    y, x = np.mgrid[: camera.high, : camera.wide].astype(float)
    few = np.stack([cast(plate, camera, x, y, step) for step in range(FEW_RAYS)])
    light = few.mean(axis=0)
    change = ndimage.maximum_filter(light, 3) - ndimage.minimum_filter(light, 3)
    edge = ndimage.maximum_filter((change > 0.1) | (np.ptp(few, axis=0) > 0.1), 3)
    total = np.zeros(edge.sum())
    for step in range(rays):
        total += cast(plate, camera, x[edge], y[edge], step)
    light[edge] = total / rays
    return light


def cast(plate, camera, x, y, step):
    """Return the light along one ray through each pixel, at the sequence's place `step`."""
    dx, dy = ((0.5 + (step + 1) / GOLDEN**power) % 1 - 0.5 for power in (1, 2))
    start, ways, cosine = camera.rays(x + dx, y + dy)
    return plate.light(start, ways) * (cosine**4 if camera.falls_off else 1)


def defocused(light, radius):
    """Return light spread over a disc whose rim pixels are weighed by what the disc covers."""
    if radius < 0.1:
        return light
    half = int(np.ceil(radius)) + 1
    fine = (np.arange((2 * half + 1) * 20) + 0.5) / 20 - half - 0.5
    inside = (fine[:, None] ** 2 + fine[None, :] ** 2 < radius**2).astype(float)
    disc = inside.reshape(2 * half + 1, 20, 2 * half + 1, 20).mean(axis=(1, 3))
    padded = np.pad(light, half, mode="edge")
    return signal.fftconvolve(padded, disc / disc.sum(), mode="valid")


def filed(seen, sensor):
    """Return the photograph as a file: sRGB or linear codes of 8 bits, PNG or JPEG."""
    low = seen * 12.92
    high = 1.055 * np.maximum(seen, 1e-9) ** (1 / 2.4) - 0.055
    codes = np.where(seen <= 0.0031308, low, high) if sensor.camera_curve else seen
    picture = Image.fromarray(np.round(255 * codes).astype(np.uint8))
    words = Image.Exif()
    words[ExifTags.Base.Model] = "second camera"
    stream = io.BytesIO()
    if sensor.jpeg is None:
        picture.save(stream, "PNG", exif=words)
    else:
        picture.convert("RGB").save(stream, "JPEG", quality=sensor.jpeg, exif=words)
    return stream.getvalue()


def truth_of(plate, camera):
    """Return what the photograph shows."""
    hole = plate.hole
    middle = camera.seen([[0.0, 0.0, 0.0]])[0]
    return Truth(
        long_mm=hole.long_mm,
        short_mm=hole.short_mm,
        direction_deg=hole.direction_deg % 180,
        chamfer_mm=hole.chamfer_mm,
        middle_px=(float(middle[0]), float(middle[1])),
        um_a_pixel=camera.um_a_pixel,
        tilt_deg=camera.tilt_deg,
        above_mm=plate.above_mm,
        printed=plate.printed,
        dots_px=None if plate.card is None else camera.seen(plate.dots_mm()),
    )
