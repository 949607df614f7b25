"""Source of the propagation checks: GUM (JCGM 100:2008); the numbers are worked by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.errors import InputError
from sideshake.quantities import Measured, probability_below, propagate


def test_independent_errors_add_in_squares():
    total = propagate(lambda a, b: a + b, Measured(1.0, 0.3), Measured(2.0, 0.4))
    assert (total.value, total.u) == (3.0, pytest.approx(0.5))


def test_one_input_used_twice_is_fully_correlated():
    doubled = propagate(lambda a: a - a, Measured(7.0, 0.5))
    assert (doubled.value, doubled.u) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("value", "u", "text"),
    [
        (6.213, 0.2, "6.2 ± 0.4"),
        (-6.213, 0.05, "−6.21 ± 0.10"),
        (243.4, 1.6, "243 ± 3"),
        (243.4, 1.2, "243.4 ± 2.4"),
        (5.0, 40.0, "5 ± 80"),
        (5.0, 0.0, "5"),
    ],
)
def test_text_shows_what_the_uncertainty_supports(value, u, text):
    assert Measured(value, u).text() == text


@pytest.mark.parametrize(
    "written", ["0.52+-0.01", "0.52 ± 0.01", " 0.52 +/- 0.01 ", "5.2e-1+-1e-2"]
)
def test_written_values_are_read(written):
    assert Measured.parse(written) == Measured(0.52, 0.01)


@pytest.mark.parametrize("written", ["", "half", "0.5+-", "0.5+-0.1+-0.1", "nan", "0.5+--0.1"])
def test_unreadable_values_are_refused(written):
    with pytest.raises(InputError):
        Measured.parse(written)


@given(st.floats(-1e6, 1e6), st.floats(0, 1e3))
def test_the_interval_holds_its_own_value(value, u):
    assert Measured(value, u).holds(value)


@pytest.mark.parametrize(("value", "u"), [(math.nan, 0.1), (1.0, math.inf), (1.0, -0.1)])
def test_the_impossible_is_refused(value, u):
    with pytest.raises(InputError):
        Measured(value, u)


@pytest.mark.parametrize(
    ("z", "probability"), [(0.0, 0.5), (1.0, 0.841345), (-1.96, 0.024998), (-2.0, 0.022750)]
)
def test_a_limit_is_judged_by_the_normal_table(z, probability):
    # the standard normal distribution function, as any statistical table prints it
    value = Measured(0.30, 0.01)
    assert probability_below(value, 0.30 + z * 0.01) == pytest.approx(probability, abs=1e-6)


def test_an_exact_value_lies_below_a_limit_or_not():
    assert [probability_below(Measured(0.3), limit) for limit in (0.2, 0.3, 0.4)] == [0, 0, 1]


def test_nothing_has_no_sign():
    assert Measured(-0.04, 2.5).text(sign=True) == "0 ± 5"
    assert Measured(0.04, 2.5).text(sign=True) == "0 ± 5"
    assert Measured(-0.6, 2.5).text(sign=True) == "−1 ± 5"
