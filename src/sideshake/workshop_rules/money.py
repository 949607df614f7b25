"""Amounts of money: exact decimals with a currency, written and read by the locale's customs.

Rounding is always half up ("kaufmännisch"), to the currency's own decimals. The decimals are
those of the Unicode CLDR, which `babel` carries; for a few currencies in which the minor coin is
out of use (ALL, LAK, MMK) it gives fewer than ISO 4217 does.
"""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from functools import lru_cache

from babel import Locale, UnknownLocaleError
from babel.numbers import (
    format_currency,
    get_currency_precision,
    get_currency_symbol,
    get_decimal_symbol,
    get_group_symbol,
    is_currency,
)

from sideshake.core.errors import InputError

LARGEST = Decimal(10) ** 12
"""More than any watch costs in any currency: beyond it a slip of the hand is certain."""
MINUS = "\u2212"
"""The minus of print; a hyphen is shorter, and lines break behind it."""
SPACES = "\u00a0\u202f\u2009"
APOSTROPHES = "\u2019\u02bc"
GROUPS_ANYWHERE = " '"
"""A space or an apostrophe between thousands cannot be taken for a decimal sign in any locale."""


@dataclass(frozen=True, slots=True)
class Amount:
    """A sum of money in one currency; it may be negative (a credit).

    Examples
    --------
    >>> Amount(Decimal("12.50"), "EUR") + Amount(Decimal("0.25"), "EUR")
    Amount(value=Decimal('12.75'), currency='EUR')
    """

    value: Decimal
    currency: str

    def __post_init__(self) -> None:
        require_exact("an amount", self.value)
        if not known_currency(self.currency):
            raise InputError(
                f"no currency is called {self.currency!r}: write its three letters, such as EUR"
            )
        object.__setattr__(self, "value", self.to_places(Decimal(self.value)))

    def to_places(self, exact: Decimal) -> Decimal:
        """Return the value with exactly the currency's decimals; refuse to drop any."""
        kept = rounded(exact, self.currency)
        if kept != exact:
            raise InputError(
                f"{exact} has more decimals than {self.currency} allows "
                f"({get_currency_precision(self.currency)})"
            )
        return kept

    def __add__(self, other: "Amount") -> "Amount":
        require_same_currency(self, other)
        return Amount(self.value + other.value, self.currency)

    def __sub__(self, other: "Amount") -> "Amount":
        require_same_currency(self, other)
        return Amount(self.value - other.value, self.currency)

    def times(self, factor: Decimal | int) -> "Amount":
        """Return the amount multiplied, rounded half up."""
        require_exact("the factor of an amount", factor)
        return Amount(rounded(self.value * factor, self.currency), self.currency)

    def share(self, percent: Decimal | int) -> "Amount":
        """Return so many per cent of the amount, rounded half up."""
        require_exact("a percentage", percent)
        return self.times(Decimal(percent) / 100)


@lru_cache(maxsize=400)
def known_currency(code: str) -> bool:
    """Return whether a currency is called so; asked for every amount, so the answer is kept."""
    return bool(is_currency(code))


def require_exact(name: str, value: object) -> None:
    """Refuse a number that is not exact and finite."""
    if isinstance(value, bool) or not isinstance(value, Decimal | int):
        raise InputError(f"{name} must be an exact number, got {value!r}")
    if not Decimal(value).is_finite():
        raise InputError(f"{name} must be finite, got {value}")


def require_same_currency(one: Amount, other: Amount) -> None:
    """Refuse two amounts of different currencies."""
    if one.currency != other.currency:
        raise InputError(
            f"{one.currency} and {other.currency} cannot be added: use one currency in a proposal"
        )


def rounded(value: Decimal, currency: str) -> Decimal:
    """Return a value rounded half up (away from zero at the half) to the currency's decimals.

    Examples
    --------
    >>> rounded(Decimal("2.345"), "EUR"), rounded(Decimal("2.5"), "JPY")
    (Decimal('2.35'), Decimal('3'))
    """
    if abs(value) >= LARGEST:
        raise InputError(f"an amount is below a million million, got {value}")
    step = Decimal(1).scaleb(-get_currency_precision(currency))
    return value.quantize(step, rounding=ROUND_HALF_UP) + 0  # zero has no sign


def nothing(currency: str) -> Amount:
    """Return zero in a currency."""
    return Amount(Decimal(0), currency)


def sum_of(amounts: tuple[Amount, ...], currency: str) -> Amount:
    """Return the sum of amounts; zero when there are none."""
    return sum(amounts, start=nothing(currency))


