"""Backups made by themselves: each day and before each migration, the last ten kept.

They hold the records whole. Photographs and recordings, which never change once stored, are listed
with their SHA-256 and kept by a second name (a hard link) in backups/files, which costs no room and
outlives a deletion, but not the disk.
"""

import errno
import logging
import os
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Event

from django.conf import settings
from django.core.cache import cache
from django.db import DatabaseError, connection
from django.utils import timezone
from django.utils.translation import gettext_lazy

from sideshake.core.errors import InputError
from sideshake.storage.archive import Manifest, Member, opened, read_manifest, sha256_of
from sideshake.storage.folder import made
from sideshake.web.storage.backup import (
    PARTIAL,
    add_sheets,
    close_with_manifest,
    manifest,
    member_name,
    new_archive,
    stored_files,
    write_records,
)

log = logging.getLogger("sideshake")

KEPT = 10
KINDS = ("daily", "before-migration")
LOOK_EVERY_S = 600.0
STAMP = "%Y-%m-%dT%H-%M-%S-%f"
STAMP_LETTERS = 26
FAULT = "daily-backup-fault"
OUR_FAULT = gettext_lazy(
    "a fault in the program; the terminal where the workshop was opened tells more"
)
NO_LINKS = frozenset({errno.EPERM, errno.EXDEV, errno.ENOTSUP, errno.EMLINK, errno.ENOSYS})


def keep_backup(kind: str) -> Path:
    """Return the new automatic backup; those older than the last ten are gone.

    Raises
    ------
    InputError : it cannot be written
    """
    folder = made(settings.BACKUPS)
    path = folder / stamped(kind)
    known = files_known(folder)
    with new_archive(path) as archive:
        members, counts, migrations = write_records(archive)
        members += add_sheets(archive)
        beside = [listed(each, known) for each in stored_files(settings.FILES)]
        close_with_manifest(archive, manifest(members, counts, migrations, beside=beside))
    for each in beside:
        link(each, folder)
    drop_old(folder, path)
    return path


def stamped(kind: str) -> str:
    """Return a name that begins with the time now, UTC."""
    return f"{timezone.now():{STAMP}}-{kind}.zip"


def automatic_backups(folder: Path) -> list[Path]:
    """Return the automatic backups, oldest first; a file named otherwise is somebody else's."""
    return sorted(path for kind in KINDS for path in folder.glob(f"*-{kind}.zip") if made_at(path))


def newest_good_backup(folder: Path) -> Path | None:
    """Return the newest automatic backup that can be read; None if there is none."""
    return next((p for p in reversed(automatic_backups(folder)) if contents_of(p)), None)


def files_known(folder: Path) -> dict[str, Member]:
    """Return the files as the newest automatic backup lists them, so that none is read twice."""
    for path in reversed(automatic_backups(folder)):
        contents = contents_of(path)
        if contents is not None:
            return {each.name: each for each in contents.beside}
    return {}


def contents_of(path: Path) -> Manifest | None:
    """Return an archive's list of contents; None if it cannot be read."""
    try:
        with opened(path) as archive:
            return read_manifest(archive)
    except InputError:
        return None


def listed(path: Path, known: dict[str, Member]) -> Member:
    """Return a stored file as a backup lists it."""
    stat, name = path.stat(), member_name(path)
    old = known.get(name)
    if old is not None and (old.bytes, old.mtime_ns) == (stat.st_size, stat.st_mtime_ns):
        return old
    return Member(name=name, bytes=stat.st_size, sha256=sha256_of(path), mtime_ns=stat.st_mtime_ns)


def link(member: Member, folder: Path) -> None:
    """Give a stored file its second name, where the disk can do that."""
    second = folder / member.name
    if second.exists():
        return
    made_all(second.parent)
    try:
        os.link(settings.FILES / Path(member.name).relative_to("files"), second)
    except FileNotFoundError:
        return
    except OSError as error:
        if error.errno not in NO_LINKS:
            raise


def made_all(folder: Path) -> None:
    """Make a folder and those above it."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)


def drop_old(folder: Path, new: Path) -> None:
    """Remove all automatic backups but the new one and nine more, and files none of them needs."""
    others = [path for path in automatic_backups(folder) if path != new]
    for path in others[: -(KEPT - 1)]:
        path.unlink()
    kept = [contents_of(path) for path in automatic_backups(folder)]
    if None in kept or not others[: -(KEPT - 1)]:
        return
    needed = {each.name for contents in kept if contents for each in contents.beside}
    for path in (folder / "files").rglob("*"):
        if path.is_file() and path.relative_to(folder).as_posix() not in needed:
            path.unlink()


def clear_partial(folder: Path) -> None:
    """Remove what a backup that was cut off left behind."""
    for path in folder.glob(PARTIAL + "*"):
        path.unlink()


def is_due(folder: Path, now: datetime) -> bool:
    """Return whether no daily backup is younger than a day."""
    times = [made_at(path) for path in folder.glob("*-daily.zip")]
    return not any(time and timedelta(0) <= now - time < timedelta(days=1) for time in times)


def made_at(path: Path) -> datetime | None:
    """Return when an automatic backup was made, by its name; None if that tells no time."""
    try:
        return datetime.strptime(path.name[:STAMP_LETTERS], STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None


def keep_daily(stop: Event) -> None:
    """Make a backup whenever a day has gone by, until told to stop; a fault is told, not fatal."""
    while not stop.is_set():
        try:
            if is_due(settings.BACKUPS, timezone.now()):
                keep_backup("daily")
            tell_fault("")
        except (InputError, OSError, DatabaseError) as error:
            log.warning("the daily backup was not made, the next try is soon: %s", error)
            tell_fault(str(error))
        except Exception:
            log.exception("the daily backup was not made, the next try is soon")
            tell_fault(str(OUR_FAULT))
        finally:
            connection.close()
        stop.wait(LOOK_EVERY_S)


def tell_fault(why: str) -> None:
    """Keep why the last daily backup failed, for the first page; an empty text when it did not."""
    cache.set(FAULT, why, None)


def daily_fault() -> str:
    """Return why the last daily backup failed; empty when it did not."""
    return str(cache.get(FAULT, ""))
