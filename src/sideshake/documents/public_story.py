"""A page to show: a visit's story as a small static site, without names and numbers.

Nothing is published by itself: `PublicStory` needs the day and the way of the owner's consent,
what still tells too much is found before anything is written, and with a single find nothing is
written.
"""

import io
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from html import escape, unescape

from sideshake.core.errors import InputError
from sideshake.documents.acceptance import Proof, proof_blocks
from sideshake.documents.blocks import (
    Block,
    Heading,
    Letterhead,
    Picture,
    Points,
    Story,
    Words,
    figure_rows,
)
from sideshake.documents.page import block_html, head_html
from sideshake.documents.redaction import CELL, Secret, SecretFound, unsafe_in
from sideshake.documents.typeset import template_bytes
from sideshake.photo.place import has_position

LONG_AGO = (1980, 1, 1, 0, 0, 0)
"""The time of every file in the archive: the same page gives the same bytes."""
ENDINGS = {"image/jpeg": ".jpg", "image/png": ".png", "image/svg+xml": ".svg"}
POLICY = (
    "default-src 'none'; style-src 'self' file:; img-src 'self' file:; base-uri 'none'; "
    "form-action 'none'"
)
"""Nothing but its own style and pictures; `file:` so that it opens from a disk too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Texts:
    """What the restorer lets the page say; lines of `seen`, `done` and `parts` become points.

    In `found` an empty line stands between two findings, and each begins with its title.
    """

    title: str
    story: str = ""
    seen: str = ""
    found: str = ""
    done: str = ""
    parts: str = ""

    def __post_init__(self) -> None:
        if not self.title.strip():
            raise InputError("a page to show needs a title, such as: a silver pocket watch")


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicStory:
    """A story that may be shown: its texts, figures and pictures, and what must not be in it."""

    head: Letterhead
    texts: Texts
    proof: Proof
    pictures: tuple[Picture, ...]
    secrets: tuple[Secret, ...]
    may_stay: frozenset[str] = frozenset()
    """Words that were found and are harmless here, such as a name that is also a colour."""
    consent_on: date | None
    consent_how: str

    def __post_init__(self) -> None:
        if self.consent_on is None or not self.consent_how.strip():
            raise InputError(
                "a visit's story may be shown only when the owner has agreed; record the day and "
                "how they agreed first"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class File:
    """One file of the site."""

    name: str
    data: bytes


def still_told(shown: PublicStory) -> dict[str, tuple[SecretFound, ...]]:
    """Return what each part of the page still tells and should not, by the part's name."""
    finds = {
        part: unsafe_in(text, shown.secrets, harmless=shown.may_stay)
        for part, text in parts_of(shown)
    }
    return {part: found for part, found in finds.items() if found}


def parts_of(shown: PublicStory) -> Iterator[tuple[str, str]]:
    """Yield the name and the text of every part that is not the workshop's own."""
    texts = shown.texts
    yield from (
        ("title", texts.title),
        ("story", texts.story),
        ("seen", texts.seen),
        ("found", texts.found),
        ("done", texts.done),
        ("parts", texts.parts),
        ("pictures", "\n".join(f"{each.alt}\n{each.caption}" for each in shown.pictures)),
        ("figures", bare_words("".join(map(block_html, proof_blocks(shown.proof))))),
    )
    drawings = (each for each in pictures_of(shown) if each.kind == "image/svg+xml")
    yield "drawings", CELL.join(bare_words(each.data.decode()) for each in drawings)


def bare_words(marked: str) -> str:
    """Return the words of a page or a drawing without its marks, each apart from the next."""
    return unescape(re.sub(r"<(style|defs)\b.*?</\1>|(<[^>]+>)+", CELL, marked, flags=re.DOTALL))


def site(shown: PublicStory) -> tuple[File, ...]:
    """Return the files of the page: index.html, style.css and its pictures.

    Raises
    ------
    InputError : something would still tell who owns the watch, or a picture where it was taken
    """
    told = still_told(shown)
    if told:
        words = ", ".join(f"“{each.words}”" for found in told.values() for each in found)
        raise InputError(f"the page would still show {words}; nothing was written")
    plain = plainly_named(shown)
    pictures = pictures_of(plain)
    for picture in pictures:
        require_placeless(picture)
    return (
        File(name="index.html", data=index(plain).encode()),
        File(name="style.css", data=template_bytes("document.css")),
        *(File(name=each.name, data=each.data) for each in pictures),
    )


