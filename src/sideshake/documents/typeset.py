"""Typst, called in one place: a template, its data and its pictures in; a PDF or pages out.

The data reach the template as JSON, so that `#`, `$`, `<` and quotes in them are only letters.
Fonts are those that come with the typst package: the same paper on every computer.
"""

import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal

import typst

from sideshake.documents import facturx
from sideshake.documents.glyphs import bare, printed, settable

MAIN = "main.typ"
STYLE = "style.typ"
DATA = "data.json"
STANDARDS: list[Literal["a-3a", "ua-1"]] = ["a-3a", "ua-1"]
"""Archival with any file inside (ISO 19005-3, level A) and accessible (ISO 14289-1)."""
EMBEDDING = f"""
#pdf.attach("{facturx.NAME}", relationship: "alternative", mime-type: "text/xml",
  description: "The data of this invoice (EN 16931, Factur-X)")
""".encode()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What is to be set: a template's name, what it says, its pictures, and the day it is dated.

    `pictures` maps names such as `dial.svg` to their bytes; the template calls them by name.
    """

    template: str
    said: Mapping[str, Any]
    day: date
    pictures: Mapping[str, bytes] = field(default_factory=dict)
    invoice_data: bytes = b""
    """The invoice as XML, to lie inside the PDF."""
    bare: bool = False
    """Whether marks that are no part of a letter are left out."""

    def files(self) -> dict[str, bytes]:
        """Return all that Typst is given, by name."""
        embedded = {facturx.NAME: self.invoice_data} if self.invoice_data else {}
        return {
            MAIN: template_bytes(self.template) + EMBEDDING * bool(embedded),
            STYLE: template_bytes(STYLE),
            DATA: json.dumps(
                said_by(self.letters, self.said), ensure_ascii=False, allow_nan=False
            ).encode(),
            **{name: self.drawable(name, data) for name, data in self.pictures.items()},
            **embedded,
        }

    def letters(self, text: str) -> str:
        """Return a text in letters that can be set, with the apostrophes of print."""
        kept = printed(settable(text))
        return bare(kept) if self.bare else kept

    def drawable(self, name: str, data: bytes) -> bytes:
        """Return a picture that Typst can set: the words of a drawing only in letters there are."""
        return self.letters(data.decode()).encode() if name.endswith(".svg") else data

    @property
    def moment(self) -> datetime:
        """Return the time stamp: midnight of the sheet's day, so that equal input is equal."""
        return datetime(self.day.year, self.day.month, self.day.day, tzinfo=UTC)


def pdf(sheet: Sheet) -> bytes:
    """Return the sheet as a tagged PDF/A-3a and PDF/UA-1, an invoice's data inside it.

    Fonts have letters and marks, but not every mark on every letter: where Typst refuses the paper
    for one, it is set without the marks that are no part of a letter.
    """
    try:
        made = archived(sheet)
    except typst.TypstError:
        made = archived(replace(sheet, bare=True))
    return facturx.with_marks(made) if sheet.invoice_data else made


def archived(sheet: Sheet) -> bytes:
    """Return the sheet as PDF."""
    with laid_out(sheet) as folder:
        made = typst.compile(
            folder / MAIN,
            root=folder,
            format="pdf",
            ignore_system_fonts=True,
            pdf_standards=list(STANDARDS),
            timestamp=sheet.moment,
        )
    return bytes(made)


def pages(sheet: Sheet, *, pixels_per_inch: float = 144.0) -> list[bytes]:
    """Return the sheet's pages as PNG pictures."""
    with laid_out(sheet) as folder:
        made = typst.compile(
            folder / MAIN,
            root=folder,
            format="png",
            ppi=pixels_per_inch,
            ignore_system_fonts=True,
            timestamp=sheet.moment,
        )
    return [bytes(made)] if isinstance(made, bytes) else [bytes(page) for page in made]


@dataclass(frozen=True, slots=True)
class PageMark:
    """A place on a page: where something begins or ends, in mm from the page's top."""

    page: int
    down_mm: float


def marks(sheet: Sheet) -> list[PageMark]:
    """Return where words and pictures of a document begin and end, or where a bench sheet ends.

    The sheet is laid out for it, and neither drawn nor written; setting it then is quick.
    """
    with laid_out(sheet) as folder:
        found = typst.query(
            folder / MAIN,
            "<mark>",
            field="value",
            root=folder,
            ignore_system_fonts=True,
        )
    return [PageMark(page, down_mm) for page, down_mm in json.loads(found)]


@contextmanager
def laid_out(sheet: Sheet) -> Iterator[Path]:
    """Yield a folder with all the sheet's files; it goes away afterwards.

    Typst's wheel takes pictures from a folder only: files given from memory must be text.
    """
    with TemporaryDirectory(prefix="sideshake-paper-") as name:
        folder = Path(name)
        for each, data in sheet.files().items():
            (folder / each).write_bytes(data)
        yield folder


def said_by(letters: Callable[[str], str], said: Any) -> Any:
    """Return what a sheet says with every text as `letters` gives it."""
    match said:
        case str():
            return letters(said)
        case Mapping():
            return {key: said_by(letters, each) for key, each in said.items()}
        case list() | tuple():
            return [said_by(letters, each) for each in said]
        case _:
            return said


def template_bytes(name: str) -> bytes:
    """Return a template that comes with the program."""
    return (files("sideshake.documents") / "templates" / name).read_bytes()
