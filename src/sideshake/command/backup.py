"""`sideshake backup` and `sideshake restore`: the whole workshop in one file, and back."""

import sys
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from sideshake.command.database import use_workshop
from sideshake.command.progress import progress_bar
from sideshake.core.errors import InputError


def backup(
    file: Annotated[Path, Parameter(help="The archive to write; it must not be there yet.")],
) -> None:
    """Write the whole workshop into one archive."""
    use_workshop()
    from sideshake.web.storage.backup import write_backup
    from sideshake.web.storage.full import note_full
    from sideshake.web.storage.reached import require_records
    from sideshake.web.storage.restore import read_back

    require_records()
    with progress_bar("Backing up") as progress:
        write_backup(file.absolute(), progress)
    with progress_bar("Reading back") as progress:
        contents = read_back(file.absolute(), progress)
    full = note_full(file.absolute())
    files = sum(each.name.startswith("files/") for each in contents.members)
    sheets = contents.records.get("bench.calibre", 0)
    say(
        f"{file} was read back: {sum(contents.records.values())} records, {files} files and "
        f"{sheets} calibres of your own. It holds everything, names and addresses too: keep "
        "it where only you can read it."
    )
    if full.same_disk:
        say("It lies on the same disk as the workshop: copy it onto another one.")


def restore(
    file: Annotated[Path, Parameter(help="The archive, made by sideshake backup.")],
    *,
    replace: Annotated[
        bool, Parameter(help="Replace what is here; it is kept in a backup first.", negative="")
    ] = False,
) -> None:
    """Bring the workshop back from an archive."""
    if not file.is_file():
        raise InputError(f"there is no file {file}")
    folder = use_workshop()
    from sideshake.storage.run_lock import require_closed
    from sideshake.web.calibres.sheet_folder import take_in_folder
    from sideshake.web.start import bring_up_to_date, sheet_news
    from sideshake.web.storage.restore import restore as bring_back

    require_closed(folder)
    bring_up_to_date()
    with progress_bar("Checking") as progress:
        restored = bring_back(file.absolute(), replace=replace, progress=progress)
    if restored.before:
        say(f"What was here before is kept in {restored.before}.")
    say(
        f"The workshop is as it was at {restored.contents.made_at}: {restored.rows} records and "
        f"{restored.files} files. Everybody signs in anew."
    )
    for sentence in sheet_news(take_in_folder()):
        say(sentence)


def say(sentence: str) -> None:
    """Write a line."""
    sys.stdout.write(sentence + "\n")
