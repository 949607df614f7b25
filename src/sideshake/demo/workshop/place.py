"""The demo workshop's folder: made beside, put in place when whole, replaced only if it is one."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sideshake.core.errors import InputError
from sideshake.storage.folder import made
from sideshake.storage.run_lock import require_closed

SIGN = "demo-workshop"
"""The file by which a folder is known to hold a demo workshop."""
SIGN_TEXT = (
    "A demo workshop: everything is invented. `sideshake demo` makes it anew, without asking.\n"
)
UNFINISHED = "workshop-being-made"
WORKSHOP = "workshop"


def require_replaceable(place: Path) -> None:
    """Refuse a folder that holds anything but a closed demo workshop.

    Raises
    ------
    InputError : it does; nothing is touched
    """
    if not place.exists():
        return
    if not place.is_dir() or (any(place.iterdir()) and not (place / SIGN).is_file()):
        raise InputError(
            f"{place} is there already and is no demo workshop; nothing in it was touched. Give "
            "sideshake demo another folder"
        )
    require_closed(place)


@contextmanager
def made_beside(folder: Path) -> Iterator[Path]:
    """Yield a new folder; it becomes FOLDER/workshop at the end, or vanishes if there is a fault.

    Raises
    ------
    InputError : what is there now is no demo workshop, or is open
    """
    place, unfinished = folder / WORKSHOP, folder / UNFINISHED
    require_replaceable(place)
    shutil.rmtree(unfinished, ignore_errors=True)
    made(unfinished)
    try:
        (unfinished / SIGN).write_text(SIGN_TEXT, encoding="utf-8")
        yield unfinished
        put_in_place(unfinished, place)
    finally:
        shutil.rmtree(unfinished, ignore_errors=True)


def put_in_place(unfinished: Path, place: Path) -> None:
    """Let the finished folder take the place of the former one."""
    require_replaceable(place)
    former = place.with_name(f"{WORKSHOP}-before")
    shutil.rmtree(former, ignore_errors=True)
    if place.exists():
        place.rename(former)
    unfinished.rename(place)
    shutil.rmtree(former, ignore_errors=True)
