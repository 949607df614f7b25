"""Price lines as they are stored (JSON, numbers as decimal text) and as the rules reckon them."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from sideshake.web.models import Invoice, Option, Proposal
from sideshake.workshop_rules.money import Amount, sum_of
from sideshake.workshop_rules.totals import NoTax, PriceTax, TaxedLine, Totals, totals

KINDS = ("work", "part", "outwork")
DEPOSIT = "deposit"
"""The kind of a line that takes off what a deposit invoice asked for."""


def stored_line(kind: str, line: TaxedLine) -> dict[str, str]:
    """Return a line as it is stored."""
    row = {
        "kind": kind,
        "text": line.text,
        "quantity": f"{line.quantity:f}",
        "each": f"{line.each.value:f}",
        "tax_percent": f"{line.tax_percent:f}",
    }
    return {**row, "no_tax": line.no_tax.value} if line.no_tax else row


def line_of(stored: Mapping[str, Any], currency: str) -> TaxedLine:
    """Return a stored line as the rules reckon it."""
    return TaxedLine(
        text=str(stored["text"]),
        quantity=Decimal(stored["quantity"]),
        each=Amount(Decimal(stored["each"]), currency),
        tax_percent=Decimal(stored.get("tax_percent", "0")),
        no_tax=NoTax(stored["no_tax"]) if stored.get("no_tax") else None,
        apart=stored.get("kind") == DEPOSIT,
    )


def lines_of(rows: Iterable[Mapping[str, Any]], currency: str) -> tuple[TaxedLine, ...]:
    """Return stored lines as the rules reckon them."""
    return tuple(line_of(row, currency) for row in rows)


def prices_of(document: Proposal | Invoice) -> PriceTax:
    """Return whether a document's prices contain the tax."""
    return PriceTax.GROSS if document.prices_hold_tax else PriceTax.NET


def option_price(option: Option, currency: str) -> Amount:
    """Return what an option costs, as its lines are written."""
    return sum_of(tuple(line.total for line in lines_of(option.lines, currency)), currency)


def invoice_totals(invoice: Invoice) -> Totals:
    """Return the sums of an invoice."""
    lines = lines_of_invoice(invoice)
    return totals(lines, currency=invoice.currency, prices=prices_of(invoice))


def lines_of_invoice(invoice: Invoice) -> tuple[TaxedLine, ...]:
    """Return an invoice's lines; one without tax and reason has the invoice's own wording."""
    lines = lines_of(invoice.lines, invoice.currency)
    if not invoice.tax_wording:
        return lines
    return tuple(
        line if line.tax_percent or line.no_tax else replace(line, no_tax=NoTax.OTHER)
        for line in lines
    )


def is_margin(reason: str) -> bool:
    """Return whether a line's reason for no tax, empty for none, is a margin scheme."""
    return bool(reason) and NoTax(reason).is_margin


def with_usual(rows: Iterable[dict[str, Any]], usual: str) -> list[dict[str, Any]]:
    """Return lines, those with 0 % and no reason of their own with the usual one, if there is."""
    return [
        {**row, "no_tax": usual}
        if usual and not Decimal(row["tax_percent"]) and not row.get("no_tax")
        else row
        for row in rows
    ]
