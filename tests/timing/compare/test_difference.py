"""Whether a change is real, and for the better."""

import numpy as np
import pytest
from uncertainties import ufloat

from sideshake.core.correlated import SharedErrors
from sideshake.timing.compare.difference import ComparedFigure, Turn, difference, probability_nearer


def changed(what, was, now, u=1.0):
    return difference(what, ufloat(was, u), ufloat(now, u), place="CH, dial up")


@pytest.mark.parametrize(
    ("what", "was", "now", "turn"),
    [
        (ComparedFigure.AMPLITUDE, 205, 262, Turn.BETTER),
        (ComparedFigure.AMPLITUDE, 262, 205, Turn.WORSE),
        (ComparedFigure.AMPLITUDE, 275, 300, Turn.OTHER),
        (ComparedFigure.AMPLITUDE, 300, 340, Turn.WORSE),
        (ComparedFigure.AMPLITUDE, 340, 300, Turn.BETTER),
        (ComparedFigure.AMPLITUDE, 250, 252, Turn.NONE),
        (ComparedFigure.RATE, -48, 6, Turn.BETTER),
        (ComparedFigure.RATE, 6, -48, Turn.WORSE),
        (ComparedFigure.RATE, -6, 6, Turn.OTHER),
        (ComparedFigure.RATE, 6, 6, Turn.NONE),
        (ComparedFigure.BEAT_ERROR, 9, 3, Turn.BETTER),
        (ComparedFigure.BEAT_ERROR, 3, 9, Turn.WORSE),
    ],
)
def test_better_and_worse_are_told_where_they_can_be(what, was, now, turn):
    assert changed(what, was, now).turn is turn


def test_a_change_is_real_when_its_95_percent_interval_leaves_out_zero():
    assert changed(ComparedFigure.AMPLITUDE, 250.0, 252.86).turn is Turn.BETTER  # printed 2.9 ± 2.8
    assert changed(ComparedFigure.AMPLITUDE, 250.0, 252.82).turn is Turn.NONE  # 2 sqrt 2 = 2.828


def test_the_probability_of_more_is_that_of_the_normal_distribution():
    # 1.96 standard deviations: 97.5 % (any table of the normal distribution)
    at = changed(ComparedFigure.AMPLITUDE, 250.0, 250.0 + 1.959964 * 2**0.5)
    assert at.more == pytest.approx(0.975, abs=1e-6)


def test_what_both_share_drops_out_and_the_sign_stays():
    common = ufloat(0, 30)
    apart = difference(
        ComparedFigure.RATE, ufloat(-40, 1) + common, ufloat(4, 1) + common, place=""
    )
    assert apart.change.u == pytest.approx(2**0.5)
    assert apart.sentence == "It goes 44.0 ± 2.8 s a day faster than before."


@pytest.mark.parametrize(
    ("was", "now", "sentence"),
    [
        (-48, 6, "It goes 54.0 ± 2.8 s a day faster than before, nearer to true (CH, dial up)."),
        (48, 6, "It goes 42.0 ± 2.8 s a day slower than before, nearer to true (CH, dial up)."),
        (6, 48, "It goes 42.0 ± 2.8 s a day faster than before, further from true (CH, dial up)."),
        (-6, 6, "It goes 12.0 ± 2.8 s a day faster than before (CH, dial up)."),
        (
            6,
            7,
            "It goes as fast as before, as far as can be told (+1.0 ± 2.8 s a day, CH, dial up).",
        ),
    ],
)
def test_a_rate_is_said_with_what_it_means(was, now, sentence):
    assert changed(ComparedFigure.RATE, was, now).sentence == sentence


@pytest.mark.parametrize("share", [-0.7, 0.0, 0.4, 0.95])
def test_the_probability_of_being_nearer_agrees_with_drawing_it(share):
    """Outside: numpy draws from the same bivariate normal distribution."""
    random = np.random.default_rng(3)
    pair = random.multivariate_normal([-3, 2], [[4, share * 6], [share * 6, 9]], 400_000)
    drawn = np.mean(np.abs(pair[:, 1]) < np.abs(pair[:, 0]))
    from uncertainties import correlated_values

    was, now = correlated_values([-3, 2], [[4, share * 6], [share * 6, 9]])
    assert probability_nearer(was, now) == pytest.approx(drawn, abs=0.004)  # 4 sd of 400 000 draws


def test_exact_values_are_nearer_or_not():
    assert probability_nearer(SharedErrors().value(3, 0), SharedErrors().value(-2, 0)) == 1.0
    assert probability_nearer(SharedErrors().value(2, 0), SharedErrors().value(-3, 0)) == 0.0


@pytest.mark.parametrize(
    ("change", "u", "turn"), [(4.2, 1.95, Turn.NONE), (4.6, 1.95, Turn.BETTER)]
)
def test_a_change_that_is_printed_as_4_plus_minus_4_is_none(change, u, turn):
    found = changed(ComparedFigure.AMPLITUDE, 250.0, 250.0 + change, u / np.sqrt(2))
    assert not found.change.holds(0.0)
    assert found.turn is turn
    said = "as far as can be told (+4 ± 4°, CH, dial up)" if turn is Turn.NONE else "5 ± 4° further"
    assert said in found.sentence
