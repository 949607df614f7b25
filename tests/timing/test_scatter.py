"""Sources: the white case is least squares' own formula (trade-facts 3.2.12); the correlated one
is planted (first-order autoregression) and judged by how often the interval holds the truth."""

import numpy as np
import pytest
from scipy.signal import lfilter

from sideshake.sound.line import fit_line
from sideshake.timing.scatter import autocovariance, autoregression, slope_uncertainty


def planted(phi, count, seed):
    """Return rests with the autocorrelation `phi`, innovation variance 1."""
    noise = np.random.default_rng(seed).normal(size=count + 300)
    return lfilter([1.0], [1.0, -phi], noise)[300:]


def fitted(rest, index):
    side = (index % 2).astype(np.int8)
    line = fit_line(index.astype(float), side, rest)
    return line.beat, slope_uncertainty(index, rest - line.at(index.astype(float), side))


def trials(phi, count, *, runs=200, missing=0.0):
    found = []
    for seed in range(runs):
        keep = np.random.default_rng(10_000 + seed).random(count) >= missing
        index = np.flatnonzero(keep).astype(np.int64)
        found.append(fitted(planted(phi, count, seed)[keep], index))
    slope, u = np.array(found).T
    return slope, u


def test_white_scatter_gives_the_textbook_uncertainty():
    """0.1 ms over 150 beats: sigma sqrt(12/N)/N a beat; here sigma is 1."""
    index = np.arange(2000)
    rest = planted(0.0, 2000, 1)
    assert fitted(rest, index)[1] == pytest.approx(np.sqrt(12 / 2000) / 2000, rel=0.06)


@pytest.mark.parametrize("phi", [0.0, 0.5, 0.8, -0.5])
def test_the_95_percent_interval_holds_the_truth(phi):
    """200 runs: a share of 95 % scatters by 1.5 %, so 90 to 99.5 % is asked."""
    slope, u = trials(phi, 400)
    assert 0.90 <= np.mean(np.abs(slope) <= 2 * u) <= 0.995
    assert np.sqrt(np.mean(u**2)) == pytest.approx(np.std(slope), rel=0.2)


def test_the_white_formula_would_be_far_too_small_for_correlated_scatter():
    """At phi = 0.8 the slope's variance is (1 + 0.8)/(1 - 0.8) = 9 times the white one's."""
    _, u = trials(0.8, 800, runs=40)
    white = np.sqrt(12 / 800) / 800 / np.sqrt(1 - 0.8**2)
    assert np.median(u) / white == pytest.approx(3.0, rel=0.15)


def test_missing_beats_do_not_break_the_interval():
    slope, u = trials(0.6, 400, missing=0.3)
    assert 0.90 <= np.mean(np.abs(slope) <= 2 * u) <= 0.995


def test_scale_carries_through():
    index, rest = np.arange(300), planted(0.5, 300, 3)
    assert slope_uncertainty(index, 1e-6 * rest) == pytest.approx(
        1e-6 * slope_uncertainty(index, rest), rel=1e-9
    )


def test_autocovariance_by_hand():
    """Rests 1, -1, 1, -1 at places 0..3: 1 at lag 0, then -1 tapered by (1 - 1/4)."""
    rest = np.array([1.0, -1.0, 1.0, -1.0])
    assert autocovariance(np.arange(4), rest, 2) == pytest.approx([1.0, -0.75, 0.5])


def test_autocovariance_skips_the_missing():
    """Places 0, 1, 3: the only pair one apart is (0, 1), the only one two apart (1, 3)."""
    found = autocovariance(np.array([0, 1, 3]), np.array([2.0, 3.0, 5.0]), 2)
    assert found == pytest.approx([38 / 3, 6 * 3 / 4, 15 * 2 / 4])


def test_autoregression_finds_the_planted_coefficient():
    """phi = 0.8, innovation variance 1: covariance 0.8^k / (1 - 0.64), exact."""
    covariance = 0.8 ** np.arange(6) / (1 - 0.64)
    coefficients, variance = autoregression(covariance, 1000)
    assert coefficients == pytest.approx([0.8], abs=1e-9)
    assert variance == pytest.approx(1.0 * 1000 / 996)


def test_too_few_beats_for_a_correlation_still_give_a_figure():
    rest = np.array([1.0, -1.0, 0.5, -0.5, 0.2])
    assert slope_uncertainty(np.arange(5), rest) > 0
