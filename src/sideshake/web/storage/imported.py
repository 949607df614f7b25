"""Owners and watches from a CSV file of another program, looked at line by line.

Nothing is written here: what becomes of each line is found out from what is known already and from
the lines before it. `taking_in` then writes it.
"""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models

from sideshake.core.errors import InputError
from sideshake.storage.archive import Progress, unseen
from sideshake.web.base.characters import require_letters, without_guard
from sideshake.web.base.saving import folded
from sideshake.web.models import Owner, Record, Watch

TOLD_EVERY = 1000
"""Lines after which it is told how far the looking is."""
LARGEST_BYTES = 50_000_000
OWNER_COLUMNS = {
    "owner": "name",
    "address": "address",
    "country": "country",
    "phone": "phone",
    "email": "email",
    "tax_number": "tax_number",
    "prefers": "prefers",
    "language": "language",
    "heard_of_us": "heard_of_us",
    "owner_note": "note",
}
WATCH_COLUMNS = {
    "watch": "title",
    "dial_name": "dial_name",
    "calibre": "calibre",
    "calibre_seen": "calibre_seen",
    "movement_serial": "movement_serial",
    "case_serial": "case_serial",
    "reference": "reference",
    "case_seen": "case_seen",
    "dial_seen": "dial_seen",
    "lume": "lume",
    "year_from": "year_from",
    "year_to": "year_to",
    "repairers_marks": "repairers_marks",
    "story": "story",
    "provenance": "provenance",
    "watch_note": "note",
}
KNOWN = [*OWNER_COLUMNS, *WATCH_COLUMNS]

LINES_OF = {
    name: isinstance(table._meta.get_field(column), models.TextField)
    for table, columns in ((Owner, OWNER_COLUMNS), (Watch, WATCH_COLUMNS))
    for name, column in columns.items()
}
"""Whether a column may hold several lines."""

FIRST: dict[type[Record], str] = {Owner: "name", Watch: "title"}
"""What must be told of each."""
Cells = dict[str, str]
Values = dict[str, Any]
Row = tuple[int, Cells]
"""The number of a line in the file, and its cells by column."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportedLine:
    """What would happen, or happened, with one line of the file."""

    number: int
    owner: str
    watch: str
    what: str
    wrong: bool = False


class Refused(InputError):  # noqa: N818 - said of the lines
    """Lines of the file cannot be taken; nothing was written. `lines` tells what of each."""

    def __init__(self, lines: list[ImportedLine]) -> None:
        """Keep what was found of each line."""
        self.lines = lines
        count = sum(line.wrong for line in lines)
        super().__init__(f"{count} of {len(lines)} lines cannot be taken; nothing was written")


@dataclass(slots=True, eq=False)
class Somebody:
    """An owner who is known, or who comes in with this file; then `new` holds the values."""

    name: str
    email: str
    pk: int | None = None
    new: Values | None = None


@dataclass(frozen=True, slots=True)
class NewWatch:
    """A watch that comes in with this file."""

    owner: Somebody
    values: Values


@dataclass(slots=True)
class Looked:
    """What was found of each line of a file, and what there is to write, in the file's order."""

    lines: list[ImportedLine] = field(default_factory=list)
    new: list[Somebody | NewWatch] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class KnownPeople:
    """Who and what is known already: owners by folded name, watches by owner, name and numbers."""

    owners: dict[str, list[Somebody]]
    watches: set[tuple[object, str, str, str]]


def read_rows(path: Path) -> list[Row]:
    """Return the lines of a CSV file with their numbers; blank lines count but are left out.

    Raises
    ------
    InputError : it cannot be read, or has columns that are not known
    """
    text = read_text(path)
    first = text.lstrip("\n").partition("\n")[0]
    sheet = csv.reader(io.StringIO(text), delimiter=max(",;\t", key=first.count), strict=True)
    rows = filled_lines(sheet, path)
    names = [title.strip().casefold().replace(" ", "_") for title in next(rows, (1, []))[1]]
    require_known(names, path)
    found = []
    for number, row in rows:
        if len(row) != len(names):
            raise InputError(
                f"{path} line {number} has {len(row)} cells, the first line has {len(names)}; a "
                'cell with a separator in it must stand in "quotes"'
            )
        found.append((number, dict(zip(names, map(without_guard, row), strict=True))))
    return found


def filled_lines(sheet: Any, path: Path) -> Iterator[tuple[int, list[str]]]:
    """Yield each line that is not blank, with the number at which it begins in the file.

    Raises
    ------
    InputError : it is no CSV
    """
    begins = 1
    try:
        for row in sheet:
            if any(each.strip() for each in row):
                yield begins, row
            begins = sheet.line_num + 1
    except csv.Error as error:
        raise InputError(f"{path} line {sheet.line_num} is no CSV: {error}") from None


def read_text(path: Path) -> str:
    """Return the text of a file in UTF-8, with or without a mark at its start.

    Raises
    ------
    InputError : it cannot be read, is too large or no UTF-8
    """
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise InputError(
                f"{path} is larger than the {LARGEST_BYTES / 1e6:.0f} MB that are allowed; cut it "
                "into several files"
            )
        return path.read_text("utf-8-sig")
    except OSError as error:
        raise InputError(f"cannot read {path}: {error.strerror}") from None
    except UnicodeDecodeError:
        raise InputError(
            f"{path} is not written in UTF-8; save it once more as CSV UTF-8"
        ) from None


