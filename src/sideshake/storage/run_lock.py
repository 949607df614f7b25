"""A file that tells that the workshop is open, and afterwards whether it was closed properly."""

import os
from pathlib import Path
from types import ModuleType
from typing import IO

from sideshake.core.errors import InputError

fcntl: ModuleType | None
try:
    import fcntl
except ImportError:  # Windows has no such locks: there a second start is not noticed
    fcntl = None

NAME = "running"


class RunLock:
    """The file `running`: locked as long as this process lives, removed when it ends properly."""

    def __init__(self, folder: Path) -> None:
        """Take the marker.

        Raises
        ------
        InputError : the workshop in this folder is open already
        """
        self.path = folder / NAME
        self.left_over = self.path.exists()
        self.file: IO[str] = self.path.open("a+", encoding="utf-8")
        if not locked(self.file):
            self.file.seek(0)
            where = self.file.read().strip()
            self.file.close()
            raise InputError(
                f"the workshop in {folder} is open already ({where or 'just starting'}); use that "
                "one, or close it with Ctrl-C where it was started"
            )
        self.say(f"process {os.getpid()}")

    def say(self, where: str) -> None:
        """Write down where the open workshop is found."""
        self.file.seek(0)
        self.file.truncate()
        self.file.write(where + "\n")
        self.file.flush()

    def release(self) -> None:
        """Tell that the workshop was closed properly."""
        self.path.unlink(missing_ok=True)
        self.file.close()


def locked(file: IO[str]) -> bool:
    """Return whether the file could be locked for this process alone."""
    if fcntl is None:
        return True
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def require_closed(folder: Path) -> None:
    """Refuse while the workshop in this folder is open.

    Raises
    ------
    InputError : it is open
    """
    path = folder / NAME
    if path.exists() and fcntl is not None:
        with path.open("a+", encoding="utf-8") as file:
            if not locked(file):
                raise InputError(f"the workshop in {folder} is open; close it first, by Ctrl-C")
