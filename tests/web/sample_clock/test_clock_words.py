"""1 ppm is 0.0864 s a day (86400 s times 1e-6); a fast recorder makes a watch seem slow."""

import pytest
from django.utils import timezone

from sideshake.core.quantities import Measured
from sideshake.sample_clock.checked import ClockFound, How
from sideshake.sample_clock.kept import keep_clock
from sideshake.sound.clock import SampleClock, unchecked_clock
from sideshake.web.sample_clock.words import advice, found_sentence, kept_rows, words_of


def clock(ppm=30.0, u=6.0, *, date=None, how=How.TICK):
    date = date or timezone.localdate().isoformat()
    return SampleClock(fast_ppm=Measured(ppm, u), checked=True, name="desk", date=date, how=how)


def test_a_checked_clock_is_said_with_date_and_interval():
    told = words_of(clock(date="2026-11-02"), "desk")
    assert "checked on 2026-11-02 (30 ± 12 ppm fast); it adds 1 s a day" in told


def test_an_old_check_is_to_be_done_again():
    assert "check it again" in words_of(clock(date="2019-01-31"), "desk")
    assert "check it again" not in words_of(clock(), "desk")


def test_an_unchecked_clock_says_what_that_costs():
    """50 ppm uniform: twice 50 / sqrt(3) times 0.0864 is 5.0 s a day."""
    assert "off by 5.0 s a day" in words_of(unchecked_clock(), "desk")


@pytest.mark.parametrize(
    ("ppm", "said"),
    [
        (30.0, "30 ± 12 ppm fast: uncorrected, a watch seems to lose 2.6 ± 1.0 s a day."),
        (-30.0, "30 ± 12 ppm slow: uncorrected, a watch seems to gain 2.6 ± 1.0 s a day."),
    ],
)
def test_which_way_it_is_off_is_said(ppm, said):
    assert found_sentence(ClockFound(clock=clock(ppm), heard_s=300, within_ppm=10)) == said


@pytest.mark.parametrize(
    ("u", "heard_s", "said"),
    [(0.1, 100, "Good enough"), (4.0, 100, "About 5 min more"), (0.1, 30, "About 30 s more")],
)
def test_how_much_longer_is_advised(u, heard_s, said):
    assert advice(ClockFound(clock=clock(u=u), heard_s=heard_s, within_ppm=0)).startswith(said)


def test_the_list_says_how_each_was_checked(db):
    keep_clock(clock(how=How.COUNTS), "this computer")
    rows = kept_rows()
    assert [(row.name, row.fast_ppm, row.way) for row in rows] == [
        ("desk", "+30 ± 12", "a computer's clock"),
        ("this computer", "+30 ± 12", "a computer's clock"),
    ]
