"""The state of the database: whether it can be reached, holds a workshop, and is up to date."""

from collections.abc import Iterator
from pathlib import Path
from pkgutil import iter_modules
from typing import TYPE_CHECKING

from django.apps import apps
from django.conf import settings
from django.db import DatabaseError, OperationalError, connection
from django.db.migrations.recorder import MigrationRecorder

from sideshake.core.errors import InputError, first_line

if TYPE_CHECKING:
    from django.db.migrations.executor import MigrationExecutor


def require_records() -> "MigrationExecutor":
    """Return what knows the state of the database; refuse when there is no workshop yet.

    Raises
    ------
    InputError : there is none, or it belongs to a newer Sideshake
    """
    executor = reached_database()
    if not has_records(executor):
        raise InputError("there is no workshop here yet; sideshake bench opens one")
    return executor


def require_up_to_date() -> None:
    """Refuse when there is no workshop yet, or its records are those of an older Sideshake.

    Raises
    ------
    InputError : there is none, or it belongs to another Sideshake
    """
    if all_applied():
        return
    executor = require_records()
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise InputError(
            "these records were last used by an older Sideshake; sideshake bench brings them up to "
            "date, with a backup first"
        )


def all_applied() -> bool:
    """Return whether the database has each migration that lies here, by name, and no other.

    So no migration need be read. Where it says no, or cannot tell, `require_records` says why.
    """
    try:
        applied = set(MigrationRecorder(connection).applied_migrations())
    except DatabaseError:
        return False
    return bool(applied) and applied == set(migrations_here())


def migrations_here() -> Iterator[tuple[str, str]]:
    """Yield the application and the name of every migration that comes with the program."""
    for config in apps.get_app_configs():
        for each in iter_modules([str(Path(config.path) / "migrations")]):
            yield config.label, each.name


def has_records(executor: "MigrationExecutor") -> bool:
    """Return whether a workshop was ever kept in this database."""
    return any(app == "bench" for app, _name in executor.loader.applied_migrations)


def reached_database() -> "MigrationExecutor":
    """Return what knows the state of the database.

    Raises
    ------
    InputError : the database cannot be reached, or belongs to a newer Sideshake
    """
    from django.db.migrations.executor import MigrationExecutor  # late: it loads all that migrates

    try:
        executor = MigrationExecutor(connection)
    except OperationalError as error:
        raise InputError(f"the database cannot be reached: {first_line(error)}") from None
    except DatabaseError as error:
        # late: whoever only prints a paper need not wait for what makes backups
        from sideshake.web.storage.automatic import newest_good_backup

        raise InputError(
            f"the database is damaged ({first_line(error)}); nothing was changed. Put the file "
            f"{settings.DATABASES['default']['NAME']} aside under another name. "
            f"{way_back(newest_good_backup(settings.BACKUPS))}"
        ) from None
    known = set(executor.loader.graph.nodes) | set(executor.loader.replacements)
    newer = [
        name
        for app, name in executor.loader.applied_migrations
        if app == "bench" and (app, name) not in known
    ]
    if newer:
        raise InputError(
            f"these records were last used by a newer Sideshake ({', '.join(sorted(newer))}); "
            "nothing was changed; install that version again"
        )
    return executor


def way_back(newest: Path | None) -> str:
    """Return how the records come back."""
    from sideshake.web.storage.automatic import made_at  # late: a paper need not wait for backups

    if newest is None:
        return "Bring back a backup: sideshake restore FILE.zip"
    made_on = made_at(newest)
    day = f", made on {made_on:%Y-%m-%d} at {made_on:%H:%M} UTC" if made_on else ""
    return f"The newest good backup is {newest}{day}; bring it back: sideshake restore {newest}"
