"""Source: 1 ppm is 0.0864 s a day (86400 s times 1e-6); the rest is worked by hand."""

import math

import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.sound.clock import SampleClock, clock_from_reference, unchecked_clock


def reference(beat_s, *, true_s=1.0, within_ppm=0.0, u=0.0):
    return clock_from_reference(
        Measured(beat_s, u), true_s, reference_within_ppm=within_ppm, name="card", date="2020-01-01"
    )


def test_a_clock_that_counts_too_much_is_fast():
    """A true second counted as 1.000030 s: the recorder's clock is 30 ppm fast."""
    assert reference(1.00003).fast_ppm.value == pytest.approx(30.0)


def test_a_slow_clock_is_negative():
    assert reference(0.49999, true_s=0.5).fast_ppm.value == pytest.approx(-20.0)


def test_what_the_clock_counts_comes_back_as_true_seconds():
    clock = SampleClock(fast_ppm=Measured(30.0), checked=True)
    assert clock.true_s(1.00003) == pytest.approx(1.0, abs=1e-15)
    assert clock.true_s(100 * 1.00003) == pytest.approx(100.0, abs=1e-12)


def test_an_unchecked_clock_is_uniform_within_50_ppm():
    """GUM 4.3.7: a uniform bound a has the standard uncertainty a / sqrt(3)."""
    clock = unchecked_clock()
    assert (clock.fast_ppm.value, clock.checked) == (0.0, False)
    assert clock.fast_ppm.u == pytest.approx(50 / math.sqrt(3))


def test_the_reference_s_own_bound_adds_in_squares():
    """3 ppm from the beats, a bound of 4 sqrt(3) ppm from the reference: 5 ppm."""
    clock = reference(1.0, u=3e-6, within_ppm=4 * math.sqrt(3))
    assert clock.fast_ppm.u == pytest.approx(5.0)
    assert (clock.checked, clock.name, clock.date) == (True, "card", "2020-01-01")


@pytest.mark.parametrize("beat_s", [1.002, 0.998, 2.0])
def test_a_beat_that_is_not_the_reference_s_is_refused(beat_s):
    with pytest.raises(InputError, match="ppm"):
        reference(beat_s)


@pytest.mark.parametrize(("true_s", "within_ppm"), [(0.0, 0.0), (-1.0, 0.0), (1.0, -1.0)])
def test_an_impossible_reference_is_refused(true_s, within_ppm):
    with pytest.raises(InputError):
        reference(1.0, true_s=true_s, within_ppm=within_ppm)
