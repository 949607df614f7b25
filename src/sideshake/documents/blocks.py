"""What our paper is made of: blocks, one after the other, set by Typst or written as HTML.

A builder leaves out what it has no data for, so there is never an empty table or a "None".
"""

import mimetypes
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from sideshake.core.errors import InputError
from sideshake.wording import gettext as _
from sideshake.wording import spoken

WIDE_MM = re.compile(rb'<svg[^>]*\bwidth="([\d.]+)mm"')
FEW_ROWS, LEAST_ROWS = 8, 3
"""A table of few rows is read as one; fewer than the least do not stand on a page by themselves."""


class Paper(StrEnum):
    """The size of the paper."""

    A4 = "a4"
    US_LETTER = "us-letter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture's bytes (SVG, PNG or JPEG), a name that ends in its kind, and its words."""

    name: str
    data: bytes = field(repr=False)
    alt: str
    caption: str = ""

    def __post_init__(self) -> None:
        if self.kind not in ("image/svg+xml", "image/png", "image/jpeg"):
            raise InputError(f"a picture on paper is SVG, PNG or JPEG by its name, got {self.name}")

    @property
    def wide_mm(self) -> float | None:
        """Return how wide a drawing is as it was drawn; None of a photograph."""
        found = WIDE_MM.search(self.data[:400]) if self.kind == "image/svg+xml" else None
        return float(found[1]) if found else None

    @property
    def kind(self) -> str:
        """Return the kind of the picture, such as image/png."""
        return mimetypes.guess_type(self.name)[0] or ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Letterhead:
    """The workshop as its paper names it."""

    name: str
    address: str = ""
    country: str = ""
    phone: str = ""
    email: str = ""
    website: str = ""
    tax_number: str = ""
    bank: str = ""
    logo: Picture | None = None

    @property
    def lines(self) -> tuple[str, ...]:
        """Return the lines under the name."""
        reached = " · ".join(each for each in (self.phone, self.email) if each)
        there = self.country if self.country not in self.address else ""
        lines = (*self.address.splitlines(), there, reached, self.website)
        return tuple(line for line in lines if line.strip())


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A heading; level 2 stands under the title."""

    words: str
    level: int = 2
    alone: bool = False
    """Whether nothing is said under it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A paragraph; `large` for the sentence that says it all."""

    words: str
    large: bool = False
    quiet: bool = False
    keep: bool = False
    """Whether it stays on the page of what follows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """The owner's own words."""

    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Points:
    """A list of sentences; `ticked` has a box to tick before each."""

    items: tuple[str, ...]
    ticked: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Names and what they are; `name_mm` is the width of the names, as wide as needed when 0."""

    pairs: tuple[tuple[str, str], ...]
    name_mm: float = 0.0
    keep: bool = False
    """Whether they stay on the page of what follows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """One to three pictures side by side; `height_mm` is the most they may take.

    A drawing is never printed so small that its letters cannot be read.
    """

    pictures: tuple[Picture, ...]
    height_mm: float = 75.0
    keep: bool = False
    """Whether they stay on the page of what follows."""

    def __post_init__(self) -> None:
        if not 1 <= len(self.pictures) <= 3:
            raise InputError(f"one to three pictures stand in a row, got {len(self.pictures)}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table; columns in `numbers` are set to the right, the last `sums` rows are bold.

    A short one stays on one page. Of a longer one at least three rows stand on each page.
    """

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...] = ()
    sums: int = 0
    groups: tuple[int, ...] = ()
    """How many rows in turn belong together; each stands for itself if left out."""
    keep: bool = False
    """Whether it stays on the page of what follows."""

    def __post_init__(self) -> None:
        if not self.rows:
            raise InputError("a table needs a row: leave the block out when there is nothing")
        for row in self.rows:
            if len(row) != len(self.columns):
                raise InputError(f"a row has {len(row)} cells under {len(self.columns)} columns")
        if self.groups and sum(self.groups) != len(self.rows):
            raise InputError(f"{len(self.rows)} rows do not fall into groups of {self.groups}")

    @property
    def held(self) -> tuple[int, ...]:
        """Return how many rows in turn stay on one page.

        >>> Table(columns=("What",), rows=(("work",),) * 10).held
        (3, 1, 1, 1, 1, 3)
        """
        count = len(self.rows)
        if count <= FEW_ROWS:
            return (count,)
        held = list(self.groups) or [1] * count
        while held[0] < LEAST_ROWS:
            held[:2] = [held[0] + held[1]]
        while held[-1] < min(count, max(LEAST_ROWS, self.sums + 1)):
            held[-2:] = [held[-2] + held[-1]]
        return tuple(held)


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A caution; a grave one is set in ruby."""

    title: str
    words: str
    grave: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Blanks:
    """Names with a rule to write on."""

    names: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A narrow drawing with words beside it, or words with a photograph to their right.

    `most_mm` is the most that a photograph may take of width and height; 0 for a drawing.
    """

    picture: Picture
    words: "tuple[Words | Points | Facts, ...]"
    most_mm: tuple[float, float] = (0.0, 0.0)
    keep: bool = False
    """Whether it stays on the page of what follows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Abreast:
    """What stands side by side, each with its own heading, words and pictures."""

    cells: "tuple[tuple[Heading | Words | Figures, ...], ...]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """A part that stays whole on one page; a `slip` is cut off and sent back."""

    parts: "tuple[Heading | Words | Points | Facts | Blanks, ...]"
    slip: bool = False


Block = (
    Abreast
    | Beside
    | Heading
    | Words
    | Story
    | Points
    | Facts
    | Figures
    | Table
    | Caution
    | Blanks
    | Whole
)


def known_facts(
    *pairs: tuple[str, str], name_mm: float = 0.0, keep: bool = False
) -> Iterator[Facts]:
    """Yield the facts whose words are there, as one block; no block when none are."""
    kept = tuple((name, words) for name, words in pairs if words)
    if kept:
        yield Facts(pairs=kept, name_mm=name_mm, keep=keep)


def rights_blocks(rights: str) -> "Iterator[Heading | Words]":
    """Yield the customer's rights under their heading, a paragraph each; nothing without words."""
    parts = [part.strip() for part in rights.split("\n\n") if part.strip()]
    if parts:
        yield Heading(words=_("Your rights"))
        yield from (Words(words=part, quiet=True) for part in parts)


def figure_rows(
    pictures: tuple[Picture, ...],
    *,
    in_row: int = 2,
    height_mm: float = 75.0,
    keep: bool = False,
) -> Iterator[Figures]:
    """Yield pictures in rows."""
    for first in range(0, len(pictures), in_row):
        row = pictures[first : first + in_row]
        yield Figures(pictures=row, height_mm=height_mm, keep=keep)


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A whole document: head, title block, blocks, and the foot of every page."""

    title: str
    head: Letterhead
    day: date
    cells: tuple[tuple[str, str], ...]
    """The title block's cells: what, and its text."""
    blocks: tuple[Block, ...]
    to: str = ""
    """The address in the window, if it is a letter."""
    tight: bool = False
    """Whether it is set on as few pages as can be; else its pages are filled."""
    foot: str = ""
    first_foot: str = ""
    """What stands at the foot of the first page instead, whose head says more."""
    paper: Paper = Paper.A4
    language: str = field(default_factory=lambda: spoken().value)
    """The language spoken when it was made."""
    gaps: tuple[str, ...] = ()
    """What the restorer should know is missing; never printed."""
    invoice_data: bytes = field(default=b"", repr=False)
    """An invoice as XML, to lie inside the PDF."""

    def __post_init__(self) -> None:
        names = [picture.name for picture in self.pictures]
        if len(set(names)) != len(names):
            raise InputError(f"two pictures of one document share a name: {sorted(names)}")

    @property
    def pictures(self) -> tuple[Picture, ...]:
        """Return every picture in the document, the logo first."""
        logo = (self.head.logo,) if self.head.logo else ()
        return (*logo, *(each for block in self.blocks for each in pictures_in(block)))


def pictures_in(block: Block) -> tuple[Picture, ...]:
    """Return the pictures of a block."""
    match block:
        case Figures():
            return block.pictures
        case Beside():
            return (block.picture,)
        case Abreast():
            return tuple(p for cell in block.cells for each in cell for p in pictures_in(each))
        case _:
            return ()
