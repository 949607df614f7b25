"""Price lines and sums as they stand on a proposal."""

from decimal import Decimal

from django.utils.text import capfirst

from sideshake.documents.proposal import PricedLine
from sideshake.web.documents.bills import tax_words
from sideshake.web.documents.words import price_words, written_money
from sideshake.web.money.price_lines import lines_of
from sideshake.wording import gettext as _
from sideshake.workshop_rules.totals import Totals


def priced_lines(
    rows: list[dict[str, str]], currency: str, *, sent: bool = False
) -> list[PricedLine]:
    """Return price lines as text; in a sent proposal what costs nothing is in the other prices.

    A proposal with a part at 0 is sent only when somebody said that it costs nothing.
    """
    lines = lines_of(rows, currency)
    within = sent and any(line.total.value > 0 for line in lines)
    return [
        PricedLine(
            what=capfirst(line.text),
            quantity=f"{Decimal(line.quantity).normalize():f}",
            each=price_words(line.each, within=within),
            sum=price_words(line.total, within=within),
        )
        for line in lines
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
