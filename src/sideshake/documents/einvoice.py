"""What an invoice says to a machine (EN 16931): parties, lines, sums, and what it still lacks."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from babel.numbers import get_currency_precision

from sideshake.wording import gettext as _
from sideshake.workshop_rules.bank import first_iban
from sideshake.workshop_rules.billed import BilledLine
from sideshake.workshop_rules.money import Amount
from sideshake.workshop_rules.totals import NoTax, Totals

MOST_DECIMALS = 2
"""EN 16931 allows no amount with more (BR-DEC-01 to BR-DEC-28)."""
TAX_PREFIX = re.compile(r"[A-Z]{2}")
GREECE, GREEK_PREFIX = "GR", "EL"
NORTHERN_IRELAND = "XI"


class BillKind(StrEnum):
    """What an invoice is; the value is its code in UNTDID 1001."""

    INVOICE = "380"
    DEPOSIT = "386"
    CANCELLATION = "381"


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    """The workshop or the customer; `country` is two letters of ISO 3166-1, or empty."""

    name: str
    address: tuple[str, ...] = ()
    country: str = ""
    tax_number: str = ""
    email: str = ""

    @property
    def vat_number(self) -> str:
        """Return the number if it is a VAT number: one that begins with its country (BR-CO-09)."""
        plain = re.sub(r"[\s.\-]", "", self.tax_number).upper()
        prefix = GREEK_PREFIX if self.country == GREECE else self.country
        known = bool(prefix) and plain.startswith((prefix, NORTHERN_IRELAND))
        return plain if known and TAX_PREFIX.match(plain) and len(plain) > len("XX") else ""

    @property
    def tax_name(self) -> str:
        """Return what the number is called: of the tax on sales (BT-31), or of taxes (BT-32)."""
        return _("VAT no.") if self.vat_number else _("Tax no.")


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierInvoice:
    """Another invoice that this one names."""

    number: str
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class EInvoice:
    """An invoice in figures. A cancellation's are below zero, as on its paper."""

    kind: BillKind
    number: str
    issued_on: date
    due_on: date
    supplied_on: date | None = None
    seller: Party
    buyer: Party
    lines: tuple[BilledLine, ...]
    totals: Totals
    paid: Amount
    earlier: tuple[EarlierInvoice, ...] = ()
    notes: tuple[str, ...] = ()
    other_reason: str = ""
    """The workshop's own words for a line without tax (NoTax.OTHER)."""
    bank: str = ""
    bic: str = ""

    @property
    def currency(self) -> str:
        """Return the currency of every amount."""
        return self.totals.currency

    @property
    def due(self) -> Amount:
        """Return what is to be paid."""
        return self.totals.gross - self.paid

    @property
    def iban(self) -> str:
        """Return the IBAN in the bank details, if there is a right one."""
        return first_iban(self.bank)

    @property
    def is_to_be_paid(self) -> bool:
        """Return whether it asks for money: then it says to which account."""
        return self.kind is not BillKind.CANCELLATION and self.due.value > 0


def lacking(invoice: EInvoice) -> tuple[str, ...]:
    """Return what the data of an invoice must say by EN 16931 and this one does not.

    References
    ----------
    EN 16931-1: BR-08 to BR-11, BR-CO-26, BR-S-02, BR-E-02, BR-G-02, BR-AE-02 and -03, BR-DEC
    """
    return tuple(lacks(invoice))


def lacks(invoice: EInvoice) -> Iterator[str]:
    """Yield what is lacking."""
    reasons = {each.no_tax for each in invoice.totals.by_rate}
    if not invoice.seller.tax_number:
        yield "the workshop's tax number"
    elif NoTax.EXPORT in reasons and not invoice.seller.vat_number:
        yield "the workshop's VAT number, which begins with its country"
    if not invoice.seller.country:
        yield "the workshop's country"
    if not invoice.buyer.country:
        yield "the customer's country"
    if NoTax.REVERSE_CHARGE in reasons and not invoice.buyer.vat_number:
        yield "the customer's VAT number, which begins with the country"
    if NoTax.OTHER in reasons and not invoice.other_reason.strip():
        yield "why no tax is charged"
    if get_currency_precision(invoice.currency) > MOST_DECIMALS:
        yield f"an amount of at most {MOST_DECIMALS} decimals, which {invoice.currency} has not"


def percent_text(percent: Decimal) -> str:
    """Return a rate as it is written: without idle zeros.

    >>> percent_text(Decimal("20.000")), percent_text(Decimal("5.50"))
    ('20', '5.5')
    """
    return f"{percent.normalize():f}"
