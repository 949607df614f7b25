"""Erasing an owner: all goes but what the law wants kept, and that is said before and after.

Invoices, their papers and payments stay until the years of the workshop's setting are over. Owner,
watches and visits stay as rows without a name or a word, since the invoices hang on them.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.core.cache import cache
from django.db import OperationalError, connection, models, transaction
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.documents.kinds import PaperKind
from sideshake.web.base.holding import hold_visits
from sideshake.web.base.saving import current_row, folded, tell
from sideshake.web.documents.issuing import invoice_given, together
from sideshake.web.models import (
    ENDED,
    Finding,
    Invoice,
    Issued,
    JewelOrder,
    LookOver,
    Measurement,
    Outwork,
    Owner,
    Payment,
    Photograph,
    PlanStep,
    Programme,
    Proposal,
    Reading,
    Record,
    Recording,
    Rehearing,
    Removed,
    Round,
    Used,
    User,
    Visit,
    VisitText,
    Watch,
    the_workshop,
)
from sideshake.web.owners.belonging import changes_on, rows_in
from sideshake.web.readings.heard_rows import PICTURES
from sideshake.web.storage.leaving import let_go
from sideshake.web.storage.stored_files import FOLDERS, LIVE, LOGO, File, files_put_aside

GO: tuple[type[models.Model], ...] = (
    Removed, Rehearing, Reading, Recording, Round, Programme, Finding, LookOver, Measurement,
    Proposal, Photograph, PlanStep, Outwork,
)  # fmt: skip
"""Tables whose rows go, in an order in which nothing hangs on what is gone."""
STAY = {
    Owner: ("since",),
    Watch: ("owner",),
    Visit: ("number", "watch", "step", "step_since", "received_by", "arrived_on", "gone_home_on"),
    Used: ("visit", "batch", "quantity", "on", "by", "old_part"),
}
"""Tables whose rows stay without a name, and the columns that say nothing of anybody."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptByLaw:
    """What the law wants kept of an owner."""

    invoices: tuple[Invoice, ...]
    payments: tuple[Payment, ...]
    until: date | None
    """The last day on which some of it must be kept; None if nothing is."""


def kept_until(day: date, years: int) -> date:
    """Return the last day on which a document of that day is kept: the end of a later year.

    >>> kept_until(date(2026, 3, 2), 10)
    datetime.date(2036, 12, 31)
    """
    return date(day.year + years, 12, 31)


def kept_of(owner: Owner, *, on: date) -> KeptByLaw:
    """Return what is kept: all invoices and payments of a visit as long as the last of them."""
    years = the_workshop().keep_years
    invoices = list(Invoice.objects.filter(visit__watch__owner=owner))
    payments = list(Payment.objects.filter(visit__watch__owner=owner))
    last: dict[int, date] = {}
    for visit, day in [
        *((each.visit_id, each.issued_on) for each in invoices),
        *((each.visit_id, each.on) for each in payments),
    ]:
        last[visit] = max(last.get(visit, day), day)
    ends = {visit: kept_until(day, years) for visit, day in last.items()}
    kept = {visit: end for visit, end in ends.items() if end >= on}
    return KeptByLaw(
        invoices=tuple(each for each in invoices if each.visit_id in kept),
        payments=tuple(each for each in payments if each.visit_id in kept),
        until=max(kept.values(), default=None),
    )


def why_not(owner: Owner) -> str:
    """Return why an owner cannot be erased now; empty if nothing speaks against it."""
    here = Visit.objects.filter(watch__owner=owner).exclude(step__in=ENDED)
    numbers = ", ".join(here.order_by("number").values_list("number", flat=True))
    if not numbers:
        return ""
    return _(
        "a watch of this owner is still here (%(numbers)s): it must go home, or the visit be "
        "declined, before its owner can be erased"
    ) % {"numbers": numbers}


def elsewhere(owner: Owner) -> list[str]:
    """Return the numbers of visits of other owners in whose texts this owner's name stands."""
    rows = VisitText.objects.exclude(visit__watch__owner=owner)
    rows = rows.filter(folded__contains=folded(owner.name))
    return list(rows.order_by("visit__number").values_list("visit__number", flat=True)[:20])


@together()
def erase(owner: Owner, by: User, *, seen: int, on: date) -> KeptByLaw:
    """Return what is kept of an owner after all else is gone.

    Raises
    ------
    Overtaken : somebody has changed the owner since
    InputError : a watch is still here
    """
    hold_visits(keys(rows_of(Visit, owner)))
    current_row(owner, seen)
    if found := why_not(owner):
        raise InputError(found)
    kept = kept_of(owner, on=on)
    for invoice in kept.invoices:
        invoice_given(invoice, by)  # its paper, which holds the address, must be there first
    files = [*files_of(owner), *drawings_of(owner)]
    give_orders_to_others(owner)
    drop_rows(owner, kept)
    for table, stays in STAY.items():
        for row in rows_of(table, owner):
            make_nameless(row, stays)
    forget_history(owner, kept)
    Owner.objects.filter(pk=owner.pk).update(erased_on=on)
    texts = {"folded": "", "unpriced": ""}
    VisitText.objects.filter(visit__watch__owner=owner).update(**texts)
    owner.refresh_from_db()
    tell(owner, by, _("erased; what the law wants kept stays"), {})
    let_go(files)
    transaction.on_commit(cache.clear)
    return kept


