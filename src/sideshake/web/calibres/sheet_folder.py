"""The folder of own sheets of earlier times: each file is taken in once, and stays where it is.

That a file was taken in is told by the history of its calibre, with the SHA-256 of what it held; so
what is restored, removed or edited since is never mixed up with the file.
"""

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.movement.sheet_file import ENDING
from sideshake.movement.sheet_text import remarks_of
from sideshake.web.base.saving import save, tell
from sideshake.web.calibres.models import LONGEST_NAME
from sideshake.web.calibres.sheets import LARGEST_BYTES, OWN, own_folder, plain_sheet
from sideshake.web.models import Calibre, Change

FILE = "file"
"""Under this name the history of a calibre keeps the mark of the file it came from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FromFolder:
    """What became of the files in the folder."""

    taken: tuple[str, ...] = ()
    """The names of the calibres that came in now."""
    left: tuple[str, ...] = ()
    """A sentence for each file that could not be taken in."""


NOTHING_LAY_THERE = FromFolder()


def take_in_folder() -> FromFolder:
    """Return what became of the own sheets of earlier times: each new one is a calibre now.

    A file that cannot be taken in stops nothing; it is told at each start until it is mended or
    gone.
    """
    taken, left = [], []
    known = marks_known()
    for path in sorted(own_folder().glob(f"*{ENDING}")):
        try:
            data = read(path)
            if mark_of(path, data) in known:
                continue
            take_in(path, data)
            taken.append(path.stem)
        except InputError as error:
            left.append(_("The file %(file)s was left alone: %(why)s") % {
                "file": f"{OWN}/{path.name}", "why": error.sentence,
            })  # fmt: skip
    return FromFolder(taken=tuple(taken), left=tuple(left))


def marks_known() -> frozenset[str]:
    """Return the marks of all files that were ever taken in here."""
    rows = Change.objects.filter(kind="calibre", fields__has_key=FILE)
    return frozenset(fields[FILE][1] for fields in rows.values_list("fields", flat=True))


def mark_of(path: Path, data: bytes) -> str:
    """Return what tells a file with what it holds from every other."""
    return f"{path.name} {sha256(data).hexdigest()}"


def read(path: Path) -> bytes:
    """Return what a file holds.

    Raises
    ------
    InputError : it cannot be read, or is no sheet by its size
    """
    try:
        if not path.is_file() or path.stat().st_size > LARGEST_BYTES:
            raise InputError(_("it is no file, or larger than any sheet"))
        return path.read_bytes()
    except OSError as error:
        raise InputError(_("it cannot be read: %(why)s") % {"why": error.strerror}) from None


@transaction.atomic
def take_in(path: Path, data: bytes) -> None:
    """Make a calibre of a file, named as the file is.

    Raises
    ------
    InputError : it holds no sheet that can be read, or there is another calibre of that name
    """
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise InputError(_("it is no UTF-8 text: %(why)s") % {"why": error.reason}) from None
    if len(path.stem) > LONGEST_NAME:
        raise InputError(_("its name is longer than %(n)d letters") % {"n": LONGEST_NAME})
    made = Calibre(name=path.stem, sheet=plain_sheet(text), note=remarks_of(text))
    if Calibre.objects.filter(name=made.name).exists():
        raise InputError(
            _("there is a calibre %(name)s already; take the file in on the page of calibres")
            % {"name": made.name}
        )
    try:
        with transaction.atomic():
            save(made, None, what=_("taken in from the file %(file)s") % {"file": path.name})
    except IntegrityError:
        raise InputError(_("another bench takes in a calibre of that name just now")) from None
    tell(made, None, _("file"), {FILE: [None, mark_of(path, data)]})
