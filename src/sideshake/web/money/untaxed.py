"""Lines agreed on with tax in their prices, and invoiced without any tax: at their net price."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from sideshake.web.models import Visit, the_workshop
from sideshake.web.money.price_lines import DEPOSIT, lines_of
from sideshake.web.money.services import agreed_proposal
from sideshake.workshop_rules.billed import BilledLine, billed_lines
from sideshake.workshop_rules.money import Amount, rounded
from sideshake.workshop_rules.totals import NoTax, PriceTax


@dataclass(frozen=True, slots=True, kw_only=True)
class Untaxed:
    """A line whose agreed price held tax, and what is left of it without."""

    text: str
    agreed: Amount
    percent: Decimal
    net: Amount


def billed_rows(
    visit: Visit, lines: Any, usual: str
) -> tuple[list[dict[str, Any]], tuple[Untaxed, ...]]:
    """Return an invoice's lines, the agreed ones that carry no tax any more at their net price.

    Parameters
    ----------
    visit : whose agreement the lines begin with
    lines : the forms of the lines, each with what it began with
    usual : the reason for 0 % of lines that name none; empty where there is none

    Returns
    -------
    the lines as they are stored, and what was made of those whose price held tax
    """
    typed = [
        (place, row)
        for place, form in enumerate(lines)
        if form.cleaned_data and (row := form.line(form.cleaned_data)) is not None
    ]
    agreed = agreed_proposal(visit)
    if agreed is None or not agreed.prices_hold_tax:
        return [row for _place, row in typed], ()
    first = lines_of(lines.initial or (), agreed.currency)
    billed = billed_lines(first, currency=agreed.currency, prices=PriceTax.GROSS)
    rows: list[dict[str, Any]] = []
    told: list[Untaxed] = []
    for place, row in typed:
        was = billed[place] if place < len(billed) else None
        price = first[place].each if was else None
        if was is None or price is None or not lost_its_tax(row, was, price.value, usual):
            rows.append(row)
            continue
        made = at_net(row, was, price)
        rows.append(made)
        net = lines_of([made], agreed.currency)[0].total
        asked = price.times(Decimal(row["quantity"]))
        told.append(Untaxed(text=row["text"], agreed=asked, percent=was.tax_percent, net=net))
    return rows, tuple(told)


def lost_its_tax(row: Mapping[str, Any], was: BilledLine, price: Decimal, usual: str) -> bool:
    """Return whether a line still has the price that held tax, and carries none.

    Under a margin scheme the price stays: the tax lies in it. So does a deposit taken off, which
    takes back what its own invoice stated.
    """
    if not was.tax_percent or Decimal(row["tax_percent"]) or row["kind"] == DEPOSIT:
        return False
    reason = row.get("no_tax") or usual or the_workshop().no_tax
    margin = bool(reason) and NoTax(reason).is_margin
    return Decimal(row["each"]) == price and not margin


def at_net(row: Mapping[str, Any], was: BilledLine, price: Amount) -> dict[str, Any]:
    """Return a line at its price without the tax that it held; to the cent what was agreed.

    Where no price of one gives that sum, the line is one of all of them together.
    """
    quantity = Decimal(row["quantity"])
    net = was.net.value
    if quantity != was.quantity:
        asked = price.times(quantity).value * 100 / (100 + was.tax_percent)
        net = rounded(asked, price.currency)
    each = rounded(net / quantity, price.currency)
    if rounded(each * quantity, price.currency) == net:
        return {**row, "each": f"{each:f}"}
    text = f"{quantity.normalize():f} × {row['text']}"
    return {**row, "text": text, "quantity": "1", "each": f"{net:f}"}
