"""Price lines as they are stored (JSON, numbers as decimal text) and as the shop reckons them."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from sideshake.bench.models import Invoice, Option, Proposal
from sideshake.shop.money import Amount, sum_of
from sideshake.shop.totals import Line, Prices, Totals, totals

KINDS = ("work", "part", "outwork")


def stored_line(kind: str, line: Line) -> dict[str, str]:
    """Return a line as it is stored."""
    return {
        "kind": kind,
        "text": line.text,
        "quantity": str(line.quantity),
        "each": str(line.each.value),
        "tax_percent": str(line.tax_percent),
    }


def line_of(stored: Mapping[str, Any], currency: str) -> Line:
    """Return a stored line as the shop reckons it."""
    return Line(
        text=str(stored["text"]),
        quantity=Decimal(stored["quantity"]),
        each=Amount(Decimal(stored["each"]), currency),
        tax_percent=Decimal(stored.get("tax_percent", "0")),
    )


def lines_of(rows: Iterable[Mapping[str, Any]], currency: str) -> tuple[Line, ...]:
    """Return stored lines as the shop reckons them."""
    return tuple(line_of(row, currency) for row in rows)


def prices_of(document: Proposal | Invoice) -> Prices:
    """Return whether a document's prices contain the tax."""
    return Prices.GROSS if document.prices_hold_tax else Prices.NET


def option_price(option: Option, currency: str) -> Amount:
    """Return what an option costs, as its lines are written."""
    return sum_of(tuple(line.total for line in lines_of(option.lines, currency)), currency)


def invoice_totals(invoice: Invoice) -> Totals:
    """Return the sums of an invoice."""
    lines = lines_of(invoice.lines, invoice.currency)
    return totals(lines, currency=invoice.currency, prices=prices_of(invoice))
