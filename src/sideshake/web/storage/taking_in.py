"""Writing an import in short transactions: others can save meanwhile, and still it is all or none.

The whole file is looked at first. What is to be written goes in parts, each with a note of what it
wrote; when a part fails, when somebody stops it, or at the next start after a kill, what is noted
is taken back. Who looks meanwhile sees what is in already; what they have used of it stays.
"""

import json
import socket
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import IO, Any

from django.conf import settings
from django.db import connection, models, transaction
from django.db.models import QuerySet
from django.utils import timezone

from sideshake.core.errors import InputError
from sideshake.storage.archive import Progress, unseen
from sideshake.storage.folder import made
from sideshake.storage.run_lock import locked
from sideshake.web.base.holding import held
from sideshake.web.base.saving import plain
from sideshake.web.models import Change, Owner, Record, TakenIn, TakingIn, User, Watch
from sideshake.web.storage.imported import (
    FIRST,
    ImportedLine,
    Looked,
    NewWatch,
    Refused,
    Somebody,
    Values,
    known_now,
    looked_at,
    read_rows,
)

AT_ONCE = 500
"""Owners and watches in one transaction: a tenth of a second on SQLite (docs/performance.md)."""
PAUSE_S = 0.015
PAUSE_SHARE = 0.3
"""Between two transactions at least so long, and this share of the last one, so that whoever waits
for SQLite's one lock gets it: a waiter looks every 0.1 s, which on a busy computer is shorter."""
DEAD_AFTER = timedelta(minutes=2)
"""An import on another computer that has written nothing for so long has died."""
LOCK = "importing"


def import_owners(
    path: Path, *, by: User | None, dry_run: bool, progress: Progress = unseen
) -> list[ImportedLine]:
    """Return what was done with each line, or with `dry_run` what would be.

    Raises
    ------
    InputError : the file cannot be read, has columns that are not known, or another import runs
    Refused : some lines cannot be taken; nothing was written
    """
    rows = read_rows(path)
    looking, writing = halves(progress)
    if dry_run:
        return looked_at(rows, known_now(), looking).lines
    with only_import():
        take_back_dead()
        found = looked_at(rows, known_now(), looking)
        if any(line.wrong for line in found.lines):
            raise Refused(found.lines)
        take_in(found, path.name, by, writing)
    return found.lines


def halves(progress: Progress) -> tuple[Progress, Progress]:
    """Return what shows the looking as the first half of the way, and the writing as the second."""
    return (
        lambda done, whole: progress(done, 2 * whole),
        lambda done, whole: progress(whole + done, 2 * whole),
    )


@contextmanager
def only_import() -> Iterator[None]:
    """Hold the lock that says: an import runs on this computer.

    Raises
    ------
    InputError : another one does
    """
    with lock_file() as file:
        if not locked(file):
            raise InputError("another import is running here; wait until it has ended")
        yield


def lock_file() -> IO[str]:
    """Return the file whose lock says that an import runs; the system lets go when it dies."""
    return (made(Path(settings.DATA)) / LOCK).open("a", encoding="utf-8")


def take_in(found: Looked, name: str, by: User | None, progress: Progress) -> None:
    """Write all there is to write; whatever ends it early takes all of it back."""
    taking = TakingIn.objects.create(
        file=name[:200], host=socket.gethostname()[:200], beat_at=timezone.now()
    )
    try:
        for begin in range(0, len(found.new), AT_ONCE):
            begun_s = time.monotonic()
            write_part(taking.pk, found.new[begin : begin + AT_ONCE], by)
            pause(time.monotonic() - begun_s)
            progress(min(begin + AT_ONCE, len(found.new)), len(found.new))
    except BaseException:
        take_back(taking)
        raise
    taking.delete()


def pause(took_s: float) -> None:
    """Let others save, after a transaction that took so long."""
    time.sleep(max(PAUSE_S, PAUSE_SHARE * took_s))


@transaction.atomic
def write_part(taking: int, part: list[Somebody | NewWatch], by: User | None) -> None:
    """Write some owners and watches with their history, and a note of what was written.

    Raises
    ------
    InputError : the import was taken for dead and taken back meanwhile
    """
    if not TakingIn.objects.filter(pk=taking).update(beat_at=timezone.now()):
        raise InputError("the import was interrupted and has been taken back; start it once more")
    people = [each for each in part if isinstance(each, Somebody)]
    owners = added(Owner, [each.new or {} for each in people], by)
    for somebody, key in zip(people, owners, strict=True):
        somebody.pk = key
    told = [each for each in part if isinstance(each, NewWatch)]
    watches = added(Watch, [{**each.values, "owner_id": each.owner.pk} for each in told], by)
    TakenIn.objects.create(taking_id=taking, owners=owners, watches=watches)


