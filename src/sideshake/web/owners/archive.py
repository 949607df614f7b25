"""Everything held on one owner, given out as one file: to be read, and for other programs."""

import io
import json
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Any

from django.apps import apps
from django.conf import settings
from django.db import models
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from sideshake.core.version import PROGRAM
from sideshake.storage.archive import add
from sideshake.web.base.rows import Table
from sideshake.web.base.saving import label
from sideshake.web.models import Change, Owner, Removed, Visit, Watch, the_workshop
from sideshake.web.owners.belonging import rows_on
from sideshake.web.storage.backup import add_file
from sideshake.web.storage.snapshot import one_moment
from sideshake.web.storage.stored_files import files_put_aside, folder_of
from sideshake.web.storage.tables import plain, told_columns, write_sheet
from sideshake.web.visits.value_words import exact_fields, in_words

SCHEMA = "sideshake.owner"
VERSION = 1
PAGE, JSON_NAME = "read-me.html", "records.json"
UNREAD = ("id", "version", "stored", "sha256", "bytes")
"""Columns that say nothing to a reader; the other files hold them."""


@dataclass(slots=True)
class ArchivedRow:
    """A row as it is read: what it is called, each filled field, and its file."""

    name: str
    facts: list[tuple[str, str]]
    file: str = ""
    """Where it lies in the archive; empty: it has none."""
    gone: bool = False


@dataclass(slots=True)
class ArchivedTable:
    """The rows of one table, as they are read."""

    title: str
    folder: str = ""
    rows: list[ArchivedRow] = field(default_factory=list)


def write_archive(owner: Owner, file: IO[bytes]) -> None:
    """Write a ZIP file with all that is held on an owner."""
    with zipfile.ZipFile(file, "w") as archive:
        with one_moment():
            tables = {table: list(rows) for table, rows in rows_on(owner)}
        for table, rows in tables.items():
            text = csv_text(table, rows)
            add(archive, f"tables/{table._meta.model_name}.csv", [text], packed=True)
        add(archive, JSON_NAME, [json_text(tables)], packed=True)
        names = {name for rows in tables.values() for row in rows for name in files_of(row)}
        gone = {
            name
            for name in sorted(names)
            if add_file(archive, Path(settings.FILES) / name, name) is None
        }
        rooms = [
            room_of(table, tables[table], gone)
            for table in sorted(tables, key=rank)
            if tables[table]
        ]
        add(archive, PAGE, [page(owner, rooms)], packed=True)


def files_of(row: Any) -> list[str]:
    """Return where the files of a row lie, here and in the archive: its own, or those put aside."""
    if isinstance(row, Removed):
        return [f"{folder}/{name}" for folder, name in files_put_aside([row])]
    folder = folder_of(type(row))
    return [f"{folder}/{Path(row.stored).name}"] if folder else []


def csv_text(table: Table, rows: list[models.Model]) -> bytes:
    """Return rows as CSV, as `sideshake export` writes them."""
    text = io.StringIO(newline="")
    write_sheet(text, table, (values_of(table, row) for row in rows))
    return text.getvalue().encode("utf-8-sig")


def values_of(table: Table, row: models.Model) -> dict[str, Any]:
    """Return the columns of a row that are given out."""
    return {name: getattr(row, name) for name in told_columns(table)}


def json_text(tables: dict[Table, list[models.Model]]) -> bytes:
    """Return all rows as one JSON."""
    found = {
        str(table._meta.model_name): [values_of(table, row) for row in rows]
        for table, rows in tables.items()
    }
    head = {"schema": SCHEMA, "version": VERSION, "program": PROGRAM, "made_at": datetime.now(UTC)}
    return json.dumps({**head, "tables": found}, default=plain, ensure_ascii=False).encode()


def rank(table: Table) -> tuple[int, str]:
    """Return where a table stands on the page: the owner first, the history last."""
    place = {Owner: 0, Watch: 1, Visit: 2, Change: 4}.get(table, 3)
    return place, str(table._meta.model_name)


def room_of(table: Table, rows: list[models.Model], gone: set[str]) -> ArchivedTable:
    """Return the rows of a table as they are read; of some files only the name is known still."""
    return ArchivedTable(
        title=str(table._meta.verbose_name_plural),
        folder=folder_of(table),
        rows=[told_row(row, gone) for row in rows],
    )


def told_row(row: Any, gone: set[str]) -> ArchivedRow:
    """Return a row as it is read, with its file."""
    file = next(iter(files_of(row)), "")
    if isinstance(row, Change):
        return ArchivedRow(name=row.what, facts=list(changed(row)))
    return ArchivedRow(name=str(row), facts=list(facts(row)), file=file, gone=file in gone)


def changed(change: Change) -> Iterator[tuple[str, str]]:
    """Yield when something was changed, and each field from what to what."""
    record = apps.get_model("bench", change.kind)()
    yield _("when"), in_words(change.at)
    decimal = exact_fields(type(record))
    for name, values in change.fields.items():
        told = [in_words(each, exact=name in decimal) for each in values]
        yield label(record, name), " → ".join(told)


def facts(row: Any) -> Iterator[tuple[str, str]]:
    """Yield what each filled field is called, and what it says."""
    for column in row._meta.concrete_fields:
        value = getattr(row, column.attname)
        if column.name in UNREAD or column.remote_field or value in (None, "", [], {}):
            continue
        shown = getattr(row, f"get_{column.name}_display", None)
        yield label(row, column.attname), str(shown() if shown else in_words(value))


def page(owner: Owner, rooms: list[ArchivedTable]) -> bytes:
    """Return the page that is read."""
    shown = {"owner": owner, "rooms": rooms, "shop": the_workshop(), "made_at": datetime.now(UTC)}
    return render_to_string("owners/archive.html", shown).encode()
