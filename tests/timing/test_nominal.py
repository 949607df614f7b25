"""Where the beats per hour are from: told, a clear match, or nowhere.

Sources: trade-facts 3.5.4 (numbers that exist, from memory), 3.5.15 (60 s a day is still accepted
of an old watch), 3.2.10 (rate from the period).
"""

import itertools
import math

import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.timing.nominal import (
    KNOWN_PER_HOUR,
    LIKELY_S_PER_DAY,
    BeatSource,
    Nominal,
    away_s_per_day,
    nearest,
    nominal,
    per_hour,
    per_hour_of,
)


def off(known, s_per_day):
    return known * (1 + s_per_day / 86400)


@pytest.mark.parametrize("known", KNOWN_PER_HOUR)
@pytest.mark.parametrize("rate_s", [-115, -30, 0, 30, 115])
def test_a_number_that_exists_is_a_clear_match_within_two_minutes_a_day(known, rate_s):
    found = nominal(Measured(off(known, rate_s), known * 1e-6), None)
    assert found == Nominal(per_hour=known, source=BeatSource.NEAREST)


@pytest.mark.parametrize("known", KNOWN_PER_HOUR)
@pytest.mark.parametrize("rate_s", [-600, -300, -125, 125, 300, 600])
def test_farther_off_nothing_is_taken(known, rate_s):
    assert nominal(Measured(off(known, rate_s), known * 1e-6), None) is None


def test_a_kitchen_timer_is_not_taken_for_a_watch_that_gains():
    """16 269 an hour stands 368 s a day above 16 200."""
    assert nominal(Measured(16269.0, 0.5), None) is None
    assert away_s_per_day(16269.0, 16200.0) == pytest.approx(368.0)


@pytest.mark.parametrize(("u", "clear"), [(1.0, True), (9.0, True), (14.0, False), (60.0, False)])
def test_the_whole_interval_must_lie_near(u, clear):
    """By hand: 120 s a day of 18000 an hour are 18000 * 120 / 86400 = 25 beats an hour; twice 9 is
    within them, twice 14 is not."""
    found = nominal(Measured(18000.0, u), None)
    assert (found is not None) == clear


def test_no_other_number_is_plausible_where_one_is_taken():
    """The nearest two, 21306 and 21600, are 1176 s a day apart, nearly ten times the allowed."""
    apart = [away_s_per_day(high, low) for low, high in itertools.pairwise(sorted(KNOWN_PER_HOUR))]
    assert min(apart) == pytest.approx(1192, abs=1)
    assert abs(away_s_per_day(21306, 21600)) == pytest.approx(1176, abs=1)
    assert min(apart) > 9 * LIKELY_S_PER_DAY


@pytest.mark.parametrize("source", [BeatSource.TOLD, BeatSource.CALIBRE])
def test_what_is_told_is_taken_with_who_told_it(source):
    told = Nominal(per_hour=16200.0, source=source)
    assert nominal(Measured(16269.0, 0.5), told) is told


def test_a_bare_number_is_told_by_a_person():
    assert nominal(Measured(17000.0), 17000.0) == Nominal(per_hour=17000.0, source=BeatSource.TOLD)


def test_quite_another_beat_than_told_is_refused_with_both():
    with pytest.raises(InputError, match=r"^21600 beats per hour were given, but 18000 are heard$"):
        nominal(Measured(18000.0, 1.0), 21600.0)
    assert nominal(Measured(18000.0, 1.0), 18800.0).per_hour == 18800.0  # 4.4 %


@pytest.mark.parametrize("told", [0.0, -1.0, math.nan])
def test_beats_that_cannot_be_are_refused(told):
    with pytest.raises(InputError, match="above 0"):
        Nominal(per_hour=told)


def test_the_nearest_number_is_only_named_within_a_quarter_of_an_hour_a_day():
    assert nearest(off(18000, 890)) == 18000
    assert nearest(off(18000, 910)) is None
    assert nearest(12012.6) is None


def test_beats_per_hour_carry_the_beat_s_uncertainty():
    """3600 / 0.2 s; 1 part in a thousand stays 1 part in a thousand."""
    found = per_hour(Measured(0.2, 0.0002))
    assert found.value == pytest.approx(18000)
    assert found.u == pytest.approx(18)


def test_the_ear_is_told_the_number_alone():
    assert per_hour_of(Nominal(per_hour=18000.0, source=BeatSource.CALIBRE)) == 18000.0
    assert per_hour_of(18000.0) == 18000.0
    assert per_hour_of(None) is None
