"""`sideshake export` and `sideshake import`: tables for other programs, and from them."""

import sys
from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from sideshake.command.database import use_workshop
from sideshake.command.progress import progress_bar

MOST_SHOWN = 500
"""Lines that are told one by one."""


def export(
    folder: Annotated[Path, Parameter(help="A new folder for the tables.")],
) -> None:
    """Write every table as CSV, and all of them as one JSON."""
    use_workshop()
    from sideshake.web.storage.reached import require_records
    from sideshake.web.storage.tables import export as write_tables

    require_records()
    paths = write_tables(folder.absolute())
    tell(f"{folder} holds {len(paths) - 1} tables as CSV, and all of them in workshop.json.")


def import_(
    file: Annotated[Path, Parameter(help="A CSV file of owners and watches.")],
    *,
    dry_run: Annotated[
        bool, Parameter(help="Only say what would happen with each line.", negative="")
    ] = False,
) -> None:
    """Take owners and watches in from a CSV file."""
    use_workshop()
    from sideshake.web.storage.imported import Refused
    from sideshake.web.storage.reached import require_up_to_date
    from sideshake.web.storage.taking_in import import_owners

    require_up_to_date()
    try:
        with progress_bar("Taking in") as progress:
            lines = import_owners(file.absolute(), by=None, dry_run=dry_run, progress=progress)
    except Refused as refused:
        show([line for line in refused.lines if line.wrong])
        raise
    except KeyboardInterrupt:
        tell("Stopped. What had come in was taken back.")
        raise
    show(lines)
    wrong = sum(line.wrong for line in lines)
    if dry_run:
        tell(f"Nothing was written. {wrong} of {len(lines)} lines cannot be taken.")
    else:
        tell(f"{len(lines)} lines were taken.")


def show(lines: list[Any]) -> None:
    """Write a table of lines and what becomes of them."""
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(box=box.SIMPLE_HEAD)
    for title in ("line", "owner", "watch", "what happens"):
        table.add_column(title)
    for line in lines[:MOST_SHOWN]:
        what = f"cannot be taken: {line.what}" if line.wrong else line.what
        table.add_row(str(line.number), Text(line.owner), Text(line.watch), Text(what))
    Console(highlight=False).print(table)
    if len(lines) > MOST_SHOWN:
        tell(f"{len(lines) - MOST_SHOWN} more lines are not shown.")


def tell(sentence: str) -> None:
    """Write a line."""
    sys.stdout.write(sentence + "\n")
