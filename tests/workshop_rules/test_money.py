from decimal import Decimal

import pytest
from babel.numbers import format_currency
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.workshop_rules.money import Amount, amount_from_text, money_text, nothing, sum_of

NARROW, FIXED = "\u202f", "\u00a0"
LOCALES = ["en_GB", "de_DE", "de_CH", "de_AT", "fr_FR", "pl_PL", "sv_SE", "en_IN", "it_IT", "ja_JP"]
cents = st.integers(min_value=-(10**9), max_value=10**9)


def eur(text):
    return Amount(Decimal(text), "EUR")


# Minor units as ISO 4217 lists them (table from memory): none, two, three and four decimals.
@pytest.mark.parametrize(
    ("currency", "decimals"),
    [("JPY", 0), ("KRW", 0), ("EUR", 2), ("GBP", 2), ("CHF", 2), ("SEK", 2), ("USD", 2),
     ("BHD", 3), ("KWD", 3), ("TND", 3), ("CLF", 4)],
)  # fmt: skip
def test_each_currency_keeps_its_own_decimals(currency, decimals):
    smallest = Decimal(1).scaleb(-decimals)
    assert Amount(smallest, currency).value == smallest
    with pytest.raises(InputError, match="more decimals"):
        Amount(smallest / 10, currency)


@pytest.mark.parametrize("value", [1.5, "1.50", True, Decimal("NaN"), Decimal("Infinity"), None])
def test_what_is_no_exact_finite_decimal_is_no_amount(value):
    with pytest.raises(InputError):
        Amount(value, "EUR")


@pytest.mark.parametrize("currency", ["EURO", "eur", "", "ZZZ", "€"])
def test_an_unknown_currency_is_refused(currency):
    with pytest.raises(InputError, match="no currency"):
        Amount(Decimal(1), currency)


def test_a_slip_of_the_hand_is_refused():
    with pytest.raises(InputError, match="million million"):
        Amount(Decimal(10) ** 12, "EUR")


def test_a_product_too_large_is_refused():
    with pytest.raises(InputError, match="million million"):
        eur("1000").times(10**40)


def test_zero_has_no_sign():
    assert money_text(eur("-0.00"), "en_GB") == "€0.00"
    assert money_text(eur("-0.01").times(Decimal("0.1")), "en_GB") == "€0.00"


def test_amounts_of_two_currencies_are_not_added():
    with pytest.raises(InputError, match="EUR and GBP"):
        eur("1") + Amount(Decimal(1), "GBP")


@given(cents, cents)
def test_what_is_added_can_be_taken_away_to_the_cent(one, other):
    first, second = (Amount(Decimal(each).scaleb(-2), "EUR") for each in (one, other))
    assert (first + second) - second == first


# Half up, away from zero at the half; Python's own default would make 0.12 of 0.125.
@pytest.mark.parametrize(
    ("value", "factor", "product"),
    [
        ("0.25", "0.5", "0.13"),
        ("-0.25", "0.5", "-0.13"),
        ("0.05", "0.5", "0.03"),
        ("10", "3", "30"),
    ],
)
def test_a_product_is_rounded_half_up(value, factor, product):
    assert eur(value).times(Decimal(factor)) == eur(product)


@pytest.mark.parametrize("factor", [0.5, True, Decimal("NaN"), "2"])
def test_an_amount_is_multiplied_by_exact_numbers_only(factor):
    with pytest.raises(InputError):
        eur("1").times(factor)


def test_a_share_is_of_a_hundred():
    assert eur("200").share(Decimal("12.5")) == eur("25.00")
    with pytest.raises(InputError):
        eur("200").share(12.5)


def test_the_sum_of_nothing_is_nothing():
    assert sum_of((), "JPY") == nothing("JPY")
    assert sum_of((eur("1"), eur("2.50")), "EUR") == eur("3.50")


