"""Who sells and who buys, as an invoice's data name them: with a country's two letters."""

from functools import lru_cache

from babel import Locale

from sideshake.documents.einvoice import Party
from sideshake.web.models import Owner, Workshop, the_workshop
from sideshake.workshop_rules.money import known_locale

ALSO = {
    "uk": "GB", "great britain": "GB", "england": "GB", "scotland": "GB", "wales": "GB",
    "usa": "US", "holland": "NL",
}  # fmt: skip
"""Names in daily use that the CLDR has not."""


def seller() -> Party:
    """Return the workshop."""
    shop = the_workshop()
    return Party(
        name=shop.name,
        address=tuple(line for line in shop.address.splitlines() if line.strip()),
        country=country_of(shop),
        tax_number=shop.tax_number,
        email=shop.email,
    )


def tax_name() -> str:
    """Return what the workshop's tax number is called: as it is set, else by how it begins."""
    return the_workshop().tax_label or seller().tax_name


def buyer(owner: Owner) -> Party:
    """Return the customer; one without a country lives in the workshop's."""
    shop = the_workshop()
    there = country_code(owner.country, shop.locale) if owner.country else country_of(shop)
    return Party(
        name=owner.name,
        address=tuple(line for line in owner.address.splitlines() if line.strip()),
        country=there,
        tax_number=owner.tax_number,
        email=owner.email,
    )


def country_of(shop: Workshop) -> str:
    """Return the workshop's country: as it is set, else the locale's."""
    return shop.country or known_locale(shop.locale).territory or ""


def country_code(name: str, locale: str) -> str:
    """Return a country's two letters (ISO 3166-1) by its name or by them; empty when unknown.

    >>> country_code("France", "en_GB"), country_code("Frankreich", "de_AT"), country_code("ch", "")
    ('FR', 'FR', 'CH')
    >>> country_code("Nowhere", "en_GB")
    ''
    """
    said = name.strip()
    if said.upper() in countries("en").values():
        return said.upper()
    key = said.casefold()
    own = countries(locale) if locale else {}
    return ALSO.get(key) or countries("en").get(key) or own.get(key, "")


@lru_cache(maxsize=8)
def countries(locale: str) -> dict[str, str]:
    """Return the two letters of every country by its name in a language (CLDR)."""
    names = Locale.parse(locale.replace("-", "_")).territories
    return {
        name.casefold(): code for code, name in names.items() if len(code) == 2 and code.isalpha()
    }
