"""Readings to draw: one simulated and heard for real, others written down by hand."""

import xml.etree.ElementTree as ET

import numpy as np
import pytest

from sideshake.core.quantities import Measured
from sideshake.sound.beats import Beats
from sideshake.sound.listener import Heard, Listener, SegmentNote
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.timing.reading import read


@pytest.fixture(scope="session")
def reading():
    watch = SimulatedWatch(beats_per_hour=18000, rate_s_per_day=6, beat_error_ms=0.6)
    sound = simulate(watch, duration_s=12, room=RoomNoise(snr_db=20), seed=3)
    listener = Listener(sound.rate_hz)
    listener.feed(sound.samples)
    return read(listener.hear(), lift_angle_deg=Measured(52.0))


def reading_of(late_s, *, beat_s=0.2):
    """Return the reading of beats that come `late_s` after an even beat, without any sound."""
    index = np.arange(late_s.size)
    arrival_s = 0.05 + beat_s * index + late_s
    note = SegmentNote(
        start_s=0.0, end_s=float(arrival_s[-1]) + 0.1, heard=index.size, clearness_db=20.0
    )
    heard = Heard(
        rate_hz=48000,
        duration_s=note.end_s,
        beats=Beats(arrival_s, index, np.ones(index.size, np.float32)),
        notes=(note,),
        portraits=(None, None),
        beats_per_hour=3600 / beat_s,
        sides=2,
        told=False,
        clipped_share=0.0,
        other_beats_per_hour=None,
    )
    return read(heard)


@pytest.fixture(scope="session")
def hand_made():
    return reading_of


def words_of(svg):
    """Return everything written in a picture."""
    return " ".join("".join(each.itertext()) for each in ET.fromstring(svg).iter() if each.text)


@pytest.fixture(scope="session")
def words():
    return words_of
