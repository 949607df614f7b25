"""Files that nothing needs any more: noted with the rows that went, deleted after them.

Whether something needs a file is asked again just before it goes, while the workshop is held:
whoever stores the very same picture meanwhile either has its row by then, or finds the file gone
and stores it again. What cannot be deleted stays noted, and is tried again at the next start.
"""

import logging
from collections.abc import Iterable

from django.db import DatabaseError, transaction
from django.utils.translation import ngettext

from sideshake.core.errors import first_line
from sideshake.web.base.holding import held, hold_workshop
from sideshake.web.evidence.photographs import remove_files
from sideshake.web.models import Leaving
from sideshake.web.readings.heard_rows import PICTURES
from sideshake.web.storage.stored_files import (
    LIVE,
    PHOTOGRAPHS,
    File,
    needed,
    noted_file,
    noted_files,
    stored_file,
)

DRAWN = (PICTURES, LIVE)
"""Folders in which a name may stand for several files."""
log = logging.getLogger("sideshake")


def let_go(files: Iterable[File]) -> None:
    """Delete files once the transaction that is under way is over, those that nothing needs."""
    names = sorted(f"{folder}/{name}" for folder, name in set(files))
    if names:
        note = Leaving.objects.create(names=names)
        transaction.on_commit(lambda: delete_noted(note.pk))


def delete_noted(key: int) -> None:
    """Delete the files of a note, and the note; those that the disk keeps stay in it."""
    try:
        with transaction.atomic():
            hold_workshop()
            note = held(Leaving.objects.filter(pk=key)).first()
            if note is None:
                return
            note.names = refused_by_disk(note.names)
            if note.names:
                note.save()
            else:
                note.delete()
    except DatabaseError as error:
        log.warning("files that are to go are still there: %s", first_line(error))


def refused_by_disk(names: list[str]) -> list[str]:
    """Return the names of those files that could not be deleted; a needed one stays as it is."""
    files = set(map(noted_file, names))
    refused = []
    for folder, name in sorted(files - needed(files)):
        try:
            delete(folder, name)
        except OSError as error:
            log.warning("%s/%s could not be deleted: %s", folder, name, error.strerror)
            refused.append(f"{folder}/{name}")
    return refused


def delete(folder: str, name: str) -> None:
    """Delete a file with its smaller copies, or every drawing and live sound that is named so."""
    path = stored_file(folder, name)
    if folder == PHOTOGRAPHS:
        remove_files(path)
    elif folder in DRAWN:
        for each in path.parent.glob(path.name):
            each.unlink(missing_ok=True)
    else:
        path.unlink(missing_ok=True)


def delete_left() -> None:
    """Delete what is noted still; for the start of the workshop."""
    for key in list(Leaving.objects.values_list("pk", flat=True)):
        delete_noted(key)


def left_words() -> str:
    """Return how many files could not be deleted yet; empty if none is noted."""
    count = len(list(noted_files()))
    if not count:
        return ""
    return ngettext(
        "One file that is to go could not be deleted; it is tried again at the next start.",
        "%(n)d files that are to go could not be deleted; they are tried again at the next start.",
        count,
    ) % {"n": count}
