"""A second simulator of the sound of a mechanical watch, from the mechanics of the escapement.

It shares nothing with `sideshake.sound.simulate` and must not be tuned to what the ear hears well.
"""

from second_sound.draws import (
    alarm_clock,
    clock_out_of_beat,
    draw,
    random_watch,
)
from second_sound.listening import Heard, HeardTogether, Spec, listen, together
from second_sound.truth import Truth
from second_sound.values import Escapement, Recorder, Room, Sound

__all__ = [
    "Escapement",
    "Heard",
    "HeardTogether",
    "Recorder",
    "Room",
    "Sound",
    "Spec",
    "Truth",
    "alarm_clock",
    "clock_out_of_beat",
    "draw",
    "listen",
    "random_watch",
    "together",
]
