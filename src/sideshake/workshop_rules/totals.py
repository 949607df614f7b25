"""What is asked for: lines of work and parts, tax by rate, deposit and balance.

Tax is computed once for the sum of each rate and rounded half up, not line by line, so that the
tax shown is the rate of the sum shown. With prices that contain the tax, the net sum is rounded
and the tax is what remains. A line `apart` takes back what another invoice stated, so it is
reckoned by itself, as that invoice did. Which method and which rates are right is for the local
rules to say.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from sideshake.core.errors import InputError
from sideshake.wording import gettext, noop
from sideshake.workshop_rules.money import Amount, nothing, require_exact, rounded, sum_of

LARGEST_TAX_PERCENT = Decimal(100)


class PriceTax(StrEnum):
    """Whether the prices of the lines contain the tax."""

    NET = "net"
    GROSS = "gross"


class NoTax(StrEnum):
    """Why a line carries no tax; `words` go on the paper. Check the local rules."""

    SMALL_BUSINESS = "small-business"
    SECOND_HAND = "second-hand"
    WORKS_OF_ART = "works-of-art"
    COLLECTORS_ITEMS = "collectors-items"
    EXPORT = "export"
    REVERSE_CHARGE = "reverse-charge"
    OTHER = "other"
    """For a reason that the workshop words itself."""

    @property
    def words(self) -> str:
        """Return the sentence that must stand on the invoice; empty where the workshop words it.

        References
        ----------
        Directive 2006/112/EC, Article 226 (11), (11a) and (14): the reason, and in the very words
        "Reverse charge" and "Margin scheme — Second-hand goods" and its like
        """
        return gettext(NO_TAX_WORDS[self])

    @property
    def short(self) -> str:
        """Return the reason in a word or two, as it stands beside 0 %."""
        return gettext(NO_TAX_SHORT[self])

    @property
    def is_margin(self) -> bool:
        """Return whether the tax lies in the margin and may not be shown.

        References
        ----------
        Directive 2006/112/EC, Article 325
        """
        return self in (NoTax.SECOND_HAND, NoTax.WORKS_OF_ART, NoTax.COLLECTORS_ITEMS)


NO_TAX_WORDS = {
    NoTax.SMALL_BUSINESS: noop("No tax is charged: the workshop is exempt as a small business."),
    NoTax.SECOND_HAND: noop("Margin scheme — Second-hand goods. No tax is shown separately."),
    NoTax.WORKS_OF_ART: noop("Margin scheme — Works of art. No tax is shown separately."),
    NoTax.COLLECTORS_ITEMS: noop(
        "Margin scheme — Collector's items and antiques. No tax is shown separately."
    ),
    NoTax.EXPORT: noop(
        "No tax is charged: the goods leave the country, as the papers of the export show."
    ),
    NoTax.REVERSE_CHARGE: noop("Reverse charge: the customer owes the tax."),
    NoTax.OTHER: "",
}
NO_TAX_SHORT = {
    NoTax.SMALL_BUSINESS: noop("small business"),
    NoTax.SECOND_HAND: noop("margin scheme"),
    NoTax.WORKS_OF_ART: noop("margin scheme, art"),
    NoTax.COLLECTORS_ITEMS: noop("margin scheme, antiques"),
    NoTax.EXPORT: noop("export"),
    NoTax.REVERSE_CHARGE: noop("reverse charge"),
    NoTax.OTHER: noop("exempt"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxedLine:
    """One line: a text, how many, the price of each, and the tax. A price below 0 is a credit."""

    text: str
    quantity: Decimal | int = 1
    each: Amount
    tax_percent: Decimal | int = 0
    no_tax: NoTax | None = None
    apart: bool = False

    def __post_init__(self) -> None:
        if not self.text.strip():
            raise InputError("a line needs a text that says what it is for")
        require_exact("quantity", self.quantity)
        require_exact("tax_percent", self.tax_percent)
        if self.quantity <= 0:
            raise InputError(f"a quantity is above 0, got {self.quantity}")
        if not 0 <= self.tax_percent <= LARGEST_TAX_PERCENT:
            raise InputError(f"a tax is between 0 and 100 per cent, got {self.tax_percent}")
        if self.no_tax and self.tax_percent:
            raise InputError(
                f"a line without tax has a rate of 0, got {self.tax_percent}: {self.no_tax}"
            )

    @property
    def total(self) -> Amount:
        """Return quantity times price, rounded half up."""
        return self.each.times(self.quantity)


@dataclass(frozen=True, slots=True, kw_only=True)
class RateSum:
    """All lines of one tax rate together."""

    tax_percent: Decimal
    no_tax: NoTax | None
    net: Amount
    tax: Amount

    @property
    def gross(self) -> Amount:
        """Return net and tax together."""
        return self.net + self.tax


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """The sums at the foot of a proposal or an invoice."""

    currency: str
    by_rate: tuple[RateSum, ...]

    def __post_init__(self) -> None:
        nothing(self.currency)  # refuses an unknown currency even where there are no lines

    @property
    def net(self) -> Amount:
        """Return the sum without tax."""
        return sum_of(tuple(each.net for each in self.by_rate), self.currency)

    @property
    def tax(self) -> Amount:
        """Return all tax."""
        return sum_of(tuple(each.tax for each in self.by_rate), self.currency)

    @property
    def gross(self) -> Amount:
        """Return the sum to pay."""
        return self.net + self.tax

    @property
    def wordings(self) -> tuple[str, ...]:
        """Return the sentences that must stand below the sums, each once."""
        return tuple(
            each.no_tax.words for each in self.by_rate if each.no_tax and each.no_tax.words
        )


Kind = tuple[Decimal, NoTax | None]
"""What is summed together: the rate, and why there is none."""


def kind_of(line: TaxedLine) -> Kind:
    """Return the rate of a line and its reason for none."""
    return Decimal(line.tax_percent), line.no_tax


def kinds_of(lines: tuple[TaxedLine, ...]) -> list[Kind]:
    """Return the rates there are, the lowest first."""
    return sorted({kind_of(line) for line in lines}, key=lambda kind: (kind[0], kind[1] or ""))


def totals(
    lines: tuple[TaxedLine, ...], *, currency: str, prices: PriceTax = PriceTax.NET
) -> Totals:
    """Return the sums of all lines; zero when there are none.

    Raises
    ------
    InputError : a line is in another currency
    """
    sums = (sum_of_kind(lines, kind, currency, prices) for kind in kinds_of(lines))
    return Totals(currency=currency, by_rate=tuple(sums))


def sum_of_kind(
    lines: tuple[TaxedLine, ...], kind: Kind, currency: str, prices: PriceTax
) -> RateSum:
    """Return the sums of the lines of one rate and one reason for no tax."""
    same = [line for line in lines if kind_of(line) == kind]
    together = tuple(line.total for line in same if not line.apart)
    summed = rate_sum(sum_of(together, currency), kind, prices)
    for line in same:
        if line.apart:
            summed = added(summed, rate_sum(line.total, kind, prices))
    return summed


def added(one: RateSum, other: RateSum) -> RateSum:
    """Return two sums of the same rate together."""
    return RateSum(
        tax_percent=one.tax_percent,
        no_tax=one.no_tax,
        net=one.net + other.net,
        tax=one.tax + other.tax,
    )


def rate_sum(summed: Amount, kind: Kind, prices: PriceTax) -> RateSum:
    """Return the net sum and the tax of one rate, from the sum of its prices."""
    percent, no_tax = kind
    if prices is PriceTax.NET:
        return RateSum(tax_percent=percent, no_tax=no_tax, net=summed, tax=summed.share(percent))
    exact = summed.value * 100 / (100 + percent)
    net = Amount(rounded(exact, summed.currency), summed.currency)
    return RateSum(tax_percent=percent, no_tax=no_tax, net=net, tax=summed - net)


def deposit(
    gross: Amount, *, percent: Decimal | int | None = None, fixed: Amount | None = None
) -> Amount:
    """Return the deposit asked for: a share of the sum to pay, or a fixed amount.

    Raises
    ------
    InputError : neither or both are given, or it is below 0 or above the sum to pay
    """
    if (percent is None) == (fixed is None):
        raise InputError("a deposit is either a percentage or an amount: give one of them")
    if fixed is None:
        fixed = gross.share(percent or 0)
    left = gross - fixed
    if fixed.value < 0 or left.value < 0:
        raise InputError(
            f"a deposit lies between 0 and the sum to pay, {gross.value} {gross.currency}; "
            f"got {fixed.value}"
        )
    return fixed


def balance(gross: Amount, paid: tuple[Amount, ...]) -> Amount:
    """Return what is still to pay; below 0, the workshop owes it to the owner."""
    return gross - sum_of(paid, gross.currency)
