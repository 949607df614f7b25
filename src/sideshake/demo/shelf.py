"""The written part of the season: TOML files in `data/`, read and turned into values."""

import tomllib
from dataclasses import fields
from datetime import date, timedelta
from importlib.resources import files
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from sideshake.core.errors import InputError
from sideshake.demo.shapes import Item, Owner, Watch, Workshop

DATA = files("sideshake.demo") / "data"
Value = TypeVar("Value", Workshop, Owner, Watch, Item)


def written(name: str) -> dict[str, Any]:
    """Return what a file of the season says, as plain tables."""
    return tomllib.loads((DATA / f"{name}.toml").read_text(encoding="utf-8"))


def rows(name: str, table: str) -> list[dict[str, Any]]:
    """Return the rows of one table of a file."""
    found: list[dict[str, Any]] = written(name)[table]
    return found


def made(kind: type[Value], row: dict[str, Any]) -> Value:
    """Return the row as a value of that kind.

    Raises
    ------
    InputError : a name is unknown or missing, or a value does not belong there
    """
    unknown = row.keys() - {each.name for each in fields(kind)}
    if unknown:
        raise InputError(f"{kind.__name__}: no such line {', '.join(sorted(unknown))} in {row}")
    try:
        return TypeAdapter(kind).validate_python(row)
    except ValidationError as fault:
        raise InputError(f"{kind.__name__}, {row}: {fault}") from None


def the_workshop() -> Workshop:
    """Return the workshop."""
    return made(Workshop, written("workshop"))


def the_owners() -> tuple[Owner, ...]:
    """Return the owners."""
    return tuple(made(Owner, row) for row in rows("owners", "owners"))


def the_watches() -> tuple[Watch, ...]:
    """Return the watches, their stories on one line a paragraph."""
    both = rows("watches", "watches") + rows("watches-2", "watches")
    return tuple(made(Watch, row | {"story": row.get("story", "").strip()}) for row in both)


def the_drawer(today: date) -> tuple[Item, ...]:
    """Return what lies in the drawer; each batch came in so many days before today."""
    return tuple(made(Item, with_dates(row, today)) for row in rows("drawer", "items"))


def with_dates(row: dict[str, Any], today: date) -> dict[str, Any]:
    """Return an item's row whose batches have the day of their coming in for their age."""
    batches = [
        {key: value for key, value in batch.items() if key != "age"}
        | {"received_on": today - timedelta(days=batch["age"])}
        for batch in row["batches"]
    ]
    return row | {"batches": batches}
