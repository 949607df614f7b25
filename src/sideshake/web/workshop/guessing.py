"""What a new workshop is asked first, guessed from the languages of its browser or computer."""

from collections.abc import Sequence
from dataclasses import dataclass

from babel import Locale, UnknownLocaleError
from babel.languages import get_official_languages
from babel.numbers import get_territory_currencies

LETTER_COUNTRIES = frozenset(
    ("BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE")
)
"""Where US Letter is the usual paper: Unicode CLDR, supplemental measurementData, paperSize."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """Where the workshop may be, and what is usual there; `told` is what it is guessed from.

    Examples
    --------
    >>> found = guessed(["de-ch", "en"])
    >>> found.country, found.currency, found.locale, found.paper
    ('CH', 'CHF', 'en_CH', 'a4')
    """

    told: str
    country: str
    currency: str
    locale: str
    paper: str


def guessed(languages: Sequence[str]) -> Guess | None:
    """Return what the first language that names a country says; None if none does.

    Examples
    --------
    >>> guessed(["en", "de"]) is None
    True
    """
    for told in languages:
        country = country_of(told)
        money = get_territory_currencies(country) if country else []
        if country and money:
            return Guess(
                told=told,
                country=country,
                currency=money[-1],
                locale=writings(country)[0],
                paper="us-letter" if country in LETTER_COUNTRIES else "a4",
            )
    return None


def country_of(language: str) -> str:
    """Return the country that a language tag names, such as CH of de-CH; else nothing."""
    try:
        found = Locale.parse(language.partition(".")[0].replace("-", "_"))
    except (UnknownLocaleError, ValueError, TypeError):
        return ""
    return "" if found.variant else found.territory or ""  # C and POSIX: no country


def writings(country: str) -> list[str]:
    """Return in which ways dates and numbers are written in a country, English words first.

    Examples
    --------
    >>> writings("CH")
    ['en_CH', 'de_CH', 'gsw_CH', 'fr_CH', 'it_CH']
    """
    spoken = get_official_languages(country, de_facto=True)
    wanted = (f"{language}_{country}" for language in dict.fromkeys(("en", *spoken)))
    return [each for each in wanted if is_known(each)] or ["en_GB"]


def is_known(locale: str) -> bool:
    """Return whether CLDR tells how dates and numbers are written so."""
    try:
        Locale.parse(locale)
    except (UnknownLocaleError, ValueError):
        return False
    return True
