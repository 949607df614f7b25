from dataclasses import replace

import numpy as np
import pytest
from heard_watches import heard

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.simulate import SimulatedWatch
from sideshake.timing.amplitude_course import amplitude_course


@pytest.fixture(scope="module")
def reading():
    return heard(SimulatedWatch(), 3)[1]


def along(reading, degrees):
    at_s = 5.0 + 10.0 * np.arange(degrees.size)
    return replace(
        reading, amplitudes_deg=degrees, amplitudes_at_s=at_s, amplitude_deg=Measured(260.0, 4.5)
    )


def test_the_band_holds_a_value_as_often_as_it_says(reading):
    """A slow course with scatter of 1.5 degrees: 95 of 100 bands hold the true value, +- 3."""
    random = np.random.default_rng(5)
    held = []
    for _each in range(400):
        n = int(random.integers(6, 40))
        true = 260 + 4 * np.sin(np.arange(n) / 15)
        course = amplitude_course(along(reading, true + random.normal(0, 1.5, n)))
        held.append(np.mean(np.abs(course.deg - true) <= course.half_deg))
    assert np.mean(held) == pytest.approx(0.95, abs=0.03)


def test_a_slow_fall_does_not_widen_the_band(reading):
    random = np.random.default_rng(6)
    scatter = random.normal(0, 1.0, 200)
    level = amplitude_course(along(reading, 260 + scatter))
    falling = amplitude_course(along(reading, 260 - 0.2 * np.arange(200) + scatter))
    assert falling.half_deg == pytest.approx(level.half_deg, rel=0.05)


def test_what_all_values_share_is_told_apart(reading):
    assert amplitude_course(along(reading, np.full(6, 260.0))).common_deg == pytest.approx(9.0)


@pytest.mark.parametrize("count", [0, 1, 3])
def test_too_few_values_are_no_course(reading, count):
    with pytest.raises(NotEnough, match="four stretches"):
        amplitude_course(along(reading, np.full(count, 260.0)))


def test_no_amplitude_is_no_course(reading):
    with pytest.raises(NotEnough):
        amplitude_course(replace(along(reading, np.full(9, 260.0)), amplitude_deg=None))
