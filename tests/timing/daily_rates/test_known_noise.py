"""Criteria made of sizes, freed of the comparisons' noise: a Monte Carlo written apart.

Truth is computed here from the standard's definitions (trade-facts 1.2.2, 1.2.3 and 1.2.5) with
numpy alone; programmes are made by adding noise to comparisons, as a hand is misread.
"""

from functools import cache

import numpy as np
import pytest

from sideshake.core.quantities import Measured
from sideshake.timing.daily_rates.criteria import ClockComparison, CriterionVerdict, Run, criteria
from sideshake.timing.daily_rates.known_noise import freed_of_noise
from sideshake.timing.daily_rates.rules import MovementSize

CONSTRUCTED = np.array([2.0, 3.0, 4.5, 4.0, 1.0, -0.5, 5.0, 5.5, 4.0, 4.6])
"""Trade-facts 1.4 B: mean variation 0.82, greatest 1.5, greatest difference 3.81."""
CHANGES = np.kron(np.eye(5), np.array([-1.0, 1.0]))
AWAY = np.eye(10) - 0.1
OF_SIZES = {
    "mean-variation": (CHANGES, lambda parts: np.mean(np.abs(parts), axis=0)),
    "greatest-variation": (CHANGES, lambda parts: np.max(np.abs(parts), axis=0)),
    "greatest-difference": (AWAY, lambda parts: np.max(np.abs(parts), axis=0)),
}
PROGRAMMES = 160


def misread(truth, u, random, count):
    """Return daily rates as read, shape (10, count): eleven comparisons, each off by its own."""
    off = random.normal(0.0, u, (11, count))
    return truth[:, None] + np.diff(off, axis=0)


@cache
def programmes(key, stretch, u):
    """Return truth, what was read, and what is told, over many programmes of one watch."""
    random = np.random.default_rng(31590 + int(10 * stretch))
    figures, size = OF_SIZES[key]
    truth = stretch * CONSTRUCTED
    noise = figures @ misread(np.zeros(10), u, random, 4000)
    read = figures @ misread(truth, u, random, PROGRAMMES)
    told = [freed_of_noise(each, noise, figures @ figures.T, size) for each in read.T]
    return float(size(figures @ truth)), size(read), told


@pytest.mark.parametrize(
    ("key", "stretch", "most_off"),
    [
        ("mean-variation", 1.0, 0.15),
        ("greatest-variation", 1.0, 0.30),
        ("greatest-difference", 1.0, 0.30),
        ("mean-variation", 3.0, 0.35),
        ("greatest-variation", 3.0, 0.60),
    ],
)
def test_what_is_told_has_next_to_no_bias_when_comparisons_are_off_by_0_8_s(key, stretch, most_off):
    truth, read, told = programmes(key, stretch, 0.8)
    values = np.array([each.value for each in told])
    print(  # noqa: T201 (read with -s)
        f"{key}: truth {truth:.2f}, read {read.mean():.2f}, told {values.mean():.2f}"
    )
    scatter = values.std() / np.sqrt(PROGRAMMES)
    assert abs(values.mean() - truth) <= most_off + 2 * scatter
    assert abs(values.mean() - truth) < max(0.4 * abs(read.mean() - truth), most_off)


def test_as_read_the_mean_variation_would_be_twice_the_truth():
    truth, read, _ = programmes("mean-variation", 1.0, 0.8)
    assert truth == pytest.approx(0.82)
    assert read.mean() == pytest.approx(1.72, abs=0.1)


@pytest.mark.parametrize("key", OF_SIZES)
@pytest.mark.parametrize("stretch", [1.0, 3.0])
def test_the_interval_holds_the_truth_95_times_in_100(key, stretch):
    truth, _, told = programmes(key, stretch, 0.8)
    held = np.mean([each.low <= truth <= each.high for each in told])
    assert held >= 0.95 - 2.5 * np.sqrt(0.95 * 0.05 / PROGRAMMES)
    assert all(each.low <= each.value <= each.high for each in told)


@pytest.mark.parametrize("key", OF_SIZES)
def test_a_watch_that_never_varies_is_not_said_to_vary(key):
    _, _, told = programmes(key, 0.0, 0.8)
    assert np.mean([each.low == 0.0 for each in told]) >= 0.94


def test_a_watch_that_surely_varies_has_a_lower_end_above_nought():
    _, _, told = programmes("greatest-difference", 3.0, 0.8)
    assert min(each.low for each in told) > 5.0


def days(rates, u):
    """Return the days run, each comparison uncertain to u."""
    states = np.concatenate([[0.0], np.cumsum(rates)])
    kept = [
        ClockComparison(at_s=86400.0 * day, state_s=Measured(s, u)) for day, s in enumerate(states)
    ]
    return [Run(day=day, begun=kept[day - 1], ended=kept[day]) for day in range(1, 11)]


def test_the_criteria_tell_the_same_as_the_noise_taken_off_here():
    rates = misread(CONSTRUCTED, 0.8, np.random.default_rng(8), 1)[:, 0]
    stood = {each.rule.key: each for each in criteria(days(rates, 0.8), MovementSize.LARGE)}
    noise = misread(np.zeros(10), 0.8, np.random.default_rng(9), 40_000)
    for key, (figures, size) in OF_SIZES.items():
        read, alone = (np.mean(np.abs(figures @ each)) for each in (rates, noise))
        kept = np.sqrt(max(0.0, 1 - (alone / read) ** 2))
        assert stood[key].value.value == pytest.approx(kept * size(figures @ rates), abs=0.05)
        low, high = stood[key].interval
        assert low <= stood[key].value.value <= high


def test_the_greatest_never_falls_below_the_mean():
    random = np.random.default_rng(4)
    for _ in range(6):
        rates = misread(CONSTRUCTED, 0.8, random, 1)[:, 0]
        stood = {each.rule.key: each for each in criteria(days(rates, 0.8), MovementSize.LARGE)}
        assert stood["greatest-variation"].value.value >= stood["mean-variation"].value.value


def test_exact_comparisons_change_nothing_and_need_no_interval():
    stood = {each.rule.key: each for each in criteria(days(CONSTRUCTED, 0.0), MovementSize.LARGE)}
    assert stood["mean-variation"].value.value == pytest.approx(0.82)
    assert stood["mean-variation"].value.u == 0.0
    assert {each.interval for each in stood.values()} == {None}


def test_a_criterion_with_a_sign_is_left_as_it_was_read():
    stood = {each.rule.key: each for each in criteria(days(CONSTRUCTED, 0.8), MovementSize.LARGE)}
    assert stood["mean"].value.value == pytest.approx(3.31)
    assert stood["hanging-lying"].value.value == pytest.approx(-1.8)
    assert stood["mean"].interval is None


def test_noise_alone_no_longer_breaks_a_limit():
    # 2.4 was read where noise of 0.8 s alone reads 1.56: the watch may well keep the limit of 2
    rates = np.array([0.0, 2.4] * 5)
    found = {each.rule.key: each for each in criteria(days(rates, 0.8), MovementSize.LARGE)}
    assert found["mean-variation"].verdict is CriterionVerdict.NEAR
    exact = {each.rule.key: each for each in criteria(days(rates, 0.0), MovementSize.LARGE)}
    assert exact["mean-variation"].verdict is CriterionVerdict.NOT_KEPT
