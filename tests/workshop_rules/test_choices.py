"""What an owner can choose between, and its sums: worked by hand."""

from decimal import Decimal

import pytest

from sideshake.core.errors import InputError
from sideshake.workshop_rules.choices import Offered, choices, excluding, over
from sideshake.workshop_rules.money import Amount
from sideshake.workshop_rules.need import WorkNeed
from sideshake.workshop_rules.options import to_step
from sideshake.workshop_rules.totals import PriceTax, TaxedLine

NECESSARY, ADVISED, POSSIBLE = WorkNeed.NECESSARY, WorkNeed.ADVISED, WorkNeed.POSSIBLE


def euros(value: str) -> Amount:
    return Amount(Decimal(value), "EUR")


def offered(number, price, need=ADVISED, instead_of=None, tax=0):
    line = TaxedLine(text="work", each=euros(price), tax_percent=tax)
    return Offered(number=number, need=need, lines=(line,), instead_of=instead_of)


def told(*options, prices=PriceTax.NET):
    return [
        (each.words, each.numbers, str(each.sums.gross.value))
        for each in choices(options, currency="EUR", prices=prices)
    ]


JEWEL, BUSH = offered(1, "200", NECESSARY), offered(2, "110", POSSIBLE, instead_of=1)
OVERHAUL, CRYSTAL = offered(3, "500"), offered(4, "60", POSSIBLE)


def test_each_choice_has_its_own_sum_and_none_holds_both_of_two_that_exclude_each_other():
    assert told(JEWEL, BUSH, OVERHAUL, CRYSTAL) == [
        ("All that we advise", (1, 3), "700.00"),
        ("All that we advise, with 2 instead of 1", (2, 3), "610.00"),
        ("Only what is necessary", (1,), "200.00"),
        ("Only what is necessary, with 2 instead of 1", (2,), "110.00"),
        ("All that we advise, and 4", (1, 3, 4), "760.00"),
    ]


def test_what_is_all_necessary_is_told_once():
    assert told(JEWEL) == [("All that we advise", (1,), "200.00")]


def test_where_nothing_is_advised_each_stands_alone():
    assert told(CRYSTAL, offered(5, "10", POSSIBLE)) == [
        ("This alone", (4,), "60.00"),
        ("This alone", (5,), "10.00"),
    ]


def test_two_alternatives_of_two_options_give_all_four_pairs():
    pairs = [numbers for _, numbers, _ in told(
        offered(1, "1"), offered(2, "2", POSSIBLE, 1), offered(3, "4"), offered(4, "8", POSSIBLE, 3)
    )]  # fmt: skip
    assert pairs == [(1, 3), (1, 4), (2, 3), (2, 4)]


def test_the_sum_of_a_choice_holds_its_tax():
    taxed = offered(1, "100", tax=19)
    assert told(taxed)[0][2] == "119.00"
    assert told(taxed, prices=PriceTax.GROSS)[0][2] == "100.00"


def test_an_option_in_the_place_of_none_that_is_there_is_refused():
    with pytest.raises(InputError, match="takes the place of option 9"):
        told(JEWEL, offered(2, "1", instead_of=9))
    with pytest.raises(InputError, match="stands by itself"):
        told(JEWEL, BUSH, offered(3, "1", instead_of=2))


@pytest.mark.parametrize(
    ("chosen", "both"), [((1, 2), (1, 2)), ((1, 3), None), ((2, 3), None), ((2, 5), (2, 5))]
)
def test_only_one_of_two_alternatives_can_be_chosen(chosen, both):
    options = (JEWEL, BUSH, OVERHAUL, offered(5, "90", POSSIBLE, instead_of=1))
    assert excluding(options, chosen) == both


def test_a_sum_is_held_against_the_limit_the_owner_named():
    first, second, *_ = choices((JEWEL, BUSH, OVERHAUL), currency="EUR")
    assert over(euros("650"), first) == euros("50")
    assert over(euros("650"), second) == euros("-40")


@pytest.mark.parametrize(
    ("price", "step", "asked"),
    [("97.50", "5", "100"), ("97.49", "5", "95"), ("97.50", "0", "97.50"), ("0", "5", "0"),
     ("0.40", "1", "1"), ("3.17", "0.05", "3.15")],
)  # fmt: skip
def test_prices_are_rounded_as_the_workshop_wishes(price, step, asked):
    assert to_step(euros(price), Decimal(step)) == euros(asked)


def test_prices_are_not_rounded_to_less_than_nothing():
    with pytest.raises(InputError, match="0 or more"):
        to_step(euros("1"), Decimal(-1))
