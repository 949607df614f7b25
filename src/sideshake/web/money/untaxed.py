"""Lines agreed on with tax in their prices, and invoiced without any tax: at their net price."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from sideshake.web.models import Visit, the_workshop
from sideshake.web.money.line_forms import placed_lines, stored_lines
from sideshake.web.money.price_lines import DEPOSIT, is_margin, lines_of
from sideshake.web.money.services import agreed_proposal
from sideshake.workshop_rules.billed import BilledLine, billed_lines, unit_price
from sideshake.workshop_rules.money import Amount, rounded
from sideshake.workshop_rules.totals import PriceTax, TaxedLine, kind_of, rate_sum


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
    agreed = agreed_proposal(visit)
    if agreed is None or not agreed.prices_hold_tax:
        return stored_lines(lines), ()
    first = lines_of(lines.initial or (), agreed.currency)
    billed = billed_lines(first, currency=agreed.currency, prices=PriceTax.GROSS)
    began = dict(enumerate(zip(first, billed, strict=True)))
    rows: list[dict[str, Any]] = []
    told: list[Untaxed] = []
    for place, row in placed_lines(lines):
        if place in began and lost_its_tax(row, began[place][0], usual):
            made, untaxed = at_net(row, *began[place])
            rows.append(made)
            told.append(untaxed)
        else:
            rows.append(row)
    return rows, tuple(told)


def lost_its_tax(row: Mapping[str, Any], was: TaxedLine, usual: str) -> bool:
    """Return whether a line still has the price that held tax, and carries none.

    Under a margin scheme the price stays: the tax lies in it. So does a deposit taken off, which
    takes back what its own invoice stated.
    """
    if not was.tax_percent or Decimal(row["tax_percent"]) or row["kind"] == DEPOSIT:
        return False
    reason = row.get("no_tax") or usual or the_workshop().no_tax
    return Decimal(row["each"]) == was.each.value and not is_margin(reason)


def at_net(
    row: Mapping[str, Any], was: TaxedLine, billed: BilledLine
) -> tuple[dict[str, Any], Untaxed]:
    """Return a line at its price without the tax that it held, and what that is of the agreed one.

    To the cent it is what was agreed; where no price of one gives that sum, the line is one of all
    of them together.
    """
    quantity = Decimal(row["quantity"])
    asked = was.each.times(quantity)
    same = quantity == was.quantity
    net = billed.net if same else rate_sum(asked, kind_of(was), PriceTax.GROSS).net
    told = Untaxed(text=row["text"], agreed=asked, percent=billed.tax_percent, net=net)
    each = unit_price(net, quantity)
    if each == rounded(each, net.currency):
        return {**row, "each": f"{each:f}"}, told
    text = f"{quantity.normalize():f} × {row['text']}"
    return {**row, "text": text, "quantity": "1", "each": f"{net.value:f}"}, told
