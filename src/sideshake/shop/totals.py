"""What is asked for: lines of work and parts, tax by rate, deposit and balance.

Tax is computed once for the sum of each rate and rounded half up, not line by line, so that the
tax shown is the rate of the sum shown. With prices that contain the tax, the net sum is rounded
and the tax is what remains. Which method and which rates are right is for the local rules to say.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from sideshake.errors import InputError
from sideshake.shop.money import Amount, nothing, require_exact, rounded, sum_of

LARGEST_TAX_PERCENT = Decimal(100)


class Prices(StrEnum):
    """Whether the prices of the lines contain the tax."""

    NET = "net"
    GROSS = "gross"


class NoTax(StrEnum):
    """Why a line carries no tax, in the words that go on the paper; check the local rules."""

    SMALL_BUSINESS = "No tax is charged: the workshop is exempt as a small business."
    SECOND_HAND = "Margin scheme: second-hand goods. No tax is shown separately."
    WORKS_OF_ART = "Margin scheme: works of art. No tax is shown separately."
    COLLECTORS_ITEMS = "Margin scheme: collectors' items and antiques. No tax is shown separately."
    EXPORT = "No tax is charged: the goods leave the country, as the papers of the export show."


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line: a text, how many, the price of each, and the tax. A price below 0 is a credit."""

    text: str
    quantity: Decimal | int = 1
    each: Amount
    tax_percent: Decimal | int = 0
    no_tax: NoTax | None = None

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
        return tuple(str(each.no_tax) for each in self.by_rate if each.no_tax)


def totals(lines: tuple[Line, ...], *, currency: str, prices: Prices = Prices.NET) -> Totals:
    """Return the sums of all lines; zero when there are none.

    Raises
    ------
    InputError : a line is in another currency
    """
    kinds = {(Decimal(line.tax_percent), line.no_tax) for line in lines}
    sums = (
        rate_sum(total_of(lines, kind, currency), kind[0], no_tax=kind[1], prices=prices)
        for kind in sorted(kinds, key=lambda kind: (kind[0], kind[1] or ""))
    )
    return Totals(currency=currency, by_rate=tuple(sums))


def total_of(lines: tuple[Line, ...], kind: tuple[Decimal, NoTax | None], currency: str) -> Amount:
    """Return the sum of the lines of one rate and one reason for no tax."""
    same = (line.total for line in lines if (line.tax_percent, line.no_tax) == kind)
    return sum_of(tuple(same), currency)


def rate_sum(summed: Amount, percent: Decimal, *, no_tax: NoTax | None, prices: Prices) -> RateSum:
    """Return the net sum and the tax of one rate, from the sum of its prices."""
    if prices is Prices.NET:
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
