"""An escapement that is known: no amplitude of a cylinder, a pin lever's own usual swing."""

from dataclasses import replace

import pytest

from sideshake.core.quantities import Measured
from sideshake.movement.escapement import CYLINDER, LEVER, PIN_LEVER
from sideshake.sound.listener import Listener
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.timing.reading import read
from sideshake.timing.sentence import meaning, sentence
from sideshake.timing.unheard import of_escapement


@pytest.fixture(scope="module")
def reading():
    listener = Listener(48000)
    watch = SimulatedWatch(beats_per_hour=18000, rate_s_per_day=12)
    listener.feed(simulate(watch, duration_s=20, seed=4).samples)
    return read(listener.hear(), lift_angle_deg=Measured(52))


def test_of_a_cylinder_the_amplitude_goes_and_the_rate_stays(reading):
    silent = of_escapement(reading, CYLINDER)
    assert reading.amplitude_deg is not None
    assert "°" in sentence(reading)
    assert silent.amplitude_deg is None
    assert silent.amplitudes_deg.size == 0
    assert "°" not in sentence(silent)
    assert not any("swing" in each for each in meaning(silent))
    assert silent.rate_s_per_day == reading.rate_s_per_day
    assert silent.beat_error_ms == reading.beat_error_ms
    assert silent.no_amplitude.startswith("not for a cylinder")


def test_a_pin_lever_is_held_against_its_own_swing(reading):
    low = replace(reading, amplitude_deg=Measured(225.0, 3.0))
    assert "a healthy one reaches 270°" in meaning(of_escapement(low, LEVER))[0]
    assert meaning(low) == meaning(of_escapement(low, LEVER))
    assert "healthy swing for a pin lever" in meaning(of_escapement(low, PIN_LEVER))[0]
    lower = replace(reading, amplitude_deg=Measured(190.0, 3.0))
    assert "too little" in meaning(lower)[0]
    assert "a healthy pin lever reaches 220°" in meaning(of_escapement(lower, PIN_LEVER))[0]
