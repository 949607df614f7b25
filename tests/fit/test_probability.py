import math
from statistics import NormalDist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.fit.probability import Contribution, fit_probability


def normal(name, middle, u):
    return Contribution(name=name, middle_mm=middle, u_mm=u)


def even(name, middle, half):
    return Contribution(name=name, middle_mm=middle, half_width_mm=half)


def test_one_measurement_is_the_normal_distribution():
    found = fit_probability((normal("pivot", 0.0, 1.0),), low_mm=-1.0, high_mm=1.0)
    exact = NormalDist().cdf(1.0) - NormalDist().cdf(-1.0)
    assert found.inside == pytest.approx(exact, abs=0.004)
    assert found.first_order == pytest.approx(exact)


def test_one_tolerance_is_a_rectangle():
    found = fit_probability((even("hole", 0.0, 1.0),), low_mm=-0.5, high_mm=2.0)
    assert found.inside == pytest.approx(0.75, abs=0.004)


def test_two_equal_tolerances_make_a_triangle():
    # exact: the share of a triangle of half-width 2 within +-1 is 3/4
    found = fit_probability((even("a", 0.0, 1.0), even("b", 0.0, 1.0)), low_mm=-1.0, high_mm=1.0)
    assert found.inside == pytest.approx(0.75, abs=0.004)


def test_four_normal_inputs_as_in_the_supplement_s_example():
    # JCGM 101:2008, 9.2.2: four standard normal inputs, u = 2.0, 95 % within +-3.92
    parts = tuple(normal(str(each), 0.0, 1.0) for each in range(4))
    found = fit_probability(parts, low_mm=-3.92, high_mm=3.92)
    assert found.u_mm == pytest.approx(2.0)
    assert found.inside == pytest.approx(0.95, abs=0.003)


def test_four_rectangular_inputs_as_in_the_supplement_s_example():
    # JCGM 101:2008, 9.2.3: four rectangles of standard uncertainty 1, 95 % within +-3.88
    parts = tuple(even(str(each), 0.0, math.sqrt(3.0)) for each in range(4))
    found = fit_probability(parts, low_mm=-3.88, high_mm=3.88)
    assert found.u_mm == pytest.approx(2.0)
    assert found.inside == pytest.approx(0.95, abs=0.003)


def test_the_widest_part_is_the_one_to_tighten():
    found = fit_probability(
        (even("hole", 0.02, 0.002), normal("pivot", 0.0, 0.006)), low_mm=0.012, high_mm=0.028
    )
    assert found.tighten == "pivot"
    assert found.inside_if_tightened > found.inside


def test_nothing_is_to_tighten_when_all_ends_inside():
    assert fit_probability((even("hole", 0.02, 0.001),), low_mm=0.01, high_mm=0.03).tighten is None


@settings(max_examples=25, deadline=None)
@given(st.floats(-0.01, 0.01), st.floats(0.001, 0.01), st.floats(0.001, 0.01))
def test_shares_make_one_and_first_order_is_near(middle, tolerance, u):
    parts = (even("hole", middle, tolerance), normal("pivot", 0.0, u))
    found = fit_probability(parts, low_mm=-0.008, high_mm=0.008)
    assert found.inside + found.below + found.above == pytest.approx(1.0)
    assert found.first_order == pytest.approx(found.inside, abs=0.05)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: fit_probability((), low_mm=0.0, high_mm=1.0),
        lambda: fit_probability((normal("a", 0.0, 1.0),), low_mm=1.0, high_mm=0.0),
        lambda: Contribution(name="a", middle_mm=0.0, u_mm=1.0, half_width_mm=1.0),
        lambda: Contribution(name="a", middle_mm=0.0, u_mm=-1.0),
    ],
)
def test_impossible_questions_are_refused(wrong):
    with pytest.raises(InputError):
        wrong()


def test_without_any_variation_the_answer_is_plain():
    found = fit_probability((even("hole", 0.02, 0.0),), low_mm=0.01, high_mm=0.03)
    assert (found.inside, found.first_order) == (1.0, 1.0)


def test_halving_the_only_tolerance_brings_all_inside():
    found = fit_probability((even("hole", 0.0, 0.008),), low_mm=-0.004, high_mm=0.004)
    assert found.inside == pytest.approx(0.5, abs=0.004)
    assert (found.tighten, found.inside_if_tightened) == ("hole", 1.0)