def added(table: type[Record], given: list[Values], by: User | None) -> list[int]:
    """Return the keys of new rows, written with their history.

    Written plainly: of 100,000 lines Django's own way of making rows takes most of the time.
    """
    keys, usual = new_keys(table, len(given)), usual_values(table)
    rows = [{**usual, **each} for each in given]
    insert(
        table, ["id", *usual], [(key, *row.values()) for key, row in zip(keys, rows, strict=True)]
    )
    names = ["at", "by_id", "kind", "row", "what", "fields"]
    at = connection.ops.adapt_datetimefield_value(timezone.now())
    who, kind = by.pk if by else None, str(table._meta.model_name)
    insert(
        Change,
        names,
        [
            (at, who, kind, key, f"imported {kind}: {row[FIRST[table]]}"[:200], told_of(row))
            for key, row in zip(keys, rows, strict=True)
        ],
    )
    return keys


def usual_values(table: type[Record]) -> Values:
    """Return what every column but the key holds when nothing is given, in their order."""
    found: Values = {}
    for column in table._meta.concrete_fields:
        day = timezone.localdate() if getattr(column, "auto_now_add", False) else None
        usual = day or column.get_default()
        if not column.primary_key:
            found[column.attname] = column.get_db_prep_save(usual, connection)
    return found


def told_of(row: Values) -> str:
    """Return what the history holds of a new row, as JSON: field name -> [nothing, value]."""
    fields = {name: [None, plain(value)] for name, value in row.items() if value not in (None, "")}
    del fields["version"]
    return json.dumps(fields)


def new_keys(table: type[Record], count: int) -> list[int]:
    """Return keys that no row of a table has or had; nobody else gets them.

    On SQLite the transaction holds the one lock; rows with given keys move its counter on.
    """
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            name = [table._meta.db_table]
            cursor.execute("SELECT seq FROM sqlite_sequence WHERE name = %s", name)
            last = (cursor.fetchone() or (0,))[0]
            return list(range(last + 1, last + 1 + count))
        cursor.execute(
            "SELECT nextval(pg_get_serial_sequence(%s, 'id')) FROM generate_series(1, %s)",
            [table._meta.db_table, count],
        )
        return [key for (key,) in cursor.fetchall()]


def insert(table: type[models.Model], names: list[str], rows: list[tuple[Any, ...]]) -> None:
    """Write rows, given by the names of their columns."""
    quoted = connection.ops.quote_name
    columns, gaps = ", ".join(map(quoted, names)), ", ".join(["%s"] * len(names))
    statement = f"INSERT INTO {quoted(table._meta.db_table)} ({columns}) VALUES ({gaps})"
    with connection.cursor() as cursor:
        cursor.executemany(statement, rows)


def take_back_dead() -> int:
    """Return how many owners and watches of imports that died were taken back.

    To be called when no import runs on this computer.
    """
    silent = timezone.now() - DEAD_AFTER
    here = socket.gethostname()[:200]
    dead = [
        taking
        for taking in TakingIn.objects.all()
        if taking.host == here or taking.beat_at < silent
    ]
    return sum(map(take_back, dead))


def take_back_at_start() -> int:
    """Return how many owners and watches were taken back, unless an import runs just now."""
    with lock_file() as file:
        return take_back_dead() if locked(file) else 0


def take_back(taking: TakingIn) -> int:
    """Return how many owners and watches were taken back; what was used meanwhile stays."""
    count = 0
    for part in taking.parts.order_by("-pk"):
        begun_s = time.monotonic()
        count += take_part_back(part)
        pause(time.monotonic() - begun_s)
    taking.delete()
    return count


@transaction.atomic
def take_part_back(part: TakenIn) -> int:
    """Return how many owners and watches of a part were taken back, with their history."""
    unused = Watch.objects.filter(pk__in=part.watches, version=1, visits=None)
    count = gone("watch", unused)
    count += gone("owner", Owner.objects.filter(pk__in=part.owners, version=1, watches=None))
    part.delete()
    return count


def gone(kind: str, rows: "QuerySet[Any]") -> int:
    """Return how many rows were deleted, with the lines of the history about them."""
    keys = [row.pk for row in held(rows)]
    Change.objects.filter(kind=kind, row__in=keys).delete()
    rows.model._default_manager.filter(pk__in=keys).delete()
    return len(keys)
