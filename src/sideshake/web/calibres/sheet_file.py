"""A calibre's file from outside: checked and told of first, taken in only at a yes."""

from dataclasses import dataclass, replace
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils.translation import gettext as _

from sideshake.core.errors import Faults, InputError
from sideshake.movement.fault import Fault
from sideshake.movement.line_numbers import line_number
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import ENDING, sheet_from_text
from sideshake.movement.sheet_text import remarks_of
from sideshake.web.base.saving import save
from sideshake.web.calibres.answers import Answers, answers_of
from sideshake.web.calibres.services import keep_new
from sideshake.web.calibres.sheets import LARGEST_BYTES, plain_sheet
from sideshake.web.models import Calibre, User


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """A fault of a file: its line, if it is one line's, and what is wrong with it."""

    line: int | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """A file as it came, what is wrong with it, and what the checks say of its sheet."""

    text: str
    sheet: CalibreSheet | None
    wrong: tuple[Wrong, ...] = ()
    """Why it cannot be read."""
    cannot: tuple[Wrong, ...] = ()
    """What can be read, and cannot be."""
    odd: tuple[Wrong, ...] = ()
    answers: Answers | None = None

    @property
    def without_odd(self) -> Answers | None:
        """Return what can be told; what is odd is told before, with its lines."""
        return replace(self.answers, wrong=()) if self.answers else None


def file_sent(upload: "UploadedFile[Any]") -> str:
    """Return the text of a file that was sent.

    Raises
    ------
    InputError : it is too large for a sheet, or no UTF-8 text
    """
    if (upload.size or 0) > LARGEST_BYTES:
        raise InputError(
            _("%(file)s is larger than any sheet (%(kb)d kB)")
            % {"file": upload.name, "kb": LARGEST_BYTES // 1000}
        )
    try:
        return bytes(upload.read()).decode("utf-8")
    except UnicodeDecodeError as error:
        raise InputError(
            _("%(file)s is no UTF-8 text (%(why)s); a sheet ends in %(ending)s")
            % {"file": upload.name, "why": error.reason, "ending": ENDING}
        ) from None


def checked_file(text: str) -> Checked:
    """Return what is wrong with a file, or what its sheet says; nothing is stored."""
    try:
        sheet = sheet_from_text(text)
    except Faults as several:
        wrong = tuple(
            Wrong(line=line_number(text, key) if key else None, words=words)
            for key, words in several.told
        )
        return Checked(text=text, sheet=None, wrong=wrong)
    except InputError as error:
        return Checked(text=text, sheet=None, wrong=(Wrong(line=None, words=str(error)),))
    answers = answers_of(sheet)
    told = [(each.cannot_be, wrong_at(text, each)) for each in answers.wrong]
    return Checked(
        text=text,
        sheet=sheet,
        cannot=(
            *(wrong for cannot_be, wrong in told if cannot_be),
            *(Wrong(line=None, words=words) for words in answers.contradicted),
        ),
        odd=tuple(wrong for cannot_be, wrong in told if not cannot_be),
        answers=answers,
    )


def wrong_at(text: str, fault: Fault) -> Wrong:
    """Return a fault with the line of the file that it begins with."""
    return Wrong(line=line_number(text, fault.keys[0]), words=fault.words)


@transaction.atomic
def take_in(text: str, by: User, *, into: Calibre | None = None, seen: int = 0) -> Calibre:
    """Return the calibre that a file became: a new one, or the next version of one.

    Raises
    ------
    InputError : the file holds no sheet that can be read
    Overtaken : somebody else has changed that calibre meanwhile
    """
    sheet = sheet_from_text(text)
    plain, note = plain_sheet(text), remarks_of(text)
    if into is None:
        return keep_new(plain, note, by, title=sheet.name, what=_("taken in from a file"))
    into.sheet, into.note = plain, note
    save(into, by, seen=seen, what=_("taken in from a file"))
    return into
