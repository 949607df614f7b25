"""Records as tables for other programs: CSV per table, and one JSON. docs/export.md tells each."""

import csv
import json
import shutil
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import IO, Any

from django.conf import settings

from sideshake.core.errors import InputError
from sideshake.core.version import PROGRAM
from sideshake.web.base.characters import guarded
from sideshake.web.base.rows import AT_ONCE, Table, columns, kept_tables
from sideshake.web.models import Issued
from sideshake.web.storage.snapshot import one_moment

SCHEMA = "sideshake.export"
VERSION = 1
JSON_NAME = "workshop.json"
PAPERS = "papers"
"""The folder of the issued papers, here and among the workshop's files."""
NOT_TOLD = {"user": frozenset({"password", "is_superuser", "is_staff"})}
NO_TABLES = frozenset({"visittext", "takingin", "takenin", "leaving"})
"""The words for searching say nothing that the records do not; an import under way is no record,
nor are the names of files that are about to be deleted."""


def told_tables() -> list[Table]:
    """Return the tables that are exported."""
    return [each for each in kept_tables() if each._meta.model_name not in NO_TABLES]


def told_columns(table: Table) -> list[str]:
    """Return the columns of a table that are exported; passwords are not among them."""
    hidden = NOT_TOLD.get(str(table._meta.model_name), frozenset())
    return [field.attname for field in columns(table) if field.attname not in hidden]


def export(folder: Path) -> list[Path]:
    """Return the files that were written into a new or empty folder.

    Raises
    ------
    InputError : the folder holds something, or cannot be written to
    """
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        if any(folder.iterdir()):
            raise InputError(f"{folder} is not empty; choose a new folder")
        with one_moment():
            paths = [write_csv(folder, table) for table in told_tables()]
            papers = copy_issued(folder)
            return [*paths, *papers, write_json(folder / JSON_NAME)]
    except OSError as error:
        raise InputError(f"cannot write {error.filename}: {error.strerror}") from None


def copy_issued(folder: Path) -> list[Path]:
    """Return copies of the issued papers; one whose file is gone is left out."""
    stored = Path(settings.FILES) / PAPERS
    copies = []
    for name in Issued.objects.order_by("pk").values_list("stored", flat=True):
        path, copy = stored / Path(name).name, folder / PAPERS / Path(name).name
        if path.is_file() and not copy.exists():
            copy.parent.mkdir(mode=0o700, exist_ok=True)
            shutil.copyfile(path, copy)
            copies.append(copy)
    return copies


def rows_of(table: Table) -> Iterator[dict[str, Any]]:
    """Yield the rows of a table in the order of their keys."""
    names = told_columns(table)
    yield from table._base_manager.order_by("pk").values(*names).iterator(AT_ONCE)


def write_csv(folder: Path, table: Table) -> Path:
    """Return the CSV file of a table: UTF-8 with a mark at its start, so that spreadsheets know."""
    path = folder / f"{table._meta.model_name}.csv"
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        write_sheet(file, table, rows_of(table))
    return path


def write_sheet(file: IO[str], table: Table, rows: Iterable[dict[str, Any]]) -> None:
    """Write rows of a table as CSV, under the names of its columns."""
    names = told_columns(table)
    sheet = csv.writer(file)
    sheet.writerow(names)
    sheet.writerows([cell(row[name]) for name in names] for row in rows)


def cell(value: Any) -> str | int | float:
    """Return a value as a cell of a table; no text can act as a formula.

    >>> cell("=1+1"), cell("+41 44 000"), cell(" =1"), cell(-3.5), cell(True), cell(None)
    ("'=1+1", "'+41 44 000", "' =1", -3.5, 'yes', '')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return value
    if isinstance(value, list | dict):
        return json.dumps(value, ensure_ascii=False)
    text = plain(value)
    return text if isinstance(value, Decimal) else guarded(text)


def plain(value: Any) -> str:
    """Return a date, moment, amount or text as text; an amount without an exponent."""
    if isinstance(value, Decimal):
        return f"{value:f}"
    return value.isoformat() if isinstance(value, date | datetime | time) else str(value)


def write_json(path: Path) -> Path:
    """Return the one JSON file of all tables, written row by row."""
    head = {
        "schema": SCHEMA,
        "version": VERSION,
        "program": PROGRAM,
        "made_at": plain(datetime.now(UTC)),
    }
    with path.open("w", encoding="utf-8") as file:
        file.write(json.dumps(head)[:-1] + ', "tables": {')
        for place, table in enumerate(told_tables()):
            file.write((",\n" if place else "\n") + json.dumps(table._meta.model_name) + ": [")
            write_rows(file, table)
            file.write("]")
        file.write("\n}}\n")
    return path


def write_rows(file: IO[str], table: Table) -> None:
    """Write the rows of a table as JSON objects."""
    for place, row in enumerate(rows_of(table)):
        file.write(",\n" if place else "\n")
        json.dump(row, file, default=plain, ensure_ascii=False)
