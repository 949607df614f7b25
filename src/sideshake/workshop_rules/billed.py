"""Each line of an invoice with its price before tax, such that the lines add up to the sums.

Article 226 (8) of Directive 2006/112/EC asks for the unit price without tax, and EN 16931 for net
lines whose sum is the taxable amount to the cent (BR-CO-10, BR-S-08). Where the prices contain the
tax, the net sum of a rate is rounded once; so each line gets what the rounded running sum rises by.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from babel.numbers import get_currency_precision

from sideshake.workshop_rules.money import Amount, nothing, rounded
from sideshake.workshop_rules.totals import (
    Kind,
    NoTax,
    PriceTax,
    TaxedLine,
    kind_of,
    kinds_of,
    rate_sum,
)

MOST_PLACES = 10
"""Decimals of a unit price; enough for quantities up to a million."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BilledLine:
    """A line as an invoice states it: before tax and with it."""

    text: str
    quantity: Decimal
    each_net: Decimal
    """The unit price without tax, with as many decimals as make quantity times price `net`."""
    tax_percent: Decimal
    no_tax: NoTax | None
    net: Amount
    gross: Amount
    apart: bool = False

    @property
    def price(self) -> Decimal:
        """Return the unit price without tax as it is stated: never below zero (EN 16931, BR-27)."""
        return abs(self.each_net)

    def counted(self, *, back: bool) -> Decimal:
        """Return the quantity as it is stated: below zero where the line takes something back.

        `back` : whether the whole invoice takes another one back, lines without a price too
        """
        below = self.each_net < 0 or (back and not self.each_net)
        return -self.quantity if below else self.quantity


def billed_lines(
    lines: tuple[TaxedLine, ...], *, currency: str, prices: PriceTax
) -> tuple[BilledLine, ...]:
    """Return the lines before and with tax, in their order.

    Parameters
    ----------
    lines : in the order of the invoice
    currency : of every line
    prices : whether the lines' prices contain the tax

    Returns
    -------
    one for each line; of each rate their net and gross sums are those of `totals`

    Examples
    --------
    >>> one = TaxedLine(text="a clean", each=Amount(Decimal("10.00"), "EUR"), tax_percent=19)
    >>> [str(line.net.value) for line in billed_lines((one, one), currency="EUR",
    ...                                               prices=PriceTax.GROSS)]
    ['8.40', '8.41']
    """
    split: dict[int, tuple[Amount, Amount]] = {}
    for kind in kinds_of(lines):
        places = [at for at, line in enumerate(lines) if kind_of(line) == kind]
        split |= split_of_kind(lines, places, kind, prices=prices, currency=currency)
    return tuple(billed(line, *split[at]) for at, line in enumerate(lines))


def split_of_kind(
    lines: tuple[TaxedLine, ...], places: list[int], kind: Kind, *, prices: PriceTax, currency: str
) -> dict[int, tuple[Amount, Amount]]:
    """Return net and gross of the lines at some places, which share a rate."""
    found: dict[int, tuple[Amount, Amount]] = {}
    running = nothing(currency)
    before = rate_sum(running, kind, prices)
    for at in places:
        line = lines[at]
        if line.apart:
            alone = rate_sum(line.total, kind, prices)
            found[at] = alone.net, alone.gross
            continue
        running += line.total
        after = rate_sum(running, kind, prices)
        found[at] = after.net - before.net, after.gross - before.gross
        before = after
    return found


def billed(line: TaxedLine, net: Amount, gross: Amount) -> BilledLine:
    """Return a line with its sums and its unit price."""
    return BilledLine(
        text=line.text,
        quantity=Decimal(line.quantity),
        each_net=unit_price(net, Decimal(line.quantity)),
        tax_percent=Decimal(line.tax_percent),
        no_tax=line.no_tax,
        net=net,
        gross=gross,
        apart=line.apart,
    )


def unit_price(net: Amount, quantity: Decimal) -> Decimal:
    """Return the price of one, with the fewest decimals that still give the line's sum.

    >>> unit_price(Amount(Decimal("100.00"), "EUR"), Decimal(3))
    Decimal('33.333')
    """
    fewest = get_currency_precision(net.currency)
    exact = net.value / quantity
    for places in range(fewest, MOST_PLACES):
        price = exact.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP) + 0
        if rounded(price * quantity, net.currency) == net.value:
            return price
    return exact.quantize(Decimal(1).scaleb(-MOST_PLACES), rounding=ROUND_HALF_UP)
