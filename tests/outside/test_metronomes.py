"""Two electronic metronomes recorded for a tabletop pulsar-timing demonstration.

Source: the Python package tabletop-pta 0.1.0 (MIT), which publishes their periods; its source
archive, which `make test` fetches, holds the recordings as text.
"""

import io
import tarfile
from pathlib import Path

import numpy as np
import pytest

from sideshake.core.quantities import Measured
from sideshake.sound.clock import SampleClock
from sideshake.sound.listener import Listener
from sideshake.timing.reading import read

ARCHIVE = Path(__file__).parents[2] / ".venv/outside/tabletop_pta-0.1.0.tar.gz"
RATE_HZ = 22050
PERIOD_S = {"m208a": 0.288567978601, "m184b": 0.32609882891}
SAME_CLOCK = SampleClock(fast_ppm=Measured(0.0), checked=True)
"""The published periods were found by the clock of the same sound card."""
WITHIN = 5e-6


@pytest.fixture(scope="module")
def recordings():
    if not ARCHIVE.exists():
        pytest.skip(f"{ARCHIVE.name} is not there: `make test` fetches it")
    with tarfile.open(ARCHIVE) as archive:
        texts = {
            name: archive.extractfile(f"tabletop_pta-0.1.0/demo_data/{name}.txt").read()
            for name in (*PERIOD_S, "m208a184b")
        }
    return {name: np.loadtxt(io.BytesIO(text))[:, 1] for name, text in texts.items()}


@pytest.fixture
def heard(recordings):
    def hear(name):
        listener = Listener(RATE_HZ)
        listener.feed(recordings[name])
        return listener.hear()

    return hear


@pytest.mark.parametrize("name", PERIOD_S)
def test_one_metronome_has_its_published_period(name, heard):
    reading = read(heard(name), clock=SAME_CLOCK, said_watch=True)
    assert reading.beat_s.value == pytest.approx(PERIOD_S[name], rel=WITHIN)
    assert reading.beats_per_hour is None  # no watch beats so: no rate is made up


@pytest.mark.parametrize("name", PERIOD_S)
def test_one_metronome_alone_is_one(name, heard):
    """Every beat of 8 s is heard, evenly to 10 us (an independent fit finds 5), no second one."""
    sound = heard(name)
    assert sound.other_beats_per_hour is None
    assert sound.beats.missing == 0
    assert sound.beats.count == pytest.approx(8 / PERIOD_S[name], abs=1.5)
    assert read(sound, clock=SAME_CLOCK, said_watch=True).scatter_ms < 0.010


def test_two_at_once_are_noticed_as_two(heard):
    """The one heard is right within its uncertainty, the other is named to the fold's 0.1 %."""
    sound = heard("m208a184b")
    found = read(sound, clock=SAME_CLOCK, said_watch=True).beat_s
    one, other = sorted(PERIOD_S.values(), key=lambda period_s: abs(period_s - found.value))
    assert found.value == pytest.approx(one, abs=3 * found.u)  # by 2.1 u off here
    assert found.u < 100e-6 * one
    assert sound.other_beats_per_hour == pytest.approx(3600 / other, rel=1e-3)
