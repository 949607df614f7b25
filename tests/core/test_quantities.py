"""Source of the propagation checks: GUM (JCGM 100:2008); the numbers are worked by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, decimals, probability_below, propagate


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
    "written",
    ["0.52+-0.02", "0.52 ± 0.02", " 0.52 +/- 0.02 ", "5.2e-1+-2e-2", "0.52+-0.01 standard"],
)
def test_written_values_are_read(written):
    assert Measured.parse(written) == Measured(0.52, 0.01)


def test_a_limit_is_a_rectangle():
    # GUM 4.3.7: anywhere within a, u = a/sqrt(3); the printed interval is then 1.15 a
    assert Measured.parse("0.92 ± 0.03 limit").u == pytest.approx(0.0173205, abs=1e-7)


@pytest.mark.parametrize(
    ("written", "unit"),
    [("0.92 ± 0.01 mm", "mm"), ("215 ± 8°", "°"), ("215+-4 deg standard", "°"), ("0.92mm", "mm")],
)
def test_the_unit_may_stand_behind(written, unit):
    assert Measured.parse(written, unit).value in (0.92, 215)


def test_a_share_may_be_pasted_back_in_per_cent():
    found = Measured.parse("85 ± 6 %", "%")
    assert (found.value, found.u) == (pytest.approx(0.85), pytest.approx(0.03))
    assert Measured.parse("0.85 ± 0.06", "%").value == pytest.approx(0.85)
    assert Measured.read("85 %", "%").u == pytest.approx(0.005 / math.sqrt(3))


def test_another_unit_is_refused():
    with pytest.raises(InputError, match="in mm"):
        Measured.parse("920 ± 10 µm", "mm")


@pytest.mark.parametrize(
    "written",
    ["", "half", "0.5+-", "0.5+-0.1+-0.1", "nan", "0.5+--0.1", "0.5+-0.1 about", "1,2", "standard"],
)
def test_unreadable_values_are_refused(written):
    with pytest.raises(InputError):
        Measured.parse(written)


@pytest.mark.parametrize(
    "written",
    ["1e400", "1e400 1e400", "1e-999999999999", "1" * 5000, "0.5+-1e400", "1e999 ± 1e999"],
)
def test_what_no_computer_holds_is_refused(written):
    for read in (Measured.parse, Measured.read):
        with pytest.raises(InputError):
            read(written)


@given(
    st.lists(
        st.sampled_from([*"0123456789.eE+- ,;°%±−", "+-", "standard", "limit", "mm", "nan"]),
        max_size=9,
    ).map("".join)
)
def test_any_text_is_read_or_refused(text):
    for unit in ("", "mm", "%"):
        try:
            found = Measured.read(text, unit)
        except InputError:
            continue
        assert math.isfinite(found.value)
        assert found.u >= 0


@given(st.floats(-1e5, 1e5), st.floats(1e-7, 1e3))
def test_what_is_printed_can_be_pasted_back_and_means_the_same(value, u):
    printed = Measured(value, u).text()
    back = Measured.parse(printed)
    assert back.text() == printed
    assert back.expanded == pytest.approx(2 * u, rel=0.17)  # one digit printed, GUM 7.2.6
    assert abs(back.value - value) <= 0.51 * 10 ** -decimals(2 * u)


@given(st.floats(-1e5, 1e5), st.floats(0, 1e3))
def test_what_is_typed_out_in_full_comes_back_to_the_last_digit(value, u):
    back = Measured.parse(Measured(value, u).typed())
    assert (back.value, back.u) == (pytest.approx(value, rel=1e-9), pytest.approx(u, rel=1e-5))


def test_several_readings_give_mean_and_uncertainty():
    # by hand: mean 0.922, s 0.001581, s/root 5 0.000707; t(4) 2.87 (GUM table G.2), half of it
    # 1.435; last digit 0.001/2/root 3 = 0.000289
    found = Measured.parse("0.920 0.922 0.924 0.921 0.923")
    assert found.value == pytest.approx(0.922)
    assert found.u == pytest.approx(math.hypot(1.435 * 0.000707, 0.000289), rel=1e-3)


def test_readings_carry_their_instrument():
    bare, held = Measured.parse("9.21 9.21"), Measured.parse("9.21; 9.21 ± 0.03 limit")
    assert bare.u == pytest.approx(0.01 / 2 / math.sqrt(3))
    assert held.u == pytest.approx(math.hypot(bare.u, 0.03 / math.sqrt(3)))


@pytest.mark.parametrize(("written", "u"), [("0.92", 0.00289), ("0.920", 0.000289), ("306", 0.289)])
def test_a_plain_number_is_known_to_its_last_digit(written, u):
    # GUM F.2.2.1: half a step to either side, as a rectangle
    assert Measured.read(written).u == pytest.approx(u, rel=2e-3)
    assert Measured.parse(written).u == 0


def test_what_says_its_doubt_is_read_as_it_is():
    assert Measured.read("0.92 ± 0.04") == Measured.parse("0.92 ± 0.04")
    assert Measured.read("0.92 ± 0") == Measured(0.92)


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
