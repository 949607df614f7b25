"""The demo workshop: a season of invented visits, made anew in a folder of its own."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from sideshake.command.database import use_workshop
from sideshake.core.errors import InputError
from sideshake.demo.season import season, some_visits
from sideshake.demo.shapes import Season
from sideshake.demo.workshop.making import Files, Told, make_files
from sideshake.demo.workshop.place import WORKSHOP, made_beside

DRAWING = "drawing the season's photographs, making and hearing its recordings"


def make_workshop(folder: Path, *, visits: int | None) -> Path:
    """Return where the demo workshop lies, made anew.

    Raises
    ------
    InputError : there is something else, or it cannot be written
    """
    whole = season(date.today())
    wanted = whole if visits is None else some_visits(whole, visits)
    try:
        with made_beside(folder) as unfinished:
            fill(unfinished, wanted)
    except OSError as fault:
        raise InputError(f"cannot make the demo workshop in {folder}: {fault}") from None
    return folder / WORKSHOP


def fill(data: Path, wanted: Season) -> None:
    """Write the season into a new data folder; it has a database of its own, whatever is set."""
    os.environ.pop("DATABASE_URL", None)
    os.environ.pop("SIDESHAKE_FILES", None)
    os.environ["SIDESHAKE_DATA"] = str(data)
    with watched() as tell:
        files = make_files(wanted, data.absolute() / "files", tell)
    write(wanted, files)


def write(wanted: Season, files: Files) -> None:
    """Write the records, and leave the database closed."""
    use_workshop()
    from django.core.management import call_command
    from django.db import connections

    from sideshake.demo.workshop.loading import load

    call_command("migrate", verbosity=0, interactive=False)
    load(wanted, files)
    connections.close_all()


@contextmanager
def watched() -> Iterator[Told]:
    """Yield what shows how far it is, where somebody watches."""
    if not sys.stderr.isatty():
        yield lambda _done, _all: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(DRAWING, total=None)
        yield lambda done, all_: progress.update(task, completed=done, total=all_)
