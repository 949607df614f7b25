"""Files that no record names: found, told, put aside; never thrown away.

They remain when the workshop is stopped between a file and its record, or between a record's
removal and its file's. What was put aside lies in `files/unclaimed`.
"""

import itertools
import time
from contextlib import suppress
from pathlib import Path

from django.conf import settings

from sideshake.storage.files import LeftOver
from sideshake.storage.folder import made
from sideshake.web.models import Removed
from sideshake.web.storage.stored_files import (
    FOLDERS,
    LIVE,
    PHOTOGRAPHS,
    files_put_aside,
    noted_files,
)

UNCLAIMED = "unclaimed"
SETTLED_S = 600.0
"""A younger file may belong to a request that is under way."""


def names_in(folder: str) -> set[str]:
    """Return the names, without their endings, that records have for the files of a folder."""
    table, field = FOLDERS[folder]
    rows = table._default_manager.all()
    if folder == LIVE:
        rows = rows.filter(state="live")
    return {Path(str(name)).stem for name in rows.values_list(field, flat=True)}


def stray_files(*, before_s: float) -> list[Path]:
    """Return the files that no record names, last written before a time (seconds since 1970).

    What was removed and can still be taken back counts as a record; so does the note that a file is
    to be deleted.
    """
    found, aside = [], set(files_put_aside(Removed.objects.only("held")))
    going = set(noted_files())
    for folder in FOLDERS:
        paths = [path for path in (Path(settings.FILES) / folder).glob("[!.]*") if path.is_file()]
        claimed = names_in(folder) if paths else set()
        claimed |= {Path(name).stem for there, name in aside if there == folder}
        claimed |= {owner_of(Path(name)) for there, name in going if there == folder}
        found += [path for path in paths if owner_of(path) not in claimed]
    return [path for path in found if written_at_s(path, gone=before_s) < before_s]


def written_at_s(path: Path, *, gone: float) -> float:
    """Return when a file was last written, in seconds since 1970; `gone` when it is gone."""
    with suppress(FileNotFoundError):
        return path.stat().st_mtime
    return gone


def owner_of(path: Path) -> str:
    """Return by which name a record would know a file or a smaller copy of it."""
    return path.stem.split("-")[0]


def is_copy(path: Path) -> bool:
    """Return whether it is a smaller copy of a photograph, which can be made again."""
    return path.parent.name == PHOTOGRAPHS and "-" in path.stem


def counted(found: list[Path]) -> LeftOver:
    """Return how many stray files there are, and how large they are; copies do not count."""
    originals = [path for path in found if not is_copy(path)]
    sizes = []
    for path in originals:
        with suppress(FileNotFoundError):  # somebody else has put it aside meanwhile
            sizes.append(path.stat().st_size)
    return LeftOver(count=len(sizes), size_bytes=sum(sizes))


def settled_before_s() -> float:
    """Return the time before which no file belongs to a request that is under way."""
    return time.time() - SETTLED_S


def put_aside(*, before_s: float) -> LeftOver:
    """Return how many stray files were put aside into the folder `unclaimed`.

    Only those last written before `before_s` (seconds since 1970) are touched, since another bench
    may be about to write the record.
    """
    found = stray_files(before_s=before_s)
    told = counted(found)
    for path in found:
        if is_copy(path):
            path.unlink(missing_ok=True)
        else:
            path.replace(free_name(made(Path(settings.FILES) / UNCLAIMED) / path.name))
    return told


def free_name(path: Path) -> Path:
    """Return a name like this one that no file has yet."""
    others = (path.with_stem(f"{path.stem}-{number}") for number in itertools.count(2))
    return next(each for each in itertools.chain([path], others) if not each.exists())
