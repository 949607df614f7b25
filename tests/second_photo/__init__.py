"""A second camera that photographs a drilled plate beside the printed card, truth attached.

It was written from the physics of a pinhole, a thin plate and a sensor, by somebody who has read
neither the first renderer of holes nor the code that measures them; the only thing shared is where
the card's dots lie (`sideshake.photo.card`). Each pixel is the mean of rays that are cast backwards
through it: through the lens' distortion, on to the card, the plate, its chamfer, the wall of the
hole, or what lies behind.
"""

from second_photo.camera import Camera
from second_photo.draws import drawn_plate
from second_photo.plate import Hole, Lamp, Plate
from second_photo.shot import Sensor, Shot, Truth, shoot

__all__ = ["Camera", "Hole", "Lamp", "Plate", "Sensor", "Shot", "Truth", "drawn_plate", "shoot"]
