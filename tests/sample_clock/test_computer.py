"""The computer's clock. Meaning of the fields: adjtimex(2) of Linux; the slope's bound by hand."""

import sys

import numpy as np
import pytest

from sideshake.core.errors import InputError
from sideshake.sample_clock.computer import (
    LEAST_ERROR_S,
    UNTOLD_ERROR_S,
    Kernel,
    SystemClock,
    Timex,
    as_told,
    ask_kernel,
    system_clock,
)

KEPT = Kernel(synchronised=True, error_s=0.002, still_to_slew_s=0.0005, corrected_ppm=-12.34)


def test_a_kept_clock_is_as_right_as_the_kernel_says_and_what_is_still_to_slew():
    clock = system_clock(lambda: KEPT)
    assert (clock.kept, clock.error_s) == (True, pytest.approx(0.0025))
    assert clock.words() == (
        "A time server keeps this computer's clock: it is right to 2 ms, its crystal is corrected "
        "by −12.3 ppm."
    )


@pytest.mark.parametrize(("told_s", "taken_s"), [(1e-6, LEAST_ERROR_S), (0.0, UNTOLD_ERROR_S)])
def test_an_error_too_good_to_be_true_is_not_taken(told_s, taken_s):
    told = Kernel(synchronised=True, error_s=told_s, still_to_slew_s=0.0, corrected_ppm=0.0)
    assert system_clock(lambda: told).error_s == taken_s


def test_a_clock_that_nothing_keeps_is_as_wrong_as_any():
    loose = Kernel(synchronised=False, error_s=16.0, still_to_slew_s=0.0, corrected_ppm=0.0)
    clock = system_clock(lambda: loose)
    assert clock.kept is False
    assert clock.within_ppm(1e6) == 50.0
    assert clock.words().startswith("No time server keeps this computer's clock: it may be 50 ppm")


def test_where_nothing_is_known_that_is_said():
    clock = system_clock(lambda: None)
    assert clock.kept is None
    assert clock.within_ppm(1e6) == 50.0
    assert clock.words().startswith("It is not known whether a time server keeps")


@pytest.mark.parametrize(("over_s", "ppm"), [(10.0, 50.0), (300.0, 10.0), (3000.0, 1.0)])
def test_the_longer_the_stretch_the_better_its_rate_is_known(over_s, ppm):
    """3 ms over 300 s are 10 ppm; in 10 s it is no better than unknown."""
    assert SystemClock(kept=True, error_s=1e-3).within_ppm(over_s) == pytest.approx(ppm)


def test_the_bound_is_the_steepest_line_through_times_so_far_off():
    """Half early, half late, by numpy's least squares; no random errors make a steeper one."""
    at_s = np.linspace(0, 600, 4001)
    worst = np.where(at_s > 300, 1e-3, -1e-3)
    bound = SystemClock(kept=True, error_s=1e-3).within_ppm(600)
    assert 1e6 * np.polyfit(at_s, worst, 1)[0] == pytest.approx(bound, rel=1e-3)
    random = np.random.default_rng(3)
    for _ in range(50):
        knots = random.uniform(-1e-3, 1e-3, random.integers(2, 9))
        course = np.interp(at_s, np.linspace(0, 600, knots.size), knots)
        assert abs(1e6 * np.polyfit(at_s, course, 1)[0]) <= bound


def test_a_stretch_of_nothing_is_refused():
    with pytest.raises(InputError, match="above 0 s"):
        SystemClock(kept=True, error_s=1e-3).within_ppm(0.0)


@pytest.mark.parametrize(
    ("status", "state", "synchronised"),
    [(0x0001, 0, True), (0x0041, 5, False), (0x0040, 0, False), (0x0001, 5, False)],
)
def test_the_kernel_s_flags_say_whether_it_is_synchronised(status, state, synchronised):
    """STA_PLL 0x0001, STA_UNSYNC 0x0040; TIME_OK 0, TIME_ERROR 5."""
    assert as_told(Timex(status=status), state).synchronised == synchronised


def test_the_kernel_s_units_are_microseconds_nanoseconds_and_scaled_ppm():
    """`freq` is in 2^-16 ppm; `offset` in ns with STA_NANO 0x2000, else us; `esterror` in us."""
    told = as_told(Timex(status=0x2001, offset=-1500, esterror=250, freq=-65536 * 20), 0)
    assert told.still_to_slew_s == pytest.approx(1.5e-6)
    assert told.error_s == pytest.approx(250e-6)
    assert told.corrected_ppm == -20.0
    assert as_told(Timex(status=1, offset=1500), 0).still_to_slew_s == pytest.approx(1.5e-3)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux has adjtimex")
def test_this_computer_s_kernel_answers_with_what_can_be():
    told = ask_kernel()
    if told is not None:  # a sandbox may forbid the question
        assert abs(told.corrected_ppm) <= 500.0  # the kernel's own limit, MAXFREQ
        assert told.error_s >= 0
    assert system_clock().within_ppm(60.0) > 0