def test_money_is_written_as_the_locale_writes_it():
    assert money_text(eur("1234.5"), "de_DE") == f"1.234,50{FIXED}€"
    assert money_text(eur("1234.5"), "fr_FR") == f"1{NARROW}234,50{FIXED}€"
    assert money_text(Amount(1234, "JPY"), "en_GB") == "JP¥1,234"
    assert money_text(eur("1234.5"), "en-gb") == "€1,234.50"


def test_an_unknown_locale_is_refused():
    with pytest.raises(InputError, match="no locale"):
        money_text(eur("1"), "tlh_QQ")
    with pytest.raises(InputError, match="no locale"):
        amount_from_text("1", "EUR", "not a locale")


@pytest.mark.parametrize(
    ("text", "locale", "value"),
    [
        ("1.234,50", "de_DE", "1234.50"),
        ("1 234,50", "de_DE", "1234.50"),
        ("1234,5", "de_DE", "1234.50"),
        ("1.234.567", "de_DE", "1234567"),
        ("1.234", "de_DE", "1234"),
        ("1,234.50", "en_GB", "1234.50"),
        ("1 234.50", "en_GB", "1234.50"),
        ("1'234.50", "de_CH", "1234.50"),
        ("1’234.50", "de_CH", "1234.50"),
        (f"1{NARROW}234,50", "fr_FR", "1234.50"),
        (f"1{FIXED}234,50", "pl_PL", "1234.50"),
        ("12,34,567.00", "en_IN", "1234567"),
        ("-12,50", "de_DE", "-12.50"),
        ("−12,50", "de_DE", "-12.50"),
        ("€ 12.50", "en_GB", "12.50"),
        ("12,50 €", "de_DE", "12.50"),
        ("12,50 EUR", "de_DE", "12.50"),
        ("  7 ", "en_GB", "7"),
    ],
)
def test_what_is_typed_is_read_by_the_locale(text, locale, value):
    assert amount_from_text(text, "EUR", locale) == eur(value)


@pytest.mark.parametrize(
    ("text", "locale"),
    [("1,234", "de_DE"), ("1.234", "en_GB"), ("12,345", "fr_FR"), ("1.234", "de_CH")],
)
def test_what_could_mean_two_sums_is_refused(text, locale):
    with pytest.raises(InputError, match="two sums"):
        amount_from_text(text, "EUR", locale)


def test_a_lone_group_of_a_currency_with_three_decimals_could_mean_two_sums():
    with pytest.raises(InputError, match="two sums"):
        amount_from_text("1.234", "KWD", "de_DE")
    assert amount_from_text("1,234", "KWD", "de_DE") == Amount(Decimal("1.234"), "KWD")


@pytest.mark.parametrize(
    "text",
    ["", " ", "twelve", "1.23.4", "1,2,3", "12.34,5.6", "1..234", "1.2345,00", "1e3", "0x10",
     "12,", ",50", "--5", "5-", "1 23,00", "1.234 567,00", "NaN", "١٢"],
)  # fmt: skip
def test_what_is_no_amount_is_refused_with_an_example(text):
    with pytest.raises(InputError, match="write it like 1234,50"):
        amount_from_text(text, "EUR", "de_DE")


def test_a_point_typed_for_a_comma_is_not_guessed():
    with pytest.raises(InputError, match="1234,50"):
        amount_from_text("12.50", "EUR", "de_DE")


def test_decimals_too_many_are_named():
    with pytest.raises(InputError, match=r"more decimals than EUR allows \(2\)"):
        amount_from_text("1,2345", "EUR", "de_DE")
    with pytest.raises(InputError, match="more decimals than JPY"):
        amount_from_text("12.5", "JPY", "ja_JP")


# babel writes, we read: an independent reader of every locale's custom.
@pytest.mark.parametrize("locale", LOCALES)
@given(value=cents)
def test_what_babel_writes_is_read_back(locale, value):
    amount = Amount(Decimal(value).scaleb(-2), "EUR")
    assert (
        amount_from_text(format_currency(amount.value, "EUR", locale=locale), "EUR", locale)
        == amount
    )
