"""The lines an invoice begins with: of a deposit, and of the finished work less its deposits."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from sideshake.web.documents.words import written_day
from sideshake.web.models import Invoice, Proposal, Visit
from sideshake.web.money.price_lines import DEPOSIT, invoice_totals, stored_line
from sideshake.web.money.services import agreed_proposal, standing_of
from sideshake.web.owners.speaking import speaking_to_owner
from sideshake.web.proposals.offers import proposal_totals
from sideshake.wording import gettext as _
from sideshake.workshop_rules.money import Amount, rounded
from sideshake.workshop_rules.totals import RateSum, TaxedLine


def lines_to_ask(visit: Visit) -> list[dict[str, Any]]:
    """Return the lines of what was agreed, less deposits; none when an invoice asks for them."""
    agreed = agreed_proposal(visit)
    invoices = standing_of(visit)
    if agreed is None or any(each.kind == "work" for each in invoices):
        return []
    rows = [row for option in agreed.options.filter(chosen=True) for row in option.lines]
    return [*rows, *(row for each in invoices for row in taken_off(each, agreed))]


def taken_off(invoice: Invoice, agreed: Proposal) -> Iterator[dict[str, Any]]:
    """Yield the lines that take a deposit invoice off, one for each rate, with its tax."""
    with speaking_to_owner(invoice.visit):
        words = _("Deposit, invoice {number} of {day}").format(
            number=invoice.number, day=written_day(invoice.issued_on)
        )
    for each in invoice_totals(invoice).by_rate:
        asked = each.gross if agreed.prices_hold_tax else each.net
        yield row_of(words, Amount(-asked.value, asked.currency), each, DEPOSIT)


def deposit_lines(visit: Visit) -> list[dict[str, Any]]:
    """Return the deposit agreed on, shared among the rates as the work is; none when none was.

    The shares are rounded as a running sum, so that they add up to the deposit.
    """
    agreed = agreed_proposal(visit)
    if agreed is None or not agreed.deposit:
        return []
    sums = proposal_totals(agreed, chosen_only=True)
    if sums.gross.value <= 0:
        return []
    day = agreed.answered_on or agreed.made_on
    with speaking_to_owner(visit):
        words = _("Deposit for the work agreed on {day}").format(day=written_day(day))
    rows, reached, asked = [], Decimal(0), Decimal(0)
    for each in sums.by_rate:
        reached += each.gross.value
        upto = rounded(agreed.deposit * reached / sums.gross.value, agreed.currency)
        share, asked = upto - asked, upto
        if not agreed.prices_hold_tax:
            share = rounded(share * 100 / (100 + each.tax_percent), agreed.currency)
        if share:
            rows.append(row_of(words, Amount(share, agreed.currency), each, "work"))
    return rows


def row_of(words: str, asked: Amount, like: RateSum, kind: str) -> dict[str, str]:
    """Return a line of the same rate as a sum."""
    line = TaxedLine(text=words, each=asked, tax_percent=like.tax_percent, no_tax=like.no_tax)
    return stored_line(kind, line)