def require_placeless(picture: Picture) -> None:
    """Refuse a photograph that tells where it was taken.

    Raises
    ------
    InputError : it does
    """
    if picture.kind != "image/svg+xml" and has_position(picture.data):
        raise InputError(
            f"the picture “{picture.alt}” tells where it was taken; nothing was written"
        )


def pictures_of(shown: PublicStory) -> tuple[Picture, ...]:
    """Return every picture of the page in its order, the logo first."""
    logo = (shown.head.logo,) if shown.head.logo else ()
    return (*logo, *shown.pictures, *shown.proof.pictures, *figures_of(shown.proof))


def figures_of(proof: Proof) -> tuple[Picture, ...]:
    """Return the pictures of what each figure did."""
    return tuple(each.picture for each in proof.changes if each.picture)


def plainly_named(shown: PublicStory) -> PublicStory:
    """Return what is shown with pictures whose names tell nothing: picture-1.jpg and so on."""
    logo = shown.head.logo
    return replace(
        shown,
        head=replace(shown.head, logo=logo and renamed(logo, "logo")),
        pictures=numbered(shown.pictures, "picture"),
        proof=replace(
            shown.proof,
            pictures=numbered(shown.proof.pictures, "drawing"),
            changes=tuple(
                replace(each, picture=each.picture and renamed(each.picture, f"figure-{number}"))
                for number, each in enumerate(shown.proof.changes, start=1)
            ),
        ),
    )


def numbered(pictures: tuple[Picture, ...], name: str) -> tuple[Picture, ...]:
    """Return pictures under one name and their numbers."""
    return tuple(renamed(each, f"{name}-{number}") for number, each in enumerate(pictures, start=1))


def renamed(picture: Picture, name: str) -> Picture:
    """Return a picture under another name, which keeps the ending of its kind."""
    return replace(picture, name=f"{name}{ENDINGS[picture.kind]}")


def name_of(picture: Picture) -> str:
    """Return the address of a picture that lies beside the page."""
    return picture.name


def story_blocks(shown: PublicStory) -> Iterator[Block]:
    """Yield the page from its pictures to what the work brought."""
    texts = shown.texts
    yield from figure_rows(shown.pictures[:1])
    if texts.story.strip():
        yield Story(words=texts.story.strip())
    yield from listed("The watch", texts.seen)
    yield from found_blocks(texts.found)
    yield from listed("What we did", texts.done)
    yield from listed("Parts", texts.parts)
    yield from figure_rows(shown.pictures[1:])
    yield from figure_rows(shown.proof.pictures)
    yield from proof_blocks(shown.proof)


def listed(heading: str, text: str) -> Iterator[Block]:
    """Yield lines under a heading; nothing when there are none."""
    lines = tuple(line.strip() for line in text.splitlines() if line.strip())
    if lines:
        yield Heading(words=heading)
        yield Points(items=lines)


def found_blocks(text: str) -> Iterator[Block]:
    """Yield the findings, each with its title."""
    findings = [each.strip() for each in re.split(r"\n\s*\n", text) if each.strip()]
    if findings:
        yield Heading(words="What we found")
    for finding in findings:
        title, _line, detail = finding.partition("\n")
        yield Heading(words=title.strip(), level=3)
        if detail.strip():
            yield Words(words=detail.strip())


def index(shown: PublicStory) -> str:
    """Return the page; its pictures lie beside it."""
    title = escape(shown.texts.title.strip())
    body = "\n".join(block_html(block, name_of) for block in story_blocks(shown))
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        '<meta name="referrer" content="no-referrer">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<title>{title}</title><link rel="stylesheet" href="style.css"></head><body>\n'
        f"{head_html(shown.head, name_of)}\n<main><h1>{title}</h1>\n{body}\n</main>\n"
        f"<footer>{escape(shown.head.name)}</footer></body></html>\n"
    )


def archive(files: tuple[File, ...], folder: str) -> bytes:
    """Return the files as a ZIP archive of one folder; the same files give the same bytes."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_STORED) as packed:
        for each in files:
            member = zipfile.ZipInfo(f"{folder}/{each.name}", LONG_AGO)
            member.external_attr = 0o644 << 16
            member.create_system = 3
            packed.writestr(member, each.data)
    return stream.getvalue()
