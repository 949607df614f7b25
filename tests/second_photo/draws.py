"""Drilled plates beside the card drawn at random, as a restorer's telephone would see them."""

from second_photo.camera import Camera
from second_photo.plate import Hole, Lamp, Plate
from second_photo.shot import Sensor

OVALS_MM = (0.0, 0.0, 0.02, 0.04, 0.08)
SHOWN_MM = 22.4
"""The small card's dots, and room for a card that lies aside."""


def drawn_plate(rng, *, um_a_pixel=None, rays=32):
    """Return plate, camera and sensor: a sharp rim, light from the front, tilt to 3 degrees.

    The card lies within ± 0.1 mm (95 %) of the rim's height, as the promise asks.
    """
    um = um_a_pixel or rng.uniform(10, 14)
    across, oval = rng.uniform(0.8, 2.5), rng.choice(OVALS_MM)
    seed = int(rng.integers(1 << 30))
    plate = Plate(
        hole=Hole(
            long_mm=across + oval / 2,
            short_mm=across - oval / 2,
            direction_deg=rng.uniform(0, 180),
        ),
        lamp=Lamp(azimuth_deg=rng.uniform(0, 360)),
        card_turn_deg=rng.uniform(0, 360),
        card_middle_mm=tuple(rng.uniform(-1, 1, 2)),
        above_mm=rng.normal(0, 0.05),
        brushed_deg=rng.uniform(0, 180),
        seed=seed,
    )
    pixels = round(1000 * SHOWN_MM / um)
    camera = Camera(
        wide=pixels,
        high=pixels,
        um_a_pixel=um,
        distance_mm=rng.uniform(60, 120),
        tilt_deg=rng.uniform(0, 3),
        tilt_axis_deg=rng.uniform(0, 360),
        aim_mm=tuple(rng.uniform(-0.5, 0.5, 2)),
        barrel=rng.uniform(-0.015, 0.005),
    )
    sensor = Sensor(
        rays=rays,
        defocus_px=rng.uniform(0.5, 1.5),
        exposure=rng.uniform(0.7, 1.0),
        jpeg=rng.choice([None, 95]),
        seed=seed,
    )
    return plate, camera, sensor
