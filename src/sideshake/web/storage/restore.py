"""Bringing a workshop back from an archive: all is checked first, and all comes back or nothing."""

import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.sessions.models import Session
from django.core.cache import cache
from django.core.management.color import no_style
from django.db import DatabaseError, connection, models, transaction

from sideshake.core.errors import InputError, first_line
from sideshake.storage.archive import (
    CHUNK_BYTES,
    Manifest,
    Member,
    Progress,
    chunks_of,
    member_chunks,
    opened,
    read_manifest,
    sha256_of,
    unseen,
)
from sideshake.storage.files import passing_file, write, write_whole
from sideshake.storage.folder import made
from sideshake.web.base.rows import Table, insert, kept_tables, row_of
from sideshake.web.calibres.sheets import OWN as SHEETS
from sideshake.web.calibres.sheets import own_folder
from sideshake.web.models import SignInLink
from sideshake.web.storage.automatic import stamped
from sideshake.web.storage.backup import member_name, stored_files, table_of, write_backup

STAFF = frozenset({"user", "workshop"})
LONGEST_LINE_BYTES = 64 * 1024**2


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What came back."""

    contents: Manifest
    before: Path | None
    """The backup of what was there before."""

    @property
    def rows(self) -> int:
        """Return how many records there are now."""
        return sum(self.contents.records.values())

    @property
    def files(self) -> int:
        """Return how many photographs, recordings and other files there are now."""
        held = sum(each.name.startswith("files/") for each in self.contents.members)
        return held + len(self.contents.beside)


def restore(path: Path, *, replace: bool = False, progress: Progress = unseen) -> Restored:
    """Return what came back from an archive; before anything is touched, all of it is checked.

    Raises
    ------
    InputError : the archive is damaged or of another program, or the workshop is not empty and is
        not to be replaced; nothing was changed
    """
    contents = read_back(path, progress)
    with opened(path) as archive:
        check_beside(contents, path.parent)
        before = None
        if not is_empty():
            before = kept_before(replace=replace)
        added = place_files(archive, contents, path.parent)
        try:
            write_rows(archive, contents)
        except BaseException:
            for each in added:
                each.unlink()
            raise
        place_sheets(archive, contents)
    drop_strange_files(contents)
    return Restored(contents=contents, before=before)


def read_back(path: Path, progress: Progress = unseen) -> Manifest:
    """Return what an archive holds, after all of it was read, proved whole and counted.

    Raises
    ------
    InputError : something in it is not what was written
    """
    with opened(path) as archive:
        contents = read_manifest(archive)
        check_members(archive, contents, progress)
        check_rows(archive, contents)
    return contents


def kept_before(*, replace: bool) -> Path:
    """Return the full backup of the workshop that is to be replaced.

    Raises
    ------
    InputError : it is not to be replaced, or cannot be kept
    """
    if not replace:
        raise InputError(
            "this workshop is not empty, and restoring would replace it; nothing was changed. Say "
            "--replace if you want that: what is here is then kept in a backup first"
        )
    path = made(settings.BACKUPS) / stamped("before-restore")
    write_backup(path)
    return path


def is_empty() -> bool:
    """Return whether nothing was written here yet: at most one person, and the workshop's row."""
    kept = [each for each in kept_tables() if each._meta.model_name not in STAFF]
    people = table_of("bench.user", kept_tables())
    return (
        not any(each._base_manager.exists() for each in kept)
        and people is not None
        and people._base_manager.count() <= 1
        and not stored_files(settings.FILES)
        and not any(own_folder().glob("*.toml"))
    )


def check_members(archive: zipfile.ZipFile, contents: Manifest, progress: Progress) -> None:
    """Prove every member whole.

    Raises
    ------
    InputError : one is damaged
    """
    whole, done = sum(each.bytes for each in contents.members), 0
    for member in contents.members:
        for chunk in member_chunks(archive, member):
            done += len(chunk)
            progress(done, whole)


def check_rows(archive: zipfile.ZipFile, contents: Manifest) -> None:
    """Prove that every record can be read, and that there are as many as the list of contents says.

    Raises
    ------
    InputError : a record cannot be read, or the archive was made by a newer Sideshake
    """
    known = {each._meta.label_lower for each in kept_tables()}
    strange = sorted(set(contents.records) - known)
    if strange:
        raise InputError(
            f"the backup holds {strange[0]}, which this Sideshake does not know; version "
            f"{contents.program} made it, install that one"
        )
    for table, member in record_members(contents):
        count = sum(1 for _row in rows(archive, table, member))
        if count != contents.records.get(table._meta.label_lower):
            raise InputError(f"the backup is damaged at {member.name}: records are missing")


def record_members(contents: Manifest) -> Iterator[tuple[Table, Member]]:
    """Yield each table with the member that holds its rows."""
    members = {each.name: each for each in contents.members}
    for table in kept_tables():
        member = members.get(f"records/{table._meta.label_lower}.jsonl")
        if member is not None:
            yield table, member


