"""A recorder's clock by a tick: planted truth; the law of a line's uncertainty; 1 ppm by hand."""

import math

import numpy as np
import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.sample_clock.checked import (
    ClockFound,
    How,
    clock_from_tick,
    difference_ppm,
    require_worth_keeping,
    uncorrected_ppm,
)
from sideshake.sound.clock import SampleClock
from sideshake.sound.listener import Listener
from tests.sound.stepping import stepping, with_losses

RATE_HZ = 16000


def found_in(samples, *, within_ppm=0.0, per_hour=3600.0):
    listener = Listener(RATE_HZ, beats_per_hour=per_hour)
    listener.feed(samples)
    return clock_from_tick(
        listener.hear(), beats_per_hour=per_hour, within_ppm=within_ppm, name="m", date="2026-01-02"
    )


def heard(seconds=75.0, **how):
    return stepping(seconds=seconds, rate_hz=RATE_HZ, **how)


@pytest.mark.parametrize("planted_ppm", [30.0, -45.0])
def test_a_planted_clock_is_found(planted_ppm):
    found = found_in(heard(clock_ppm=planted_ppm))
    assert abs(found.clock.fast_ppm.value - planted_ppm) < found.clock.fast_ppm.expanded + 0.3
    assert found.clock.fast_ppm.u < 1.0
    assert (found.clock.how, found.clock.date, found.heard_s) == (How.TICK, "2026-01-02", 75.0)


def test_a_sample_at_the_ends_is_always_doubted():
    """One of 16 000 a second in 75 s: 0.83 ppm, though the beats lie within microseconds."""
    assert found_in(heard()).clock.fast_ppm.u == pytest.approx(1e6 / 16000 / 75, rel=0.05)


def test_lost_sound_does_not_bend_the_clock():
    """Four pieces of 20 to 80 ms lost: 2000 ppm over the whole, were it one line."""
    lost = ((20.5, 0.06), (25.7, 0.02), (61.2, 0.08), (66.6, 0.01))
    found = found_in(with_losses(heard(clock_ppm=30.0), lost, RATE_HZ))
    assert abs(found.clock.fast_ppm.value - 30.0) < found.clock.fast_ppm.expanded + 1.0
    assert found.heard_s < 40


@pytest.mark.parametrize("seconds", [100.0, 150.0, 200.0])
def test_a_watch_that_corrects_itself_once_a_minute_stays_within_the_interval(seconds):
    samples = heard(seconds, clock_ppm=30.0, corrects_ppm=90.0)
    found = found_in(samples, within_ppm=10.0)
    assert abs(found.clock.fast_ppm.value - 30.0) < found.clock.fast_ppm.expanded


def test_within_a_minute_nothing_is_known_of_such_a_watch():
    """Bound of 100 ppm, taken as uniform, beside the reference's own 10: GUM 4.3.7."""
    found = found_in(heard(40.0), within_ppm=10.0)
    assert found.clock.fast_ppm.u == pytest.approx(math.hypot(100, 10) / math.sqrt(3), abs=0.1)
    with pytest.raises(NotEnough, match="listen longer"):
        require_worth_keeping(found.clock)


@pytest.mark.parametrize("heard_s", [65, 90, 119, 120, 150, 180, 299, 300, 301, 600])
def test_what_the_corrections_do_to_a_line_stays_below_the_bound(heard_s):
    """A straight line (numpy's) through the steps, whenever in the minute it begins."""
    seconds = np.arange(float(heard_s))
    slopes = [np.polyfit(seconds, (seconds + since) % 60, 1)[0] for since in range(60)]
    assert 100 * np.abs(slopes).max() <= 1.07 * uncorrected_ppm(heard_s)  # 1 s is heard too few


@pytest.mark.parametrize("within_ppm", [-1.0, 51.0, math.nan, math.inf])
def test_a_reference_known_no_better_than_the_recorder_is_refused(within_ppm):
    with pytest.raises(InputError, match="0 to 50 is allowed"):
        found_in(heard(20.0), within_ppm=within_ppm)


def found(*, u, heard_s=100.0, within_ppm=0.0):
    whole_u = math.hypot(u, within_ppm / math.sqrt(3))
    clock = SampleClock(fast_ppm=Measured(3.0, whole_u), checked=True)
    return ClockFound(clock=clock, heard_s=heard_s, within_ppm=within_ppm)


def test_the_share_that_time_shrinks_is_told_from_the_reference_s():
    assert found(u=3.0, within_ppm=10.0).alone_u_ppm == pytest.approx(3.0)


def test_how_much_longer_follows_the_law_of_a_line():
    """8 times surer takes 4 times as long: 8^(2/3)."""
    assert found(u=4.0).more_s == pytest.approx(300.0)


def test_no_more_than_half_the_reference_s_doubt_is_asked_for():
    assert found(u=0.49 * 10 / math.sqrt(3), within_ppm=10.0).more_s == 0
    assert found(u=0.51 * 10 / math.sqrt(3), within_ppm=10.0).more_s > 0


def test_a_minute_is_heard_however_sure_it_seems():
    assert found(u=0.01, heard_s=20.0).more_s == pytest.approx(40.0)


@pytest.mark.parametrize(("u", "kept"), [(24.9, True), (25.1, False)])
def test_what_is_no_surer_than_no_check_is_not_kept(u, kept):
    """The interval is twice the standard uncertainty (GUM 6.3), the bound 50 ppm."""
    clock = SampleClock(fast_ppm=Measured(0.0, u), checked=True)
    if kept:
        require_worth_keeping(clock)
        return
    with pytest.raises(NotEnough, match="± 50"):
        require_worth_keeping(clock)


def test_the_difference_of_two_checks_carries_both_doubts():
    """3 and 4 in squares are 5 (GUM eq. 10)."""
    one = SampleClock(fast_ppm=Measured(30.0, 3.0), checked=True)
    other = SampleClock(fast_ppm=Measured(-10.0, 4.0), checked=True)
    assert difference_ppm(one, other) == Measured(40.0, 5.0)
