"""Owners and watches from a CSV file of another program: looked at first, then all or none."""

import csv
import io
from dataclasses import dataclass
from pathlib import Path

from django.core.exceptions import ValidationError
from django.db import transaction

from sideshake.bench.models import Owner, User, Watch
from sideshake.bench.services.saving import folded, save
from sideshake.errors import InputError

LARGEST_BYTES = 50 * 1024**2
OWNER_COLUMNS = {
    "owner": "name",
    "address": "address",
    "country": "country",
    "phone": "phone",
    "email": "email",
    "tax_number": "tax_number",
    "prefers": "prefers",
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

Known = dict[str, list[Owner]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """What would happen, or happened, with one line of the file."""

    number: int
    owner: str
    watch: str
    what: str
    wrong: bool = False


class Refused(InputError):  # noqa: N818 - said of the lines
    """Lines of the file cannot be taken; nothing was written. `lines` tells what of each."""

    def __init__(self, lines: list[Line]) -> None:
        """Keep what was found of each line."""
        self.lines = lines
        count = sum(line.wrong for line in lines)
        super().__init__(f"{count} of {len(lines)} lines cannot be taken; nothing was written")


class Undone(Exception):  # noqa: N818 - it undoes a dry run
    """Raised to undo what a dry run wrote."""


def import_owners(path: Path, *, by: User | None, dry_run: bool) -> list[Line]:
    """Return what was done with each line, or with `dry_run` what would be.

    Raises
    ------
    InputError : the file cannot be read, or has columns that are not known
    Refused : some lines cannot be taken; nothing was written
    """
    rows = read_rows(path)
    lines: list[Line] = []
    try:
        with transaction.atomic():
            known = owners_by_name()
            lines = [take(row, number, by, known=known) for number, row in enumerate(rows, start=2)]
            if dry_run:
                raise Undone
            if any(line.wrong for line in lines):
                raise Refused(lines)
    except Undone:
        pass
    return lines


def read_rows(path: Path) -> list[dict[str, str]]:
    """Return the lines of a CSV file, by column.

    Raises
    ------
    InputError : it cannot be read, or has columns that are not known
    """
    text = read_text(path)
    first = text.partition("\n")[0]
    sheet = csv.reader(io.StringIO(text), delimiter=max(",;\t", key=first.count), strict=True)
    try:
        titles, *rows = [row for row in sheet if any(each.strip() for each in row)] or [[]]
    except csv.Error as error:
        raise InputError(f"{path} line {sheet.line_num} is no CSV: {error}") from None
    names = [title.strip().casefold().replace(" ", "_") for title in titles]
    require_known(names, path)
    for number, row in enumerate(rows, start=2):
        if len(row) != len(names):
            raise InputError(
                f"{path} line {number} has {len(row)} cells, the first line has {len(names)}; a "
                'cell with a separator in it must stand in "quotes"'
            )
    return [dict(zip(names, map(without_guard, row), strict=True)) for row in rows]


def read_text(path: Path) -> str:
    """Return the text of a file in UTF-8, with or without a mark at its start.

    Raises
    ------
    InputError : it cannot be read, is too large or no UTF-8
    """
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise InputError(f"{path} is larger than {LARGEST_BYTES // 1024**2} MB")
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


def without_guard(text: str) -> str:
    """Return a cell without the sign that our export puts before what looks like a formula.

    >>> without_guard("'+41 44 000"), without_guard(" 'tis old ")
    ('+41 44 000', "'tis old")
    """
    text = text.strip()
    return text[1:] if text[:1] == "'" and text[1:2] in ("=", "+", "-", "@") else text


def owners_by_name() -> Known:
    """Return the owners we know, by their names without accents and capitals."""
    known: Known = {}
    for owner in Owner.objects.all():
        known.setdefault(folded(owner.name), []).append(owner)
    return known


def take(row: dict[str, str], number: int, by: User | None, *, known: Known) -> Line:
    """Return what was done with one line."""
    owner, watch = row.get("owner", ""), row.get("watch", "")
    try:
        what = write_row(row, by, known=known)
        return Line(number=number, owner=owner, watch=watch, what=what)
    except ValidationError as error:
        why = "; ".join(reasons(error, OWNER_COLUMNS | WATCH_COLUMNS))
    except InputError as error:
        why = str(error)
    return Line(number=number, owner=owner, watch=watch, what=why, wrong=True)


@transaction.atomic
def write_row(row: dict[str, str], by: User | None, *, known: Known) -> str:
    """Return in words what was written of one line; an owner or watch we know stays as it is."""
    owner = known_owner(row, known)
    said = "same owner" if owner else "new owner"
    if owner is None:
        owner = Owner(**values(row, OWNER_COLUMNS))
        owner.full_clean()
        save(owner, by, what=f"imported owner: {owner}")
        known.setdefault(folded(owner.name), []).append(owner)
    if not row.get("watch"):
        if any(row.get(name) for name in WATCH_COLUMNS):
            raise InputError(
                "there is something about a watch, but watch (what we call it) is empty"
            )
        return said
    watch = Watch(owner=owner, **values(row, WATCH_COLUMNS))
    if known_watch(watch):
        return f"{said}, same watch"
    watch.full_clean()
    require_years(watch)
    save(watch, by, what=f"imported watch: {watch}")
    return f"{said}, new watch"


def values(row: dict[str, str], names: dict[str, str]) -> dict[str, str]:
    """Return the values of a line by the names of our fields; empty cells keep the usual value."""
    return {field: row[name] for name, field in names.items() if row.get(name)}


def known_owner(row: dict[str, str], known: Known) -> Owner | None:
    """Return the owner we know by this name, and by email where both have one.

    Raises
    ------
    InputError : several have that name
    """
    email = row.get("email", "").casefold()
    found = [
        owner
        for owner in known.get(folded(row.get("owner", "")), [])
        if not email or not owner.email or owner.email.casefold() == email
    ]
    if len(found) > 1:
        raise InputError(f"{len(found)} owners are called {found[0]}; give the email of one")
    return found[0] if found else None


def known_watch(watch: Watch) -> bool:
    """Return whether the owner has this watch here already: the same name and numbers."""
    return Watch.objects.filter(
        owner=watch.owner,
        title__iexact=watch.title,
        movement_serial=watch.movement_serial,
        case_serial=watch.case_serial,
    ).exists()


def require_years(watch: Watch) -> None:
    """Refuse a watch made not before a year that comes after its latest.

    Raises
    ------
    InputError : so it is
    """
    if watch.year_from and watch.year_to and watch.year_from > watch.year_to:
        raise InputError(f"year_from {watch.year_from} comes after year_to {watch.year_to}")


def reasons(error: ValidationError, names: dict[str, str]) -> list[str]:
    """Return what is wrong, by the names of the columns."""
    columns = {field: name for name, field in names.items()}
    return [
        f"{columns.get(field, field)}: {' '.join(words)}"
        for field, words in error.message_dict.items()
    ]
