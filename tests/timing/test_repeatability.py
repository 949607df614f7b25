import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.timing.repeatability import AS_HEARD, Repeatability, laid_again
from tests.timing.rounds import round_of


def test_each_laying_adds_its_share():
    heard = round_of({"CH": (5, 280, 0.3)}, rate_u=0.3, swing_u=1.5)
    (reading,) = laid_again(heard, Repeatability(rate_s_per_day=0.4, amplitude_deg=2.0)).readings
    assert reading.rate_s_per_day == Measured(5.0, 0.5)
    assert reading.amplitude_deg == Measured(280.0, 2.5)
    assert reading.beat_error_ms == heard.readings[0].beat_error_ms
    assert laid_again(heard, AS_HEARD) == heard


def test_what_was_not_heard_stays_so():
    (reading,) = laid_again(round_of({"CH": (None, None)})).readings
    assert (reading.rate_s_per_day, reading.amplitude_deg) == (None, None)


def test_no_uncertainty_is_below_nothing():
    with pytest.raises(InputError, match="0 or more"):
        Repeatability(rate_s_per_day=-1.0)