def require_known(names: list[str], path: Path) -> None:
    """Refuse a first line that does not name columns we know.

    Raises
    ------
    InputError : it does not
    """
    strange = [name for name in names if name not in KNOWN]
    if strange:
        raise InputError(
            f"{path} has a column {strange[0]!r} that is not known; known are: {', '.join(KNOWN)}"
        )
    if "owner" not in names:
        raise InputError(f"{path} has no column owner; its first line must name the columns")
    if len(set(names)) != len(names):
        raise InputError(f"{path} names a column twice")


def known_now() -> KnownPeople:
    """Return the owners and watches that are here, read at once."""
    owners: dict[str, list[Somebody]] = {}
    everybody = {}
    for pk, name, email in Owner.objects.values_list("pk", "name", "email").iterator():
        everybody[pk] = Somebody(name, email, pk)
        owners.setdefault(folded(name), []).append(everybody[pk])
    numbers = ("owner_id", "title", "movement_serial", "case_serial")
    watches: set[tuple[object, str, str, str]] = {
        (everybody[owner], title.casefold(), movement, case)
        for owner, title, movement, case in Watch.objects.values_list(*numbers).iterator()
        if owner in everybody
    }
    return KnownPeople(owners, watches)


def looked_at(rows: list[Row], known: KnownPeople, progress: Progress = unseen) -> Looked:
    """Return what would become of each line; each knows those before it."""
    found = Looked()
    for place, (number, row) in enumerate(rows):
        if place % TOLD_EVERY == 0:
            progress(place, len(rows))
        owner, watch = row.get("owner", ""), row.get("watch", "")
        try:
            what, new = one_line(row, known)
            found.new += new
            found.lines.append(ImportedLine(number=number, owner=owner, watch=watch, what=what))
        except (ValidationError, InputError) as error:
            why = reasons(error)
            found.lines.append(
                ImportedLine(number=number, owner=owner, watch=watch, what=why, wrong=True)
            )
    return found


def one_line(row: Cells, known: KnownPeople) -> tuple[str, list[Somebody | NewWatch]]:
    """Return in words what would be written of one line, and that; what we know stays as it is."""
    for name, text in row.items():
        require_letters(text, name, lines=LINES_OF[name])
    owner = known_owner(row, known)
    new: list[Somebody | NewWatch] = []
    said = "same owner" if owner else "new owner"
    if owner is None:
        given = values(row, Owner, OWNER_COLUMNS)
        owner = Somebody(given.get("name", ""), given.get("email", ""), new=given)
        known.owners.setdefault(folded(owner.name), []).append(owner)
        new.append(owner)
    watch = new_watch(row, owner)
    if watch is None:
        return said, new
    key = watch_key(watch)
    if key in known.watches:
        return f"{said}, same watch", new
    known.watches.add(key)
    return f"{said}, new watch", [*new, watch]


def new_watch(row: Cells, owner: Somebody) -> NewWatch | None:
    """Return the watch of a line; None if it tells of none.

    Raises
    ------
    InputError : it says something about a watch, but not what it is called
    """
    if row.get("watch"):
        given = values(row, Watch, WATCH_COLUMNS)
        require_years(given)
        return NewWatch(owner, given)
    if any(row.get(name) for name in WATCH_COLUMNS):
        raise InputError("there is something about a watch, but watch (what we call it) is empty")
    return None


def watch_key(watch: NewWatch) -> tuple[object, str, str, str]:
    """Return by what a watch is known: owner, name and both numbers."""
    told = watch.values
    numbers = told.get("movement_serial", ""), told.get("case_serial", "")
    return (watch.owner, told["title"].casefold(), *numbers)


def values(row: Cells, table: type[Record], names: dict[str, str]) -> Values:
    """Return the values of a line by the names of our fields; empty cells keep the usual value.

    Nothing is asked of the database.

    Raises
    ------
    ValidationError : one does not fit its field
    """
    found, wrong = {}, {}
    for name, column in names.items():
        if row.get(name) or column == FIRST[table]:
            try:
                field_of: Any = table._meta.get_field(column)
                found[column] = field_of.clean(row.get(name, ""), None)
            except ValidationError as error:
                wrong[column] = error
    if wrong:
        raise ValidationError(wrong)
    return found


def known_owner(row: Cells, known: KnownPeople) -> Somebody | None:
    """Return the owner we know by this name, and by email where both have one.

    Raises
    ------
    InputError : several have that name
    """
    email = row.get("email", "").casefold()
    found = [
        owner
        for owner in known.owners.get(folded(row.get("owner", "")), [])
        if not email or not owner.email or owner.email.casefold() == email
    ]
    if len(found) > 1:
        raise InputError(f"{len(found)} owners are called {found[0].name}; give the email of one")
    return found[0] if found else None


def require_years(watch: Values) -> None:
    """Refuse a watch made not before a year that comes after its latest.

    Raises
    ------
    InputError : so it is
    """
    first, last = watch.get("year_from"), watch.get("year_to")
    if first and last and first > last:
        raise InputError(f"year_from {first} comes after year_to {last}")


def reasons(error: ValidationError | InputError) -> str:
    """Return what is wrong, by the names of the columns."""
    if isinstance(error, InputError):
        return str(error)
    columns = {field: name for name, field in (OWNER_COLUMNS | WATCH_COLUMNS).items()}
    return "; ".join(
        f"{columns.get(field, field)}: {' '.join(words)}"
        for field, words in error.message_dict.items()
    )
