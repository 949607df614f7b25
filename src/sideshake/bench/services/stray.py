"""Files that no record names: found, told, put aside; never thrown away.

They remain when the workshop is stopped between a file and its record, or between a record's
removal and its file's. What was put aside lies in `files/unclaimed`.
"""

import itertools
import time
from collections.abc import Callable, Iterable
from pathlib import Path

from django.conf import settings

from sideshake.bench.folder import made
from sideshake.bench.models import Issued, Photograph, Reading, Recording, Workshop
from sideshake.photo.store import LeftOver

UNCLAIMED = "unclaimed"
SETTLED_S = 600.0
"""A younger file may belong to a request that is under way."""


def stored_names(rows: Callable[[], Iterable[str]]) -> Callable[[], set[str]]:
    """Return what tells the names, without their endings, that records have for files."""
    return lambda: {Path(name).stem for name in rows()}


NAMED: dict[str, Callable[[], set[str]]] = {
    "photographs": stored_names(lambda: Photograph.objects.values_list("stored", flat=True)),
    "recordings": stored_names(lambda: Recording.objects.values_list("stored", flat=True)),
    "papers": stored_names(lambda: Issued.objects.values_list("stored", flat=True)),
    "logo": stored_names(lambda: Workshop.objects.values_list("logo", flat=True)),
    "live": stored_names(
        lambda: map(str, Reading.objects.filter(state="live").values_list("pk", flat=True))
    ),
}
"""By folder: which files a record names. A smaller copy or a live sound goes by what stands before
its dash. Drawn pictures are not among them: they are made again when they are wanted."""


def stray_files(*, before_s: float) -> list[Path]:
    """Return the files that no record names, last written before a time (seconds since 1970)."""
    found = []
    for folder, names in NAMED.items():
        paths = [path for path in (Path(settings.FILES) / folder).glob("[!.]*") if path.is_file()]
        claimed = names() if paths else set()
        found += [path for path in paths if owner_of(path) not in claimed]
    return [path for path in found if path.stat().st_mtime < before_s]


def owner_of(path: Path) -> str:
    """Return by which name a record would know a file or a smaller copy of it."""
    return path.stem.split("-")[0]


def is_copy(path: Path) -> bool:
    """Return whether it is a smaller copy of a photograph, which can be made again."""
    return path.parent.name == "photographs" and "-" in path.stem


def counted(found: list[Path]) -> LeftOver:
    """Return how many stray files there are, and how large they are; copies do not count."""
    originals = [path for path in found if not is_copy(path)]
    size_bytes = sum(path.stat().st_size for path in originals)
    return LeftOver(count=len(originals), size_bytes=size_bytes)


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
