"""Rows held until a transaction ends, always in one order, so that no two people block each other.

First the workshop's row, then visits by their key, then any other row, last the words of a search.
Two transactions that take what they need in the same order wait, but never for each other.
Held rows may still be pointed at by new ones: a photograph is added while its visit is edited.
"""

from collections.abc import Iterable
from typing import TypeVar

from django.db import connection, models
from django.db.models import QuerySet

from sideshake.web.models import Visit, Workshop

Row = TypeVar("Row", bound=models.Model)


def held(rows: "QuerySet[Row]") -> "QuerySet[Row]":
    """Return rows that are held when they are read; on SQLite a transaction holds everything."""
    return rows.select_for_update(no_key=True, of=("self",))


def hold_visits(keys: Iterable[int]) -> None:
    """Hold visits, before anything that belongs to them."""
    if connection.features.has_select_for_update:
        wanted = Visit.objects.filter(pk__in=set(keys)).order_by("pk").only("pk")
        list(held(wanted))


def hold_workshop() -> Workshop:
    """Return the workshop's row, held: what is numbered is numbered one after the other."""
    found = held(Workshop.objects.all()).first()
    return found or Workshop.objects.create()  # a row made in a transaction taken back is gone
