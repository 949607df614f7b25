from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.workshop_rules.money import Amount
from sideshake.workshop_rules.options import (
    COMMON_PRACTICE,
    OpeningDepth,
    Suggestion,
    WorkTime,
    price,
    priced_line,
    with_own_times,
)


def eur(text):
    return Amount(Decimal(text), "EUR")


# By hand: 45 min at 84.00 are 63.00, 90 min are 126.00; with 12.50 and 40.00 beside them.
def test_a_price_is_time_at_the_hourly_rate_with_parts_and_outwork():
    time = WorkTime(least_min=45, most_min=90)
    asked = price(time, hour=eur("84"), parts=(eur("12.50"),), outwork=(eur("40"),))
    assert (asked.least, asked.most) == (eur("115.50"), eur("178.50"))
    assert asked.middle == eur("147.00")


# By hand: 50 min at 85.00 are 70.8333, 10 min 14.1667.
def test_a_price_is_rounded_half_up_to_the_cent():
    asked = price(WorkTime(least_min=10, most_min=50), hour=eur("85"))
    assert (asked.least, asked.most) == (eur("14.17"), eur("70.83"))


@given(st.integers(0, 600), st.integers(0, 600), st.integers(0, 20000))
def test_more_time_never_costs_less(one, other, cents):
    least, most = sorted((one, other))
    asked = price(
        WorkTime(least_min=least, most_min=most), hour=Amount(Decimal(cents).scaleb(-2), "EUR")
    )
    assert asked.least.value <= asked.most.value


def test_a_rate_below_nothing_is_refused():
    with pytest.raises(InputError, match="hourly rate"):
        price(WorkTime(least_min=1, most_min=1), hour=eur("-1"))


def test_parts_in_another_currency_are_refused():
    with pytest.raises(InputError, match="GBP"):
        price(WorkTime(least_min=1, most_min=1), hour=eur("1"), parts=(Amount(1, "GBP"),))


@pytest.mark.parametrize(("least", "most"), [(-1, 5), (6, 5)])
def test_an_impossible_time_is_refused(least, most):
    with pytest.raises(InputError, match="least to most"):
        WorkTime(least_min=least, most_min=most)


def test_a_measured_time_is_its_95_percent_range():
    found = WorkTime.of(Measured(90, 15), "nine past visits")
    assert (found.least_min, found.most_min, found.middle_min) == (60, 120, 90)
    assert found.source == "nine past visits"
    assert WorkTime.of(Measured(10, 20), "x").least_min == 0
    with pytest.raises(InputError):
        WorkTime.of(Measured(-50, 1), "x")


def test_times_add_up_with_their_sources():
    total = WorkTime(least_min=10, most_min=20) + WorkTime(least_min=5, most_min=5, source="own")
    assert (total.least_min, total.most_min) == (15, 25)
    assert total.source == f"{COMMON_PRACTICE}; own"
    assert WorkTime(least_min=10, most_min=21).middle_min == 16
    assert total.words == "15 to 25 minutes"
    assert WorkTime(least_min=5, most_min=5).words == "5 minutes"


def option(key="crystal", **more):
    words = {"title": "New crystal", "reason": "r", "evidence": (), "risk": "r", "if_left": "i"}
    return Suggestion(key=key, time=WorkTime(least_min=20, most_min=45), **words, **more)


def test_the_workshop_s_own_times_take_the_place_of_the_usual_ones():
    own = WorkTime(least_min=12, most_min=15, source="own")
    changed, kept = with_own_times((option(), option("crown")), {"crystal": own, "x": own})
    assert changed.time == own
    assert kept.time.source == COMMON_PRACTICE


def test_what_needs_the_movement_apart_goes_with_an_overhaul():
    assert option(depth=OpeningDepth.APART).on_top_of == "overhaul"
    assert option().on_top_of is None
    assert option("overhaul", depth=OpeningDepth.APART).on_top_of is None


def test_an_agreed_option_is_a_line():
    line = priced_line(option(), eur("59"), tax_percent=20)
    assert (line.text, line.total, line.tax_percent) == ("New crystal", eur("59"), 20)
