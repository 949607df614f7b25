from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.workshop_rules.money import Amount
from sideshake.workshop_rules.totals import NoTax, PriceTax, TaxedLine, balance, deposit, totals


def eur(text):
    return Amount(Decimal(text), "EUR")


def line(price, percent, **more):
    return TaxedLine(text="work", each=eur(price), tax_percent=Decimal(percent), **more)


def sums(lines, **more):
    made = totals(tuple(lines), currency="EUR", **more)
    return [str(each.value) for each in (made.net, made.tax, made.gross)]


# Worked by hand: 3 × 33.33 = 99.99 and 0.02, together 100.01; 19 % of it is 19.0019.
def test_tax_is_reckoned_on_the_sum_of_a_rate():
    assert sums([line("33.33", 19, quantity=3), line("0.02", 19)]) == ["100.01", "19.00", "119.01"]


# By line, 10 × 0.04 at 20 % would be 10 × 0.01 = 0.10; on the sum it is 0.08.
def test_tax_is_not_rounded_line_by_line():
    assert sums([line("0.04", 20)] * 10) == ["0.40", "0.08", "0.48"]


# By hand: 20 % of 0.125 half up; 0.62 × 0.20 = 0.124; 12.50 × 0.055 = 0.6875.
@pytest.mark.parametrize(
    ("price", "percent", "tax"),
    [
        ("12.50", "5.5", "0.69"),
        ("0.62", "20", "0.12"),
        ("0.63", "20", "0.13"),
        ("2.50", "25", "0.63"),
    ],
)
def test_tax_is_rounded_half_up(price, percent, tax):
    assert sums([line(price, percent)])[1] == tax


def test_each_rate_has_its_own_sum():
    made = totals((line("100", 20), line("50", "5.5"), line("20", 20)), currency="EUR")
    assert [
        (str(each.tax_percent), str(each.net.value), str(each.tax.value)) for each in made.by_rate
    ] == [
        ("5.5", "50.00", "2.75"),
        ("20", "120.00", "24.00"),
    ]
    assert made.gross == eur("196.75")


# By hand: 119.00 / 1.19 = 100.00; 100.00 / 1.20 = 83.333...
@pytest.mark.parametrize(
    ("price", "percent", "net", "tax"),
    [("119", 19, "100.00", "19.00"), ("100", 20, "83.33", "16.67"), ("0.01", 20, "0.01", "0.00")],
)
def test_prices_may_contain_the_tax(price, percent, net, tax):
    gross = str(eur(price).value)
    assert sums([line(price, percent)], prices=PriceTax.GROSS) == [net, tax, gross]


@given(st.integers(0, 10**7), st.sampled_from(["0", "5.5", "7", "8.1", "19", "20", "25"]))
def test_prices_with_tax_are_kept_to_the_cent(price, percent):
    amount = Amount(Decimal(price).scaleb(-2), "EUR")
    made = totals(
        (TaxedLine(text="work", each=amount, tax_percent=Decimal(percent)),),
        currency="EUR",
        prices=PriceTax.GROSS,
    )
    assert made.gross == amount
    assert abs(made.net.value * Decimal(percent) / 100 - made.tax.value) <= Decimal("0.01")


def test_the_wording_of_untaxed_lines_stands_once():
    lines = (
        line("100", 0, no_tax=NoTax.SECOND_HAND),
        line("10", 0, no_tax=NoTax.SECOND_HAND),
        line("50", 20),
    )
    made = totals(lines, currency="EUR")
    assert made.tax == eur("10")
    # Directive 2006/112/EC, Art. 226(14): the mention "Margin scheme - second-hand goods".
    assert len(made.wordings) == 1
    assert made.wordings[0].startswith("Margin scheme — Second-hand goods")


def test_an_untaxed_line_carries_no_tax():
    with pytest.raises(InputError, match="rate of 0"):
        line("100", 20, no_tax=NoTax.SMALL_BUSINESS)


def test_no_lines_make_nothing():
    assert sums([]) == ["0.00", "0.00", "0.00"]


def test_a_credit_lowers_sum_and_tax():
    assert sums([line("100", 20), line("-25", 20)]) == ["75.00", "15.00", "90.00"]


def test_a_yen_has_no_cents():
    made = totals(
        (TaxedLine(text="work", each=Amount(333, "JPY"), tax_percent=Decimal(10)),), currency="JPY"
    )
    assert made.tax == Amount(33, "JPY")


def test_a_line_in_another_currency_is_refused():
    with pytest.raises(InputError, match="GBP"):
        totals((TaxedLine(text="work", each=Amount(1, "GBP")),), currency="EUR")
    with pytest.raises(InputError, match="no currency"):
        totals((), currency="EURO")


@pytest.mark.parametrize(
    "fault",
    [
        {"text": " "},
        {"quantity": 0},
        {"quantity": -1},
        {"quantity": 1.5},
        {"quantity": Decimal("NaN")},
        {"tax_percent": -1},
        {"tax_percent": 101},
        {"tax_percent": 19.0},
    ],
)
def test_an_impossible_line_is_refused(fault):
    with pytest.raises(InputError):
        TaxedLine(**({"text": "work", "each": eur("1")} | fault))


def test_a_deposit_is_a_share_or_an_amount():
    assert deposit(eur("333.33"), percent=30) == eur("100.00")
    assert deposit(eur("333.33"), fixed=eur("50")) == eur("50")


@pytest.mark.parametrize(
    "asked",
    [
        {},
        {"percent": 30, "fixed": Amount(1, "EUR")},
        {"percent": 101},
        {"percent": -1},
        {"percent": 30.0},
        {"fixed": Amount(101, "EUR")},
        {"fixed": Amount(1, "GBP")},
    ],
)
def test_an_impossible_deposit_is_refused(asked):
    with pytest.raises(InputError):
        deposit(eur("100"), **asked)


def test_what_was_paid_leaves_the_balance():
    assert balance(eur("100"), (eur("30"), eur("20"))) == eur("50")
    assert balance(eur("100"), (eur("120"),)) == eur("-20")


def test_three_reasons_are_margin_schemes():
    # Directive 2006/112/EC, Article 226 (14): those whose words begin with "Margin scheme"
    for each in NoTax:
        assert each.is_margin == each.words.startswith("Margin scheme")
