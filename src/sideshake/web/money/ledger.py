"""All invoices together: the sums of each year, and what is still to be paid."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, cast

from django.core.cache import cache
from django.db.models import Count, Max, Sum

from sideshake.web.models import Invoice, Payment
from sideshake.web.money.price_lines import invoice_totals
from sideshake.workshop_rules.money import Amount, rounded

LEDGER = "ledger"


@dataclass(frozen=True, slots=True, kw_only=True)
class YearSums:
    """The invoices of a year in one currency."""

    year: int
    count: int
    net: Amount
    tax: Amount
    gross: Amount


@dataclass(slots=True, kw_only=True)
class Ledger:
    """The sums of the first `count` invoices, up to the row `last`."""

    count: int = 0
    last: int = 0
    years: dict[tuple[int, str], YearSums] = field(default_factory=dict)
    invoiced: dict[str, dict[int, Decimal]] = field(default_factory=lambda: defaultdict(_none))
    """What all invoices of a visit ask for: by currency, then by the visit's key."""

    def add(self, invoice: Invoice) -> None:
        """Add the next invoice."""
        made = invoice_totals(invoice)
        year, currency = invoice.issued_on.year, invoice.currency
        before = self.years.get((year, currency))
        self.years[year, currency] = YearSums(
            year=year,
            count=before.count + 1 if before else 1,
            net=before.net + made.net if before else made.net,
            tax=before.tax + made.tax if before else made.tax,
            gross=before.gross + made.gross if before else made.gross,
        )
        self.invoiced[currency][invoice.visit_id] += made.gross.value
        self.count, self.last = self.count + 1, invoice.pk

    def newest_first(self) -> list[YearSums]:
        """Return the years, the newest first."""
        return [self.years[key] for key in sorted(self.years, key=lambda key: (-key[0], key[1]))]


@dataclass(frozen=True, slots=True, kw_only=True)
class Debts:
    """What is open on invoiced visits."""

    left: dict[int, Decimal]
    """By the visit's key; below zero, the workshop owes it to the owner. Paid ones are not in."""
    owed: tuple[Amount, ...]
    """What owners still have to pay altogether, in each currency."""
    debtors: tuple[int, ...]
    """The keys of the visits on which owners still have to pay."""


def _none() -> dict[int, Decimal]:
    return defaultdict(Decimal)


def ledger() -> Ledger:
    """Return the sums of all invoices.

    An issued invoice never changes and a later one has a higher key, since they are issued one
    after the other: so what was summed up is kept, and only new ones are added.
    """
    book = kept_ledger()
    new = Invoice.objects.filter(pk__gt=book.last).order_by("pk")
    before = book.count
    for invoice in new.iterator():
        book.add(invoice)
    if book.count != before:
        cache.set(LEDGER, book, None)
    return book


def kept_ledger() -> Ledger:
    """Return the sums kept from last time; empty ones when they are of other invoices."""
    book = cast(Ledger, cache.get(LEDGER) or Ledger())
    now: Any = Invoice.objects.filter(pk__lte=book.last).aggregate(n=Count("pk"), last=Max("pk"))
    same = (now["n"], now["last"] or 0) == (book.count, book.last)
    return book if same else Ledger()


def debts(book: Ledger) -> Debts:
    """Return what is open on each invoiced visit, and altogether."""
    rows = Payment.objects.order_by().values_list("visit_id").annotate(paid=Sum("amount"))
    paid = dict(rows)
    left: dict[int, Decimal] = {}
    sums = []
    for currency, asked in book.invoiced.items():
        open_ones = still_open(asked, paid, currency)
        left |= open_ones
        sums.append(owed_of(open_ones.values(), currency))
    owing = tuple(visit for visit, value in left.items() if value > 0)
    return Debts(left=left, owed=tuple(each for each in sums if each.value), debtors=owing)


def still_open(
    asked: dict[int, Decimal], paid: dict[int, Decimal], currency: str
) -> dict[int, Decimal]:
    """Return what was asked less what was paid, where that is not nothing."""
    differences = ((visit, sum_ - paid.get(visit, 0)) for visit, sum_ in asked.items())
    exact = ((visit, rounded(value, currency)) for visit, value in differences if value)
    return {visit: value for visit, value in exact if value}


def owed_of(values: Iterable[Decimal], currency: str) -> Amount:
    """Return the sum of what is above zero."""
    return Amount(sum((value for value in values if value > 0), start=Decimal(0)), currency)