def rows(archive: zipfile.ZipFile, table: Table, member: Member) -> Iterator[models.Model]:
    """Yield the rows that a member holds.

    Raises
    ------
    InputError : one cannot be read; the message says which
    """
    for number, line in enumerate(lines_of(member_chunks(archive, member)), start=1):
        try:
            yield row_of(table, line)
        except InputError as error:
            raise InputError(
                f"the backup cannot be used, {member.name} line {number}: {error}; nothing was "
                "changed"
            ) from None


def lines_of(chunks: Iterator[bytes]) -> Iterator[bytes]:
    """Yield the lines in a stream of pieces."""
    rest = b""
    for chunk in chunks:
        *whole, rest = (rest + chunk).split(b"\n")
        yield from whole
        if len(rest) > LONGEST_LINE_BYTES:
            raise InputError("the backup holds a line longer than any record")
    if rest:
        yield rest


def check_beside(contents: Manifest, folder: Path) -> None:
    """Prove that the files an automatic backup left where they were are still there and whole.

    Raises
    ------
    InputError : one is not
    """
    for member in contents.beside:
        path = beside(member, folder)
        if path is None or sha256_of(path) != member.sha256:
            raise InputError(
                f"this automatic backup holds the records only, and {member.name} is no longer "
                "there as it was; nothing was changed. Restore a backup made by sideshake backup"
            )


def beside(member: Member, folder: Path) -> Path | None:
    """Return where a file lies that an automatic backup lists: under its second name, or in use."""
    stored = settings.FILES / Path(member.name).relative_to("files")
    return next((path for path in (folder / member.name, stored) if path.is_file()), None)


def place_files(archive: zipfile.ZipFile, contents: Manifest, folder: Path) -> list[Path]:
    """Return which photographs, recordings and other files were added; none is overwritten badly.

    They are there before the records that name them, so a crash between the two loses nothing.
    """
    added: list[Path] = []
    try:
        for member in contents.members:
            if member.name.startswith("files/"):
                added += placed(member, member_chunks(archive, member))
        for member in contents.beside:
            path = beside(member, folder)
            if path is not None:
                with path.open("rb") as file:
                    added += placed(member, chunks_of(file))
    except BaseException:
        for each in added:
            each.unlink(missing_ok=True)
        raise
    return added


def placed(member: Member, chunks: Iterator[bytes]) -> list[Path]:
    """Return the file if it had to be written, in a list; it appears whole or not at all."""
    path: Path = settings.FILES / Path(member.name).relative_to("files")
    there = path.exists()
    if there and sha256_of(path) == member.sha256:
        return []
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with passing_file(path.parent) as passing:
        if member.bytes:
            write(chunks, passing, member.bytes + CHUNK_BYTES)
        else:
            passing.touch()
        passing.replace(path)
    return [] if there else [path]


def place_sheets(archive: zipfile.ZipFile, contents: Manifest) -> None:
    """Put the archive's calibre sheets in the place of the workshop's own.

    An archive made before sheets were kept in it leaves those that are there.
    """
    wanted = {Path(each.name).name: each for each in contents.members if is_sheet(each)}
    if not wanted:
        return
    folder = made(own_folder())
    for name, member in wanted.items():
        write_whole(folder / name, b"".join(member_chunks(archive, member)))
    for path in folder.glob("*.toml"):
        if path.name not in wanted:
            path.unlink()


def is_sheet(member: Member) -> bool:
    """Return whether a member is a calibre sheet of the workshop's own."""
    folder, _, name = member.name.rpartition("/")
    return folder == SHEETS and name.endswith(".toml")


def write_rows(archive: zipfile.ZipFile, contents: Manifest) -> None:
    """Put the archive's records in the place of those that are there, in one transaction.

    Raises
    ------
    InputError : they do not hang together
    """
    try:
        with transaction.atomic():
            clear()
            for table, member in record_members(contents):
                insert(table, rows(archive, table, member))
            connection.check_constraints()
            reset_sequences()
    except DatabaseError as error:
        raise InputError(
            f"the backup's records do not hang together ({first_line(error)}); nothing was changed"
        ) from None
    cache.clear()


@transaction.atomic
def clear() -> None:
    """Delete every record; keys are checked when the transaction ends."""
    tables: list[Table] = [*kept_tables(), SignInLink, Session]
    between: list[Any] = [
        field.remote_field.through for each in kept_tables() for field in each._meta.many_to_many
    ]
    with connection.cursor() as cursor:
        for table in between + tables:
            cursor.execute(f"DELETE FROM {connection.ops.quote_name(table._meta.db_table)}")


def reset_sequences() -> None:
    """Let new rows begin after the highest key."""
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(
            no_style(), [*kept_tables(), SignInLink]
        ):
            cursor.execute(statement)


def drop_strange_files(contents: Manifest) -> None:
    """Remove the files of the workshop that was replaced."""
    known = {each.name for each in [*contents.members, *contents.beside]}
    for path in stored_files(settings.FILES):
        if member_name(path) not in known:
            path.unlink()
