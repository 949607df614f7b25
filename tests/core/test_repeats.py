"""Several readings of one size, against the GUM's own figures and against scipy."""

import math

import pytest
from scipy.stats import norm, t

from sideshake.core.errors import InputError
from sideshake.core.repeats import Repeats, pooled, student

# GUM (JCGM 100:2008) 4.4.3, table 1: twenty readings of a temperature, grouped by degrees there;
# mean 100.145 °C, s 1.489, s of the mean 0.333
TEMPERATURES = (
    96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68,
    100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
)  # fmt: skip


def test_the_example_of_the_gum():
    found = Repeats(readings=TEMPERATURES, resolution=0.0)
    assert found.mean == pytest.approx(100.145, abs=5e-4)
    # 19 degrees of freedom widen the normal interval by t/2 = 2.14/2 (GUM table G.2: 2.14)
    assert found.repeatability_u == pytest.approx(0.333 * 2.14 / 2, abs=1e-3)


@pytest.mark.parametrize("freedom", [*range(1, 41), 100, 1000])
def test_students_t_holds_as_much_as_two_standard_deviations(freedom):
    assert student(freedom) == pytest.approx(t.ppf(norm.cdf(2.0), freedom), rel=2e-3)


def test_one_reading_has_only_its_step():
    assert Repeats(readings=(0.92,), resolution=0.01).u == pytest.approx(0.005 / math.sqrt(3))


def test_causes_add_in_squares():
    found = Repeats(readings=(1.0, 1.2), resolution=0.1, instrument_u=0.3)
    # s = 0.1414, of the mean 0.1; t(1) 13.97, half 6.985
    assert found.repeatability_u == pytest.approx(0.6985)
    assert found.u == pytest.approx(math.sqrt(0.6985**2 + (0.05**2) / 3 + 0.3**2))


@pytest.mark.parametrize("asked", [{"readings": ()}, {"resolution": -0.1}, {"instrument_u": -0.1}])
def test_the_impossible_is_refused(asked):
    with pytest.raises(InputError):
        Repeats(**{"readings": (1.0,), "resolution": 0.1, "instrument_u": 0.0} | asked)


def test_scatter_is_pooled_over_sizes_by_their_freedom():
    # GUM H.3.6: s_p^2 = sum of nu s^2 over sum of nu
    found = pooled([(0.921, 0.923), (0.500, 0.503, 0.506), (0.3,)])
    assert found.freedom == 3
    assert found.deviation == pytest.approx(math.sqrt((2e-6 + 2 * 9e-6) / 3))
    assert found.u == pytest.approx(3.31 / 2 * found.deviation)
    assert pooled([(0.3,), ()]) is None
