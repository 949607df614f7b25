"""Uploads streamed to disk: whole and checked under their own name, or not there at all.

Memory does not grow with the upload, so a recording of hours goes the same way as a picture.
"""

import errno
import hashlib
import os
import secrets
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sideshake.core.errors import InputError

UNFINISHED = ".unfinished-"
NAME_LETTERS = 32
"""Half of a SHA-256: two different files under one name are not to be expected."""
NO_ROOM = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})
"""No room on the disk, none for this person, or a file larger than this disk can hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stored:
    """A file that is safely on the disk, named after its content."""

    path: Path
    size_bytes: int
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOver:
    """What unfinished uploads a crash has left behind."""

    count: int
    size_bytes: int

    @property
    def sentence(self) -> str:
        """Return what to tell the user; empty if there was nothing."""
        if not self.count:
            return ""
        uploads = "upload was" if self.count == 1 else "uploads were"
        return f"{self.count} unfinished {uploads} thrown away"


def stream_to_disk(
    chunks: Iterable[bytes],
    folder: Path,
    *,
    limit_bytes: int,
    judge: Callable[[Path], str],
) -> Stored:
    """Return where an upload is stored, named after its content and never after the user's name.

    Parameters
    ----------
    chunks : the upload, piece by piece
    folder : where it goes; it must exist
    limit_bytes : more than this is refused
    judge : called with the whole file, still under its passing name; returns the ending for its
        name (".wav"), or raises InputError, upon which nothing is kept

    Raises
    ------
    InputError : empty, above the limit, no room on the disk, or what `judge` raises
    """
    with passing_file(folder) as passing:
        size_bytes, sha256 = write(chunks, passing, limit_bytes)
        path = folder / (sha256[:NAME_LETTERS] + judge(passing))
        passing.replace(path)
    sync_folder(folder)
    return Stored(path=path, size_bytes=size_bytes, sha256=sha256)


def write_whole(path: Path, data: bytes) -> None:
    """Write a file under its name, whole or not at all."""
    with passing_file(path.parent) as passing:
        write([data], passing, len(data))
        passing.replace(path)


@contextmanager
def passing_file(folder: Path) -> Iterator[Path]:
    """Yield a name for an unfinished file; what has not been renamed by the end is removed."""
    path = folder / (UNFINISHED + secrets.token_hex(16))
    try:
        yield path
    except OSError as fault:
        if fault.errno in NO_ROOM:
            raise InputError(
                "there is no room left on the disk; nothing of the upload was kept"
            ) from None
        raise
    finally:
        path.unlink(missing_ok=True)


def write(chunks: Iterable[bytes], path: Path, limit_bytes: int) -> tuple[int, str]:
    """Return size and SHA-256 of what was written to a new file at `path`, safe on the disk."""
    size_bytes, fingerprint = 0, hashlib.sha256()
    with path.open("xb") as file:
        for chunk in chunks:
            size_bytes += len(chunk)
            if size_bytes > limit_bytes:
                raise InputError(
                    f"the upload is larger than the {limit_bytes / 1e6:.0f} MB that are allowed; "
                    "nothing of it was kept"
                )
            file.write(chunk)
            fingerprint.update(chunk)
        file.flush()
        os.fsync(file.fileno())
    if not size_bytes:
        raise InputError("the upload is empty, 0 bytes came; choose a file")
    return size_bytes, fingerprint.hexdigest()


def sync_folder(folder: Path) -> None:
    """Make the new name in a folder safe against a loss of power, where the system can."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
