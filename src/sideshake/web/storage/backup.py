"""Writing the whole workshop into one archive, from one moment, piece by piece."""

import os
import secrets
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from django.apps.registry import Apps
from django.conf import settings
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from sideshake.core.errors import InputError
from sideshake.core.version import PROGRAM
from sideshake.storage.archive import (
    MANIFEST,
    Manifest,
    Member,
    Progress,
    add,
    chunks_of,
    safe_name,
    unseen,
)
from sideshake.storage.files import NO_ROOM, sync_folder
from sideshake.web.base.rows import Table, kept_tables, lines
from sideshake.web.calibres.sheets import OWN as SHEETS
from sideshake.web.calibres.sheets import own_folder
from sideshake.web.storage.snapshot import one_moment

PARTIAL = ".partial-"
MAKING = ".making"
"""The ending of a small copy of a photograph that is just being made."""


def write_backup(path: Path, progress: Progress = unseen) -> Manifest:
    """Return what was written into a new archive; records, photographs and recordings.

    Raises
    ------
    InputError : it cannot be written there
    """
    with new_archive(path) as archive:
        members, counts, migrations = write_records(archive)
        members += add_sheets(archive)
        paths = stored_files(settings.FILES)
        whole, done = sum(each.stat().st_size for each in paths), 0
        for each in paths:
            member = add_file(archive, each, member_name(each))
            if member is not None:
                members.append(member)
                done += member.bytes
            progress(done, whole)
        return close_with_manifest(archive, manifest(members, counts, migrations))


def manifest(
    members: list[Member],
    counts: dict[str, int],
    migrations: list[str],
    *,
    beside: list[Member] | None = None,
) -> Manifest:
    """Return the list of contents of what was just written."""
    return Manifest(
        made_at=datetime.now(UTC).isoformat(timespec="seconds"),
        program=PROGRAM,
        migrations=migrations,
        records=counts,
        members=members,
        beside=beside or [],
    )


def close_with_manifest(archive: zipfile.ZipFile, contents: Manifest) -> Manifest:
    """Return the list of contents after it was written as the archive's last member."""
    add(archive, MANIFEST, [contents.text()], packed=True)
    return contents


def write_records(archive: zipfile.ZipFile) -> tuple[list[Member], dict[str, int], list[str]]:
    """Return the members, counts and migrations of all records, read in one moment."""
    members, counts = [], {}
    with one_moment():
        migrations, registry = stored_state()
        for table in kept_tables(registry):
            label = table._meta.label_lower
            members.append(add(archive, f"records/{label}.jsonl", lines(table), packed=True))
            counts[label] = table._base_manager.count()
    return members, counts, migrations


def stored_state() -> tuple[list[str], Apps]:
    """Return the migrations the database has seen, and the tables as they are in it.

    A backup before a migration reads the old tables, which the program's own models no longer fit.
    """
    loader = MigrationLoader(connection)
    applied = [node for node in loader.applied_migrations if node in loader.graph.nodes]
    state = loader.project_state([node for node in applied if is_last(loader, node, applied)])
    return sorted(name for app, name in applied if app == "bench"), state.apps


def is_last(loader: MigrationLoader, node: tuple[str, str], applied: list[tuple[str, str]]) -> bool:
    """Return whether nothing that was applied builds on this migration of its application."""
    children = loader.graph.node_map[node].children
    return not any(child.key in applied and child.key[0] == node[0] for child in children)


def stored_files(folder: Path) -> list[Path]:
    """Return every finished file of the workshop, in the order of their names."""
    return sorted(
        path
        for path in folder.rglob("*")
        if path.is_file() and not path.is_symlink() and not is_hidden(path.relative_to(folder))
    )


def is_hidden(path: Path) -> bool:
    """Return whether a path belongs to something unfinished."""
    return path.suffix == MAKING or any(part.startswith(".") for part in path.parts)


def add_sheets(archive: zipfile.ZipFile) -> list[Member]:
    """Return the workshop's own calibre sheets as members."""
    return [
        add(archive, f"{SHEETS}/{path.name}", [path.read_bytes()], packed=True)
        for path in sorted(own_folder().glob("*.toml"))
        if path.is_file() and safe_name(path.name)
    ]


def member_name(path: Path) -> str:
    """Return the name of a stored file in an archive."""
    return "files/" + path.relative_to(settings.FILES).as_posix()


def add_file(archive: zipfile.ZipFile, path: Path, name: str) -> Member | None:
    """Return the stored file as a member of that name; None if it was removed meanwhile."""
    try:
        file = path.open("rb")
    except FileNotFoundError:
        return None
    with file:
        return add(archive, name, chunks_of(file), packed=False)


@contextmanager
def new_archive(path: Path) -> Iterator[zipfile.ZipFile]:
    """Yield an archive that appears under its name when it is whole, or not at all.

    Raises
    ------
    InputError : there is something of that name already, no folder, or no room
    """
    if path.exists():
        raise InputError(f"{path} is there already; choose another name")
    partial = path.with_name(PARTIAL + secrets.token_hex(8))
    try:
        partial.touch(mode=0o600)
        with zipfile.ZipFile(partial, "w") as archive:
            yield archive
        with partial.open("rb+") as file:
            os.fsync(file.fileno())
        partial.replace(path)
        sync_folder(path.parent)
    except OSError as error:
        if error.errno in NO_ROOM:
            raise InputError("there is no room left on the disk; no backup was made") from None
        raise InputError(f"cannot write {path}: {error.strerror}; no backup was made") from None
    finally:
        partial.unlink(missing_ok=True)


def table_of(label: str, tables: list[Table]) -> Table | None:
    """Return the table of a label such as bench.visit."""
    return next((each for each in tables if each._meta.label_lower == label), None)
