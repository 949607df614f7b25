"""What else a heard period may be, held against beats counted one by one."""

from fractions import Fraction

import numpy as np
import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.overtones import HeardAs, overtones, overtones_of
from sideshake.movement.sheet_file import shipped_names, shipped_sheet
from sideshake.movement.train import Period, periods_of, suspects


def period(beats, seconds):
    return Period(what="a part", seconds=Fraction(seconds), beats=Fraction(beats), fault="ripple")


def heard_in(name, seconds, u):
    return overtones(periods_of(shipped_sheet(name)), Measured(seconds, u))


def test_half_a_minute_is_the_seconds_wheel_showing_twice_a_turn():
    every = periods_of(shipped_sheet("tarnbrook-31"))
    assert suspects(every, Measured(30.0, 0.1)) == ()
    assert {(each.period.what, each.heard_as) for each in heard_in("tarnbrook-31", 30.0, 0.1)} == {
        ("fourth, one turn with the seconds hand", HeardAs.SECOND),
        ("chronograph seconds wheel, one turn; it drives the minute counter", HeardAs.SECOND),
    }


def test_a_third_of_a_turn_is_the_third_harmonic():
    # the escape wheel turns in 6 s: 2 s is a third of it
    found = list(heard_in("tarnbrook-31", 2.0, 0.01))
    assert ("escape, one turn", HeardAs.THIRD) in [(e.period.what, e.heard_as) for e in found]


def test_what_lies_between_two_beats_is_heard_slower():
    # by hand: a tooth of the chronograph wheel every 0.3 s, a beat every 0.2 s: the beats find it
    # 0, 2/3, 1/3 of a tooth further, so the pattern comes back every third beat, 0.6 s
    found = [e for e in heard_in("tarnbrook-31", 0.6, 0.005) if e.heard_as is HeardAs.BETWEEN]
    assert [each.period.what for each in found] == ["chronograph seconds wheel, one tooth"]


def test_what_stands_still_at_every_beat_is_not_heard():
    assert [each.heard_as for each in overtones_of(period(1, "1/5"))] == []


def test_nothing_is_offered_where_nothing_fits():
    assert heard_in("tarnbrook-31", 37.0, 0.1) == ()


@pytest.mark.parametrize("name", shipped_names())
def test_every_overtone_is_seen_in_lateness_sampled_at_the_beats(name):
    """Physics from scratch: sample n waves a turn at each beat; their spectrum peaks there."""
    beats = np.arange(7200)
    for each in periods_of(shipped_sheet(name)):
        for harmonic in (1, 2, 3):
            wave = np.cos(2 * np.pi * harmonic * beats / float(each.beats) + 0.3)
            swinging = wave - wave.mean()
            if np.ptp(swinging) < 1e-6 or each.beats > 1000:
                continue
            spectrum = np.abs(np.fft.rfft(swinging * np.hanning(beats.size)))
            peak = np.argmax(spectrum) / beats.size  # turns a beat
            told = {float(each.beats)} | {
                float(other.heard_s * each.beats / each.seconds) for other in overtones_of(each)
            }
            assert any(abs(1 / one - peak) < 1.5 / beats.size for one in told)


@pytest.mark.parametrize("heard", [Measured(0.0, 0.1), Measured(30.0)])
def test_a_period_without_doubt_is_refused(heard):
    with pytest.raises(InputError, match="carries its uncertainty"):
        overtones([], heard)
