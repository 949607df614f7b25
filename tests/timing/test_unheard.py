"""Without an amplitude that can be heard, the rate stays and no degree is said."""

import pytest

from sideshake.quantities import Measured
from sideshake.sound.listener import Listener
from sideshake.sound.simulate import Watch, simulate
from sideshake.timing.reading import read
from sideshake.timing.sentence import sentence
from sideshake.timing.unheard import without_amplitude


@pytest.fixture(scope="module")
def reading():
    listener = Listener(48000)
    watch = Watch(beats_per_hour=18000, rate_s_per_day=12)
    listener.feed(simulate(watch, duration_s=20, seed=4).samples)
    return read(listener.hear(), lift_angle_deg=Measured(52))


def test_the_amplitude_goes_and_the_rate_stays(reading):
    silent = without_amplitude(reading, "not for a cylinder escapement: why")
    assert reading.amplitude_deg is not None
    assert "°" in sentence(reading)
    assert silent.amplitude_deg is None
    assert silent.amplitudes_deg.size == 0
    assert "°" not in sentence(silent)
    assert silent.rate_s_per_day == reading.rate_s_per_day
    assert silent.beat_error_ms == reading.beat_error_ms
    assert silent.no_amplitude.startswith("not for a cylinder")


def test_without_a_reason_nothing_changes(reading):
    assert without_amplitude(reading, "") is reading
