"""Putting aside what is removed, as it is, so that it can be taken back."""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, cast

from django.db import models
from django.db.models.deletion import Collector

from sideshake.web.base.rows import columns, written
from sideshake.web.models import Record, Removed, User

TAKEN_BACK = "aside-"
"""Marks a message about a removal; the key of what was put aside follows."""
Held = dict[str, Any]
"""See `Removed.held`: rows, links, pieces, clock."""


def put_aside(record: Record, by: User | None, held: Held, *, what: str, kind: str = "") -> Removed:
    """Return the row that holds what is taken from, or out of, a record."""
    return Removed.objects.create(
        by=by,
        visit=record.visit_of,
        kind=kind or str(record._meta.model_name),
        what=what[:200],
        held=json.dumps(held, default=written, ensure_ascii=False),
    )


def whole(record: Record, *, links: Sequence[Held] = ()) -> Held:
    """Return a record with all that goes with it, and what points at it, as it stands now.

    `links` are further fields, already emptied, that pointed at it.
    """
    collector = Collector(using=record._state.db or "default", origin=record)
    collector.collect([record])
    gone: list[Any] = [*(each for some in collector.data.values() for each in some)]
    gone += [each for some in collector.fast_deletes for each in some]
    loosened = [
        link(each, field.attname)
        for (field, _value), some in collector.field_updates.items()
        for rows in some
        for each in cast("Iterable[models.Model]", rows)
    ]
    return {"rows": [row(each) for each in gone], "links": [*loosened, *links]}


def row(record: models.Model) -> Held:
    """Return every column of a record."""
    values = {field.attname: getattr(record, field.attname) for field in columns(type(record))}
    return {"table": record._meta.model_name, "row": values}


def link(record: models.Model, field: str) -> Held:
    """Return a field of a record that is about to be emptied, with what it holds."""
    return {
        "table": record._meta.model_name,
        "row": record.pk,
        "field": field,
        "value": getattr(record, field),
    }


def piece(record: models.Model, field: str, place: int) -> Held:
    """Return one entry of a record's list that is about to go, with its place."""
    value = getattr(record, field)[place]
    return {"pieces": [{**link(record, field), "place": place, "value": value}]}


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchedRow:
    """A row that was taken away, or out of which something was taken."""

    table: str
    row: int
    values: dict[str, Any]
    """What of it is put aside."""
    whole: bool


def touched(removed: Removed) -> Iterator[TouchedRow]:
    """Yield each row that a removal has touched, those taken away first."""
    held = removed.things
    for each in held.get("rows", ()):
        values = each["row"]
        yield TouchedRow(table=each["table"], row=values["id"], values=values, whole=True)
    for each in (*held.get("pieces", ()), *held.get("links", ())):
        values = {each["field"]: each["value"]}
        yield TouchedRow(table=each["table"], row=each["row"], values=values, whole=False)
