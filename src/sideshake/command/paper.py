"""`sideshake paper`: any paper of a visit, from the workshop's records into a file."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from sideshake.command.database import use_workshop
from sideshake.command.options import PORT, Json
from sideshake.command.say import CommandAnswer, say
from sideshake.core.errors import InputError
from sideshake.documents.kinds import CareCardSize, Made, PaperKind

OPTIONS = {
    "size": PaperKind.CARE_CARD,
    "version": PaperKind.PROPOSAL,
    "invoice": PaperKind.INVOICE,
    "address": PaperKind.LABELS,
    "first": PaperKind.LABELS,
}
"""Which paper each option is for."""


def paper(
    kind: PaperKind,
    visit: Annotated[str, Parameter(help="The visit's number.")],
    *,
    to: Annotated[
        Path | None, Parameter(help="The file, or the folder it goes into; here if not given.")
    ] = None,
    size: Annotated[CareCardSize | None, Parameter(help="Of the care card.")] = None,
    version: Annotated[
        int | None, Parameter(help="Of the proposal; the newest if not given.")
    ] = None,
    invoice: Annotated[
        str, Parameter(help="The invoice's number; the one that holds now if not given.")
    ] = "",
    address: Annotated[
        str, Parameter(help="Where the workshop is opened, for the labels' code.")
    ] = "",
    issued: Annotated[
        bool,
        Parameter(help="The last report, card or order that was issued, unchanged.", negative=""),
    ] = False,
    first: Annotated[
        int | None, Parameter(help="The first free place on the sheet of labels; 1 if not given.")
    ] = None,
    replace: Annotated[bool, Parameter(help="Replace a file that is there.", negative="")] = False,
    as_json: Json = False,
) -> None:
    """Write a paper of a visit."""
    given = {"size": size, "version": version, "invoice": invoice, "address": address}
    require_fitting(kind, first=first, **given)
    with uncollected():
        use_workshop()
        from sideshake.web.documents.registry.requests import PaperRequest, paper_of
        from sideshake.web.storage.reached import require_up_to_date

        require_up_to_date()
        wanted = PaperRequest(
            kind=kind,
            visit=visit,
            address=f"{(address or f'http://127.0.0.1:{PORT}').rstrip('/')}/visits/{visit}/",
            size=size or CareCardSize.A6,
            edition=version,
            invoice=invoice,
            issued=issued,
            first_label=1 if first is None else first,
        )
        made = paper_of(wanted)
    written = written_to(to, made, replace=replace)
    say(answer(made, visit, written), as_json=as_json)


@contextmanager
def uncollected() -> Iterator[None]:
    """Look for no garbage meanwhile: all that is loaded stays, and looking through it takes long.

    It is a tenth of the processor's time of a paper, and one paper leaves little behind.
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def require_fitting(kind: PaperKind, **given: object) -> None:
    """Refuse an option that says nothing about this kind of paper.

    Raises
    ------
    InputError : names it
    """
    for name, value in given.items():
        if value and OPTIONS[name] is not kind:
            raise InputError(f"--{name} is for the {OPTIONS[name]}, not for the {kind}")


def written_to(to: Path | None, made: Made, *, replace: bool) -> Path:
    """Return where the paper was written.

    Raises
    ------
    InputError : a file is there and is not to be replaced, or the place cannot be written
    """
    path = Path(made.name) if to is None else to / made.name if to.is_dir() else to
    try:
        with path.open("wb" if replace else "xb") as file:
            file.write(made.data)
    except FileExistsError:
        raise InputError(f"{path} is there already; --replace writes over it") from None
    except OSError as fault:
        raise InputError(f"cannot write {path}: {fault.strerror}") from None
    return path


def answer(made: Made, visit: str, path: Path) -> CommandAnswer:
    """Return where the paper is and what it lacks."""
    lacks = [f"Still missing: {', '.join(made.gaps)}."] if made.gaps else []
    return CommandAnswer(
        schema="paper",
        sentences=[f"Visit {visit}, {made.kind}: written to {path}."],
        notes=lacks,
        figures={
            "kind": made.kind.value,
            "visit": visit,
            "file": str(path),
            "bytes": len(made.data),
            "lacks": list(made.gaps),
        },
    )
