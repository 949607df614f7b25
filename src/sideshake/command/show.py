"""`sideshake show`: a visit's story without names and numbers, as a folder for any web host."""

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from sideshake.command.database import use_workshop
from sideshake.command.options import Flag, Json
from sideshake.command.say import CommandAnswer, say
from sideshake.core.errors import InputError

if TYPE_CHECKING:
    from sideshake.documents.public_story import File, PublicStory


def show(
    visit: Annotated[str, Parameter(help="The visit's number.")],
    *,
    to: Annotated[
        Path | None, Parameter(help="A new or empty folder; left out, a look only.")
    ] = None,
    photographs: Annotated[bool, Parameter(help="With every photograph, or with none.")] = True,
    hide: Flag = False,
    as_json: Json = False,
) -> None:
    """List what a visit's page to show leaves out and still tells; write it with --to.

    Nothing is written without the owner's consent, which is recorded on the visit's page, nor while
    a name, a number or a place stands in the texts: edit them there, or take --hide.

    Parameters
    ----------
    hide
        Put an ellipsis in the place of every word that tells too much.
    as_json
        Write JSON instead of words.
    """
    use_workshop()
    from sideshake.documents.public_story import archive, site
    from sideshake.web.documents.registry.requests import visit_of
    from sideshake.web.public_story.services import note_shown, require_agreed
    from sideshake.web.public_story.story import kept_back, shown_as_recorded
    from sideshake.web.storage.reached import require_up_to_date

    require_up_to_date()
    found = visit_of(visit)
    require_agreed(found)
    shown = shown_as_recorded(found, photographs=photographs, hide=hide)
    written: list[str] = []
    if to is not None:
        files = site(shown)
        written = write_site(to, files)
        sha256 = hashlib.sha256(archive(files, to.name)).hexdigest()
        note_shown(found, None, shown, sha256=sha256)
    say(answer(visit, shown, kept_back(found), written), as_json=as_json)


def write_site(folder: Path, files: "tuple[File, ...]") -> list[str]:
    """Return the files written into a new or empty folder.

    Raises
    ------
    InputError : the folder holds something, or cannot be written to
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            raise InputError(f"{folder} is not empty; choose a new folder")
        for each in files:
            (folder / each.name).write_bytes(each.data)
    except OSError as fault:
        raise InputError(f"cannot write {folder}: {fault.strerror}") from None
    return [str(folder / each.name) for each in files]


def answer(
    visit: str, shown: "PublicStory", left_out: list[str], written: list[str]
) -> CommandAnswer:
    """Return what the page leaves out, what it still tells, and where it is."""
    from sideshake.documents.public_story import still_told

    telling = {part: [each.words for each in found] for part, found in still_told(shown).items()}
    notes = [f"Left out: {', '.join(left_out)}."] if left_out else []
    notes += [
        f"Still told in {part}: {', '.join(f'“{each}”' for each in words)}."
        for part, words in telling.items()
    ]
    where = "nothing is written yet; --to FOLDER writes it"
    if written:
        where = f"written to {Path(written[0]).parent}, to be put on any web host"
    return CommandAnswer(
        schema="page-to-show",
        sentences=[f"Visit {visit} as a page to show: {where}."],
        notes=notes,
        figures={"left_out": left_out, "still_told": telling, "written": written},
    )
