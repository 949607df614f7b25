"""Source: NIST StRD, data set Norris (calibration of ozone monitors), certified values."""

from pathlib import Path

import numpy as np
import pytest

from sideshake.sound.line import fit_line

NORRIS = Path(__file__).parents[2] / "../shared/data/tables/NIST_STRD/Norris.dat"
START, START_SD = -0.262323073774029, 0.232818234301152
SLOPE, SLOPE_SD = 1.00211681802045, 0.429796848199937e-3
REST_SD = 0.884796396144373

pytestmark = pytest.mark.skipif(
    not NORRIS.exists(), reason="NIST StRD Norris.dat is not in ../shared/data/tables/NIST_STRD"
)


@pytest.fixture(scope="module")
def norris():
    y, x = np.loadtxt(NORRIS, skiprows=60, unpack=True)
    assert x.size == 36
    return x, y


@pytest.fixture(scope="module")
def line(norris):
    x, y = norris
    return fit_line(x, np.zeros(x.size, np.int8), y)


def test_the_robust_line_lies_within_one_certified_deviation(line):
    """95 % efficiency means that robust and least squares differ by 0.23 deviations (root mean
    square) when the scatter is Gaussian; these are observed data with a few far points."""
    assert line.beat == pytest.approx(SLOPE, abs=SLOPE_SD)
    assert line.start[0] == pytest.approx(START, abs=START_SD)


def test_the_final_weights_give_the_same_line_in_weighted_least_squares(line, norris):
    """The rounds have come to rest: one more round moves the line by under 1 % of a deviation."""
    x, y = norris
    slope, start = np.polyfit(x, y, 1, w=np.sqrt(line.weight))
    assert line.beat == pytest.approx(slope, abs=0.01 * SLOPE_SD)
    assert line.start[0] == pytest.approx(start, abs=0.01 * START_SD)


def test_equal_weights_give_the_certified_line(norris):
    """With rests +-1 in blocks that are square to the line all weights are equal; what is left is
    least squares, and it finds the certified line again to 12 digits."""
    x, _ = norris
    x = np.sort(x)
    index = np.concatenate([x, x])
    rest = REST_SD * np.repeat([1.0, -1.0], x.size)
    line = fit_line(index, np.zeros(index.size, np.int8), START + SLOPE * index + rest)
    assert line.beat == pytest.approx(SLOPE, rel=1e-12)
    assert line.start[0] == pytest.approx(START, abs=1e-9)


def test_the_robust_scatter_is_the_certified_one(line):
    """A median of 36 values is open by some 20 %."""
    assert line.sigma == pytest.approx(REST_SD, rel=0.3)
