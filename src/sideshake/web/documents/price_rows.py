"""Price lines and sums as they stand on a proposal."""

from decimal import Decimal

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from sideshake.documents.proposal import PricedLine
from sideshake.web.documents.bills import tax_words
from sideshake.web.documents.words import written_money
from sideshake.web.money.price_lines import lines_of
from sideshake.workshop_rules.totals import Totals


def priced_lines(rows: list[dict[str, str]], currency: str) -> list[PricedLine]:
    """Return price lines as text."""
    return [
        PricedLine(
            what=capfirst(line.text),
            quantity=f"{Decimal(line.quantity).normalize():f}",
            each=written_money(line.each),
            sum=written_money(line.total),
        )
        for line in lines_of(rows, currency)
    ]


def sum_rows(sums: Totals) -> tuple[tuple[str, str], ...]:
    """Return net, tax by rate and total as rows; the total last."""
    rows = [
        row
        for each in sums.by_rate
        if each.tax.value
        for row in (
            (_("Without tax"), written_money(each.net)),
            (tax_words(each.tax_percent), written_money(each.tax)),
        )
    ]
    return (*rows, (_("Total"), written_money(sums.gross)))
