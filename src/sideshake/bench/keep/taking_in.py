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
from typing import IO, Any, cast

from django.conf import settings
from django.db import connection, transaction
from django.db.models import QuerySet
from django.utils import timezone

from sideshake.bench.folder import made
from sideshake.bench.keep.archive import Progress, unseen
from sideshake.bench.keep.imported import (
    Line,
    Looked,
    NewWatch,
    Refused,
    Somebody,
    known_now,
    looked_at,
    read_rows,
)
from sideshake.bench.marker import locked
from sideshake.bench.models import Change, Owner, Record, TakenIn, TakingIn, User, Watch
from sideshake.bench.services.saving import differences
from sideshake.errors import InputError

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
) -> list[Line]:
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
    owners = Owner.objects.bulk_create([Owner(**each.new or {}) for each in people])
    for somebody, owner in zip(people, owners, strict=True):
        somebody.pk = owner.pk
    watches = Watch.objects.bulk_create(
        [
            Watch(owner_id=cast(int, each.owner.pk), **each.values)
            for each in part
            if isinstance(each, NewWatch)
        ]
    )
    tell_all([*owners, *watches], by)
    TakenIn.objects.create(
        taking_id=taking,
        owners=[each.pk for each in owners],
        watches=[each.pk for each in watches],
    )


def tell_all(records: list[Any], by: User | None) -> None:
    """Add a line to the history for each new record; written plainly, since it is half of all."""
    names = ("at", "by_id", "kind", "row", "what", "fields")
    columns = ", ".join(connection.ops.quote_name(name) for name in names)
    table = connection.ops.quote_name(Change._meta.db_table)
    at = connection.ops.adapt_datetimefield_value(timezone.now())
    lines = [(at, by.pk if by else None, *told(record)) for record in records]
    with connection.cursor() as cursor:
        cursor.executemany(
            f"INSERT INTO {table} ({columns}) VALUES (%s, %s, %s, %s, %s, %s)", lines
        )


def told(record: Record) -> tuple[str, int, str, str]:
    """Return what the history tells of a new record: kind, key, words, and its values as JSON."""
    kind = str(record._meta.model_name)
    what = f"imported {kind}: {record}"[:200]
    return kind, record.pk, what, json.dumps(differences(None, record))


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
    keys = list(rows.values_list("pk", flat=True))
    Change.objects.filter(kind=kind, row__in=keys).delete()
    rows.model._default_manager.filter(pk__in=keys).delete()
    return len(keys)
