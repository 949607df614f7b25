"""Rows as JSON lines that any database can take: natural types, keys kept."""

import json
from collections.abc import Iterator
from datetime import date, datetime, time
from decimal import Decimal
from itertools import islice
from typing import Any

from django.apps.registry import Apps, apps
from django.core.exceptions import ValidationError
from django.db import connection, models

from sideshake.core.errors import InputError

NOT_KEPT = frozenset({"signinlink"})
"""Links live for minutes; sessions, which Django keeps elsewhere, are not kept either."""
AT_ONCE = 500

Table = type[models.Model]


def kept_tables(registry: Apps = apps) -> list[Table]:
    """Return the tables of the workshop that a backup keeps, in the order of their names."""
    found = registry.get_app_config("bench").get_models()
    return sorted(
        (each for each in found if each._meta.model_name not in NOT_KEPT),
        key=lambda each: each._meta.label_lower,
    )


def table_named(name: str) -> Table:
    """Return a table of the workshop by the name of its model."""
    return apps.get_model("bench", name)


def columns(table: Table) -> list[Any]:
    """Return the fields that are columns of a table."""
    return list(table._meta.concrete_fields)


def lines(table: Table) -> Iterator[bytes]:
    """Yield each row of a table as a line of JSON, in the order of the keys."""
    names = [field.attname for field in columns(table)]
    for row in table._base_manager.order_by("pk").values(*names).iterator(AT_ONCE):
        # sorted, since PostgreSQL keeps the keys inside a JSON column in an order of its own
        text = json.dumps(
            row, default=written, ensure_ascii=False, separators=(",", ":"), sort_keys=True
        )
        yield text.encode() + b"\n"


def written(value: Any) -> str:
    """Return a date, a time or an amount as text that reads back the same."""
    if isinstance(value, date | datetime | time):
        return value.isoformat()
    if isinstance(value, Decimal):
        return str(value)
    raise TypeError(f"no way to write {value!r}")


def row_of(table: Table, line: bytes) -> models.Model:
    """Return the row that a line holds; a column it does not name has its usual value.

    Raises
    ------
    InputError : the line is no row of this table
    """
    try:
        values = json.loads(line)
    except ValueError as error:
        raise InputError(str(error)[:200]) from None
    return row_from(table, values)


def row_from(table: Table, values: dict[str, Any]) -> models.Model:
    """Return the row that has these values; a column that is not named has its usual value.

    Raises
    ------
    InputError : they are no row of this table
    """
    known = {field.attname: field for field in columns(table)}
    try:
        strange = sorted(set(values) - set(known))
        if strange:
            raise InputError(
                f"it has a column {strange[0]} that this Sideshake does not know; a newer one "
                "wrote it, install that one"
            )
        read = {name: known[name].to_python(value) for name, value in values.items()}
        return table(**read)
    except (ValidationError, TypeError, AttributeError, ArithmeticError) as error:
        raise InputError(f"it holds a row that cannot be read: {str(error)[:120]}") from None
    except ValueError as error:
        raise InputError(str(error)[:200]) from None


def insert(table: Table, rows: Iterator[models.Model]) -> int:
    """Return how many rows were written, with their keys, times and versions as they are."""
    fields = columns(table)
    manager: Any = table._base_manager
    count = 0
    while some := list(islice(rows, AT_ONCE)):
        step = max(connection.ops.bulk_batch_size(fields, some), 1)
        for begin in range(0, len(some), step):
            part = some[begin : begin + step]
            # raw, as Django's own loaddata: automatic times stay what they were
            manager._insert(part, fields=fields, using=connection.alias, raw=True)
        count += len(some)
    return count
