"""Opening the workshop: the database brought up to date, remains cleared, somebody to sign in."""

import time
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.contrib.auth.hashers import UNUSABLE_PASSWORD_PREFIX
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.urls import reverse

from sideshake.core.errors import InputError
from sideshake.storage.files import UNFINISHED, LeftOver
from sideshake.storage.folder import made
from sideshake.web.calibres.sheet_folder import NOTHING_LAY_THERE, FromFolder, take_in_folder
from sideshake.web.models import Role, User
from sideshake.web.people.services import set_password
from sideshake.web.people.sign_in import new_link
from sideshake.web.storage.automatic import clear_partial, keep_backup, newest_good_backup
from sideshake.web.storage.backup import MAKING, stored_files
from sideshake.web.storage.leaving import delete_left, left_words
from sideshake.web.storage.reached import has_records, reached_database, way_back
from sideshake.web.storage.stray import put_aside
from sideshake.web.storage.taking_in import take_back_at_start

OTHER_BENCH_S = 3600.0
"""On a shared database, an upload untouched for an hour belongs to nobody any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """What opening the workshop did and found."""

    first_time: bool
    backup: Path | None
    left_over: LeftOver
    put_aside: LeftOver | None = None
    """Files without a record; looked for by itself only when the last end was bad."""
    taken_back: int = 0
    """Owners and watches of an import that was cut off."""
    sheets: FromFolder = NOTHING_LAY_THERE
    """What became of the own calibre sheets that lie in the folder of earlier times."""
    not_deleted: str = ""
    """How many files that are to go the disk still keeps, in words."""


def open_workshop(*, ended_badly: bool = False) -> Opened:
    """Return what opening found; the workshop is ready to be served.

    Raises
    ------
    InputError : the database cannot be reached, or belongs to a newer Sideshake
    """
    clear_partial(made(settings.BACKUPS))
    first_time, backup = ready_records()
    delete_left()  # first, so that none of it is put aside instead
    return Opened(
        first_time=first_time,
        backup=backup,
        left_over=thrown_away(),
        put_aside=put_aside(before_s=untouched_since_s()) if ended_badly else None,
        taken_back=take_back_at_start(),
        sheets=take_in_folder(),
        not_deleted=left_words(),
    )


def ready_records() -> tuple[bool, Path | None]:
    """Return whether this is a new workshop, and the backup made before its records were changed.

    Raises
    ------
    InputError : the database cannot be reached, or belongs to a newer Sideshake
    """
    for folder in (settings.DATA, settings.FILES):
        made(folder)
    executor = reached_database()
    refuse_lost_records(executor)
    backup = migrated(executor)
    if User.objects.exists():
        return False, backup
    owner = User(username="owner", role=Role.OWNER)
    owner.set_unusable_password()
    owner.save()
    return True, backup


def refuse_lost_records(executor: MigrationExecutor) -> None:
    """Refuse to begin a new workshop among the files of one whose records are gone.

    Raises
    ------
    InputError : the database is empty, but photographs, recordings or backups are here
    """
    if has_records(executor):
        return
    files = len(stored_files(settings.FILES))
    newest = newest_good_backup(settings.BACKUPS)
    if not files and newest is None:
        return
    raise InputError(
        f"the records of this workshop are gone: the database is empty, but {files} of its files "
        f"are here. Nothing was changed. {way_back(newest)}"
    )


def bring_up_to_date() -> Path | None:
    """Return the backup that was made before the database was changed; None if nothing was made.

    Raises
    ------
    InputError : the database cannot be reached, or belongs to a newer Sideshake
    """
    return migrated(reached_database())


def migrated(executor: MigrationExecutor) -> Path | None:
    """Return the backup that was made before the database was changed, as `bring_up_to_date`."""
    leaves = executor.loader.graph.leaf_nodes()
    if not executor.migration_plan(leaves):
        return None
    backup = keep_backup("before-migration") if has_records(executor) else None
    call_command("migrate", verbosity=0, interactive=False)
    return backup


def thrown_away() -> LeftOver:
    """Return what unfinished uploads were thrown away."""
    before_s = untouched_since_s()
    places = [
        *settings.FILES.rglob(UNFINISHED + "*"),
        *settings.FILES.rglob("*" + MAKING),
        *Path(settings.FILE_UPLOAD_TEMP_DIR).glob("*"),
    ]
    found = [path for path in places if path.is_file() and path.stat().st_mtime <= before_s]
    size_bytes = sum(path.stat().st_size for path in found)
    for path in found:
        path.unlink()
    return LeftOver(count=len(found), size_bytes=size_bytes)


def untouched_since_s() -> float:
    """Return the time before which a file belongs to no upload that may be under way."""
    alone = connection.vendor == "sqlite"
    return time.time() - (0.0 if alone else OTHER_BENCH_S)


def news_of(opened: Opened, *, ended_badly: bool) -> list[str]:
    """Return what people should know about this start, a sentence each."""
    news = []
    if ended_badly:
        news.append(
            "Last time the workshop was not closed properly. Everything that was answered as saved "
            "is here; a request that was under way then may not have been carried out."
        )
    if opened.left_over.sentence:
        news.append(f"{opened.left_over.sentence}; everything saved before is here.")
    if opened.put_aside and opened.put_aside.count:
        news.append(
            f"Files whose record was never written: {opened.put_aside.count}. They were put "
            "aside in the folder files/unclaimed; add them again where they belong."
        )
    if opened.not_deleted:
        news.append(opened.not_deleted)
    if opened.taken_back:
        news.append(
            f"An import was cut off: the {opened.taken_back} owners and watches that had come in "
            "were taken back. Import the file once more."
        )
    news += sheet_news(opened.sheets)
    if opened.backup:
        news.append(
            f"The records were brought up to date; a backup was made first: {opened.backup.name}."
        )
    return news


def sheet_news(sheets: FromFolder) -> list[str]:
    """Return what became of the calibre sheets in the folder, a sentence each."""
    taken = ", ".join(sheets.taken)
    told = (
        f"Calibre sheets are records now: {taken} came in from the folder calibres and can be "
        "changed under Calibres. The files stay where they are and are read no more."
    )
    return [*([told] if taken else []), *sheets.left]


def who_signs_in() -> User:
    """Return the owner of the workshop for whom the first link is made.

    Raises
    ------
    InputError : no owner is active
    """
    owner = User.objects.filter(role=Role.OWNER, is_active=True).order_by("pk").first()
    if owner is None:
        raise InputError("nobody with the role owner is active; restore a backup")
    return owner


def way_in(base: str) -> str:
    """Return an address that signs the owner of the workshop in, once."""
    return base + reverse("sign-in-link", args=[new_link(who_signs_in())])


def somebody_has_a_password() -> bool:
    """Return whether an active person can sign in by password."""
    return (
        User.objects.filter(is_active=True)
        .exclude(password__startswith=UNUSABLE_PASSWORD_PREFIX)
        .exclude(password="")
        .exists()
    )


def require_password() -> None:
    """Refuse the local network as long as nobody can sign in by password.

    Raises
    ------
    InputError : nobody can
    """
    if not somebody_has_a_password():
        raise InputError(
            "--lan lets other devices in, so somebody needs a password first: start without --lan "
            "and set it on the page Your password, or run: sideshake bench --password "
            f"{who_signs_in().username}"
        )


def person_named(name: str) -> User:
    """Return somebody who works here.

    Raises
    ------
    InputError : nobody has that name
    """
    found = User.objects.filter(username=name).first()
    if found is None:
        names = ", ".join(User.objects.values_list("username", flat=True))
        raise InputError(f"nobody here signs in as {name!r}; there is: {names}")
    return found


def set_checked_password(person: User, password: str) -> None:
    """Give somebody a password that is not easy to guess.

    Raises
    ------
    InputError : it is
    """
    try:
        validate_password(password, person)
    except ValidationError as error:
        raise InputError(f"nothing was changed: {' '.join(error.messages)}") from None
    set_password(person, password, None)
