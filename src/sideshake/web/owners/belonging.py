"""Everything that is held on one owner: found by the keys from table to table.

A table that is added later is found too, as long as its keys lead to an owner.
"""

from collections import deque
from collections.abc import Iterator
from typing import Any

from django.db.models import ForeignKey, Q, QuerySet

from sideshake.web.base.putting_aside import touched
from sideshake.web.base.rows import Table, columns, table_named
from sideshake.web.models import Change, Owner, Rehearing, Removed, Visit, Watch
from sideshake.web.storage.tables import told_tables


def rows_on(owner: Owner) -> Iterator[tuple[Table, "QuerySet[Any]"]]:
    """Yield each table that holds something on an owner, with those rows."""
    for table in told_tables():
        rows = rows_in(table, owner)
        if rows is not None:
            yield table, rows.order_by("pk")


def rows_in(table: Table, owner: Owner) -> "QuerySet[Any] | None":
    """Return the rows of a table about an owner; None if the table is about no owner."""
    manager: Any = table._base_manager
    if table is Owner:
        return manager.filter(pk=owner.pk)  # type: ignore[no-any-return]
    if table is Change:
        return changes_on(owner)
    if table is Removed:
        return manager.filter(pk__in=removed_from(owner))  # type: ignore[no-any-return]
    if table is Rehearing:
        own = Q(readings__reading__visit__watch__owner=owner)
        return manager.filter(own).exclude(scope="all").distinct()  # type: ignore[no-any-return]
    way = way_to_owner(table)
    return manager.filter(**{way: owner}) if way else None


def way_to_owner(table: Table) -> str:
    """Return by which keys a table leads to an owner, as Django writes it; empty if it does not.

    >>> from sideshake.web.models import Item, Option
    >>> way_to_owner(Option), way_to_owner(Item)
    ('proposal__visit__watch__owner', '')
    """
    ways: deque[tuple[Table, tuple[str, ...]]] = deque([(table, ())])
    seen = {table}
    while ways:
        here, way = ways.popleft()
        for field in columns(here):
            there = field.related_model
            if not isinstance(field, ForeignKey) or there in seen:
                continue
            if there is Owner:
                return "__".join((*way, field.name))
            seen.add(there)
            ways.append((there, (*way, field.name)))
    return ""


def changes_on(owner: Owner) -> "QuerySet[Change]":
    """Return the history of an owner, of the watches and of their visits."""
    visits = Visit.objects.filter(watch__owner=owner).values("pk")
    watches = Watch.objects.filter(owner=owner).values("pk")
    return Change.objects.filter(
        Q(visit__in=visits) | Q(kind="watch", row__in=watches) | Q(kind="owner", row=owner.pk)
    )


def removed_from(owner: Owner) -> list[int]:
    """Return the keys of what was removed, and can still be taken back, from an owner's records."""
    found = list(Removed.objects.filter(visit__watch__owner=owner).values_list("pk", flat=True))
    for removed in Removed.objects.filter(visit=None):
        if any(leads_to(owner, table, key) for table, key in pointed_at(removed)):
            found.append(removed.pk)
    return found


def pointed_at(removed: Removed) -> Iterator[tuple[Table, int]]:
    """Yield each row, as its table and key, to which something that was removed belongs."""
    for thing in touched(removed):
        table = table_named(thing.table)
        if not thing.whole:
            yield table, thing.row
            continue
        for field in columns(table):
            key = thing.values.get(field.attname)
            if isinstance(field, ForeignKey) and key is not None:
                yield field.related_model, key


def leads_to(owner: Owner, table: Table, key: int) -> bool:
    """Whether a row is this owner's."""
    if table is Owner:
        return key == owner.pk
    way = way_to_owner(table)
    return bool(way) and table._base_manager.filter(pk=key, **{way: owner}).exists()
