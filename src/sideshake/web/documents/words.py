"""The workshop, days, amounts and pictures as they stand on paper."""

from datetime import date
from decimal import Decimal
from pathlib import Path

from babel.dates import format_date
from babel.localedata import locale_identifiers

from sideshake.core.errors import InputError
from sideshake.documents.blocks import Letterhead, Paper, Picture
from sideshake.web.evidence.photographs import file_of
from sideshake.web.models import Photograph, Visit, Workshop, the_workshop
from sideshake.web.workshop.logo import logo_bytes
from sideshake.wording import Language, spoken
from sideshake.wording import gettext as _
from sideshake.workshop_rules.bank import pay_to
from sideshake.workshop_rules.money import Amount, known_locale, money_text, price_text

CODE_LETTERS = 2
"""Of a country's code by ISO 3166-1."""


def letterhead() -> Letterhead:
    """Return the workshop as its paper names it."""
    shop = the_workshop()
    return Letterhead(
        name=shop.name,
        address=shop.address,
        country=country_named(shop.country),
        phone=shop.phone,
        email=shop.email,
        website=shop.website,
        tax_number=shop.tax_number,
        bank=pay_to(shop.bank, iban=shop.iban, bic=shop.bic),
        logo=logo_of(shop),
    )


def logo_of(shop: Workshop) -> Picture | None:
    """Return the workshop's logo; None when there is none or its file is gone."""
    data = logo_bytes(shop)
    return Picture(name="logo.png", data=data, alt=shop.name) if data else None


def paper_size() -> Paper:
    """Return the paper that the workshop prints on."""
    return Paper(the_workshop().paper)


def paper_locale() -> str:
    """Return how dates and numbers are written: in English as the workshop does, in another
    language as it is written where the workshop is, or else as it mostly is."""
    own = the_workshop().locale
    if spoken() is Language.ENGLISH:
        return own
    here = f"{spoken().value}_{known_locale(own).territory}"
    return here if here in locale_identifiers() else spoken().value


def written_day(day: date | None) -> str:
    """Return a date as it stands on paper; empty for none.

    The first of a month is an ordinal in French, which CLDR's format leaves out.
    """
    if day is None:
        return ""
    written = format_date(day, format="long", locale=paper_locale())
    first = spoken() is Language.FRENCH and day.day == 1
    return f"1er{written.removeprefix('1')}" if first else written


def written_money(amount: Amount) -> str:
    """Return an amount as it stands on paper."""
    return money_text(amount, paper_locale())


def price_words(price: Amount, *, within: bool) -> str:
    """Return a price; of one that is 0 that it is included, where it lies within the others."""
    return _("included") if within and not price.value else written_money(price)


def written_price(value: Decimal, currency: str) -> str:
    """Return a unit price, which may have more decimals than an amount."""
    return price_text(value, currency, paper_locale())


def address_of(visit: Visit) -> str:
    """Return the owner's address as it stands in the window."""
    owner = visit.watch.owner
    lines = (owner.name, owner.address, country_named(owner.country))
    return "\n".join(line for line in lines if line)


def country_named(said: str) -> str:
    """Return a country as it stands in an address: two letters by the name they stand for."""
    names = known_locale(paper_locale()).territories
    code = said.strip().upper()
    return str(names.get(code, said)) if len(code) == CODE_LETTERS else said


def picture_of(photograph: Photograph | None) -> Picture | None:
    """Return a photograph for paper; None when there is none or its file is gone."""
    if photograph is None:
        return None
    try:
        path: Path = file_of(photograph, "large")
    except InputError:
        return None
    return Picture(
        name=f"photograph-{photograph.pk}.jpg",
        data=path.read_bytes(),
        alt=photograph.caption or _("photograph {number}").format(number=photograph.pk),
        caption=photograph.caption,
    )