def rows_of(table: type[models.Model], owner: Owner) -> "QuerySet[Any]":
    """Return the rows of a table that is about owners."""
    found = rows_in(table, owner)
    assert found is not None
    return found


def keys(rows: "QuerySet[Any]") -> list[int]:
    """Return the keys of rows."""
    return list(rows.values_list("pk", flat=True))


def give_orders_to_others(owner: Owner) -> None:
    """File the papers of jewel orders that others have wishes in under one of their visits.

    Such a paper is filed under the visit of the order's first wish, and may be this owner's.
    """
    for paper in rows_of(Issued, owner).filter(kind=PaperKind.JEWEL_ORDER.value):
        order = JewelOrder.objects.filter(number=paper.of).first()
        others = Outwork.objects.filter(order=order).exclude(visit__watch__owner=owner)
        other = others.order_by("pk").first() if order else None
        if other is not None:
            paper.visit_id, paper.to = other.visit_id, ""  # it was this owner's address
            paper.version += 1
            paper.save()


def drop_rows(owner: Owner, kept: KeptByLaw) -> None:
    """Delete the rows that go, the invoices and papers among them whose time is over."""
    for table in GO:
        delete(table, keys(rows_of(table, owner)))
    papers = rows_of(Issued, owner).exclude(kept_papers(kept))
    delete(Issued, keys(papers))
    delete(Payment, keys(rows_of(Payment, owner).exclude(pk__in=pks(kept.payments))))
    over = rows_of(Invoice, owner).exclude(pk__in=pks(kept.invoices))
    delete(Invoice, keys(over.exclude(cancels=None)))
    delete(Invoice, keys(over))


def delete(table: type[Any], found: list[int]) -> None:
    """Delete rows by their keys, with what hangs on them."""
    table._default_manager.filter(pk__in=found).delete()


def pks(rows: Iterable[models.Model]) -> list[int]:
    """Return the keys of rows that were fetched."""
    return [row.pk for row in rows]


def kept_papers(kept: KeptByLaw) -> Q:
    """Return which issued papers are kept: those of the invoices that are."""
    return Q(kind=PaperKind.INVOICE.value, of__in=[each.number for each in kept.invoices])


def make_nameless(row: Record, stays: tuple[str, ...]) -> None:
    """Empty every column of a row but those that stay; a name becomes the row's number."""
    for field in row._meta.concrete_fields:
        if not field.primary_key and field.name not in (*stays, "version"):
            setattr(row, field.attname, None if field.null else field.get_default())
    if isinstance(row, Owner):
        row.name = _("erased owner %(number)d") % {"number": row.pk}
    if isinstance(row, Watch):
        row.title = _("erased watch %(number)d") % {"number": row.pk}
    row.version += 1
    row.save()


def forget_history(owner: Owner, kept: KeptByLaw) -> None:
    """Empty the history of an owner, but of the money that is kept: who and when stays."""
    papers = keys(rows_of(Issued, owner))
    money = (
        Q(kind="invoice", row__in=pks(kept.invoices))
        | Q(kind="payment", row__in=pks(kept.payments))
        | Q(kind="issued", row__in=papers)
    )
    changes_on(owner).exclude(money).update(what=_("erased"), fields={})


def files_of(owner: Owner) -> Iterator[File]:
    """Yield the files that go, unless somebody else has the very same one."""
    for folder, (table, field) in FOLDERS.items():
        if folder not in (LIVE, LOGO):
            for name in rows_of(table, owner).values_list(field, flat=True):
                yield folder, name
    yield from files_put_aside(rows_of(Removed, owner))


def drawings_of(owner: Owner) -> Iterator[File]:
    """Yield the drawings and live sound that go; what was drawn of several readings goes whole."""
    for key in keys(rows_of(Reading, owner)):
        yield from ((folder, f"{key}-*") for folder in (PICTURES, LIVE))
    yield from ((PICTURES, f"{kind}-*") for kind in ("compared", "round", "rings"))


def scrub() -> bool:
    """Return whether the database file holds no remains of what was deleted.

    SQLite only marks deleted rows as free; VACUUM writes the file anew, and the checkpoint empties
    the log beside it. PostgreSQL does the same by itself after a while (its own VACUUM).
    """
    if connection.vendor != "sqlite":
        return True
    try:
        with connection.cursor() as cursor:
            cursor.execute("VACUUM")
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            busy = cursor.fetchone()[0]
        return not busy
    except OperationalError:  # somebody is reading or writing just now
        return False
