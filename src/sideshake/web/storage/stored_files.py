"""Where the files of records lie, and which of them are needed: told here for all who ask."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from django.conf import settings
from django.db import models
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.web.base.holding import hold_workshop
from sideshake.web.base.putting_aside import touched
from sideshake.web.models import Issued, Leaving, Photograph, Reading, Recording, Removed, Workshop
from sideshake.web.storage.tables import PAPERS

PHOTOGRAPHS, RECORDINGS, LOGO, LIVE = "photographs", "recordings", "logo", "live"
FOLDERS: dict[str, tuple[type[models.Model], str]] = {
    PHOTOGRAPHS: (Photograph, "stored"),
    RECORDINGS: (Recording, "stored"),
    PAPERS: (Issued, "stored"),
    LOGO: (Workshop, "logo"),
    LIVE: (Reading, "pk"),
}
"""By folder: which records name its files, and where. Drawn pictures are not among them: they are
made again when they are wanted."""
FOLDER_OF = {(table._meta.model_name, field): folder for folder, (table, field) in FOLDERS.items()}

File = tuple[str, str]
"""The folder of a file, and its name in there."""


def stored_file(folder: str, name: str) -> Path:
    """Return where a file lies; whatever a name holds, it leads nowhere else."""
    return Path(settings.FILES) / folder / Path(name).name


def folder_of(table: type[models.Model]) -> str:
    """Return the folder in which each row of a table has a file; empty if it has none."""
    return FOLDER_OF.get((table._meta.model_name, "stored"), "")


def files_put_aside(removed: Iterable[Removed]) -> Iterator[File]:
    """Yield the files that come back with what was removed."""
    for each in removed:
        for thing in touched(each):
            for field, value in thing.values.items():
                folder = FOLDER_OF.get((thing.table, field))
                if folder and value:
                    yield folder, Path(value).name


def noted_files() -> Iterator[File]:
    """Yield the files that are to go and are noted still."""
    for names in Leaving.objects.values_list("names", flat=True):
        yield from map(noted_file, names)


def noted_file(name: str) -> File:
    """Return a file as it stands in a note: its folder, a stroke, its name."""
    folder, _stroke, rest = name.partition("/")
    return folder, rest


def hold_file(path: Path) -> None:
    """Hold the workshop, so that nobody deletes a new file before the row that names it is written.

    Raises
    ------
    InputError : it was deleted between being stored and this
    """
    hold_workshop()
    if not path.exists():
        raise InputError(_("the very same file was deleted at this moment; do it once more"))


def needed(files: Iterable[File]) -> set[File]:
    """Return those files that a record has, or that come back with what was removed."""
    asked = set(files)
    found = asked & set(files_put_aside(Removed.objects.only("held")))
    for folder in {folder for folder, _name in asked} & set(FOLDERS) - {LIVE}:
        table, field = FOLDERS[folder]
        names = [name for there, name in asked if there == folder]
        rows = table._default_manager.filter(**{f"{field}__in": names})
        found |= {(folder, name) for name in rows.values_list(field, flat=True)}
    return found