def money_text(amount: Amount, locale: str) -> str:
    """Return the amount as the locale writes it, with a true minus.

    Examples
    --------
    >>> money_text(Amount(Decimal("-1234.5"), "EUR"), "en_GB")
    '−€1,234.50'
    """
    return value_text(amount.value, amount.currency, locale)


def price_text(value: Decimal, currency: str, locale: str) -> str:
    """Return a unit price as the locale writes it; it may have more decimals than an amount.

    Examples
    --------
    >>> price_text(Decimal("-0.125"), "EUR", "en_GB")
    '−€0.125'
    """
    return value_text(value, currency, locale, all_decimals=True)


def value_text(value: Decimal, currency: str, locale: str, *, all_decimals: bool = False) -> str:
    """Return a value as the locale writes it, with a true minus; rounded unless asked not to."""
    place = known_locale(locale)
    text = format_currency(value, currency, locale=place, decimal_quantization=not all_decimals)
    return text.replace("-", MINUS)


def known_locale(locale: str) -> Locale:
    """Return the locale of that name, written with a hyphen or an underscore.

    Raises
    ------
    InputError : there is none
    """
    try:
        return Locale.parse(locale.replace("-", "_"))
    except (UnknownLocaleError, ValueError):
        raise InputError(f"no locale is called {locale!r}: write de_DE or en_GB") from None


def amount_from_text(text: str, currency: str, locale: str) -> Amount:
    """Return the amount somebody typed, read by the locale's customs.

    Thousands may be set apart by the locale's own sign, a space or an apostrophe. What another
    locale would read as a different sum is refused, never guessed.

    Raises
    ------
    InputError : the text is no amount, or could mean two
    """
    place = known_locale(locale)
    point = get_decimal_symbol(place)
    plain = without_currency(text, currency, place)
    whole, sign, cents = plain.partition(point)
    number = without_groups(whole, place)
    if number is None or (sign and not re.fullmatch(r"[0-9]+", cents)):
        raise unreadable(text, currency, place)
    refuse_two_meanings(text, currency, whole=whole, cents=cents, place=place)
    try:
        return Amount(Decimal(f"{number}.{cents or 0}"), currency)
    except InvalidOperation:
        raise unreadable(text, currency, place) from None


def without_currency(text: str, currency: str, place: Locale) -> str:
    """Return the text with plain spaces and apostrophes and without the currency's sign."""
    plain = text.translate({ord(each): " " for each in SPACES})
    plain = plain.translate({ord(each): "'" for each in APOSTROPHES}).replace(MINUS, "-").strip()
    minus = "-" * plain.startswith("-")  # some locales write -€5, others €-5
    plain = plain.removeprefix("-").strip()
    for mark in (currency, get_currency_symbol(currency, locale=place)):
        plain = plain.removeprefix(mark).removesuffix(mark).strip()
    return minus + plain


def without_groups(whole: str, place: Locale) -> str | None:
    """Return the digits before the decimal sign; None if they are not grouped as they should be."""
    first, others = place.decimal_formats[None].grouping
    group = get_group_symbol(place).translate({ord(each): " " for each in SPACES})
    group = group.translate({ord(each): "'" for each in APOSTROPHES})
    for sign in {*GROUPS_ANYWHERE, group}:
        mark = re.escape(sign)
        grouped = rf"-?[0-9]{{1,{others}}}(?:{mark}[0-9]{{{others}}})*{mark}[0-9]{{{first}}}"
        if re.fullmatch(grouped, whole):
            return whole.replace(sign, "")
    return whole if re.fullmatch(r"-?[0-9]+", whole) else None


def refuse_two_meanings(text: str, currency: str, *, whole: str, cents: str, place: Locale) -> None:
    """Refuse "1,234" where it could be a thousand or one and a bit, and decimals too many."""
    places = get_currency_precision(currency)
    lone_group = not cents and re.fullmatch(r"-?[0-9]{1,3}[.,][0-9]{3}", whole)
    if len(cents) == 3 > places or (lone_group and places >= 3):
        point = get_decimal_symbol(place)
        raise InputError(
            f"{text.strip()!r} could mean two sums: write thousands without a sign between them, "
            f"and cents after {point!r}"
        )
    if len(cents) > places:
        raise InputError(f"{text.strip()!r} has more decimals than {currency} allows ({places})")


def unreadable(text: str, currency: str, place: Locale) -> InputError:
    """Return the error for a text that is no amount, with an example of one."""
    places = get_currency_precision(currency)
    example = f"1234{get_decimal_symbol(place)}{'5'.ljust(places, '0')}" if places else "1234"
    return InputError(f"{text.strip()!r} is no amount here: write it like {example}")
