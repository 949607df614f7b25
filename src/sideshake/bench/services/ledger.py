"""All invoices together: the sums of each year, and what is still to be paid."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, cast

from django.core.cache import cache
from django.db.models import Count, Max, Sum

from sideshake.bench.models import Invoice, Payment
from sideshake.bench.price_lines import invoice_totals
from sideshake.shop.money import Amount, nothing, rounded, sum_of


@dataclass(frozen=True, slots=True, kw_only=True)
class YearSums:
    """The invoices of a year in one currency."""

    year: int
    count: int
    net: Amount
    tax: Amount
    gross: Amount


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """The sums of all invoices."""

    years: tuple[YearSums, ...]
    """The newest first."""
    invoiced: dict[int, Amount]
    """What all invoices of a visit ask for, by the visit's key."""


def ledger() -> Ledger:
    """Return the sums of all invoices.

    An issued invoice never changes, so they are reckoned anew only when one was added.
    """
    marks = Invoice.objects.aggregate(count=Count("pk"), last=Max("pk"))
    key = f"ledger-{marks['count']}-{marks['last']}"
    found: Any = cache.get(key)
    if found is None:
        found = reckoned(list(Invoice.objects.order_by("-issued_on", "-pk")))
        cache.set(key, found, None)
    return cast(Ledger, found)


def reckoned(invoices: list[Invoice]) -> Ledger:
    """Return the sums of these invoices."""
    years: dict[tuple[int, str], list[Invoice]] = defaultdict(list)
    visits: dict[int, Amount] = {}
    for invoice in invoices:
        years[invoice.issued_on.year, invoice.currency].append(invoice)
        before = visits.get(invoice.visit_id, nothing(invoice.currency))
        visits[invoice.visit_id] = before + invoice_totals(invoice).gross
    sums = (year_sums(year, currency, made) for (year, currency), made in years.items())
    return Ledger(years=tuple(sums), invoiced=visits)


def year_sums(year: int, currency: str, invoices: list[Invoice]) -> YearSums:
    """Return the sums of a year's invoices in one currency."""
    made = [invoice_totals(invoice) for invoice in invoices]
    return YearSums(
        year=year,
        count=len(invoices),
        net=sum_of(tuple(each.net for each in made), currency),
        tax=sum_of(tuple(each.tax for each in made), currency),
        gross=sum_of(tuple(each.gross for each in made), currency),
    )


def balances(book: Ledger) -> dict[int, Amount]:
    """Return what is open on each invoiced visit, by its key; below zero, the owner is owed."""
    paid = dict(payments())
    return {
        visit: asked - Amount(rounded(paid.get(visit, Decimal(0)), asked.currency), asked.currency)
        for visit, asked in book.invoiced.items()
    }


def payments() -> Iterator[tuple[int, Decimal]]:
    """Yield what was paid on each visit, by its key."""
    rows = Payment.objects.order_by().values("visit_id").annotate(paid=Sum("amount"))
    for row in rows:
        yield row["visit_id"], Decimal(row["paid"])


def owed(open_on: dict[int, Amount]) -> tuple[Amount, ...]:
    """Return what owners still have to pay altogether, in each currency."""
    currencies = sorted({each.currency for each in open_on.values()})
    sums = (
        sum_of(tuple(a for a in open_on.values() if a.value > 0 and a.currency == each), each)
        for each in currencies
    )
    return tuple(each for each in sums if each.value)
