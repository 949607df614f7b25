"""A page to show: a visit's story as a small static site, without names and numbers.

Nothing is published by itself: `Shown` needs the day on which the owner consented, and `left_out`
lists what is taken away before anything is written.
"""

import re
from dataclasses import dataclass, replace
from datetime import date

from sideshake.errors import InputError
from sideshake.paper.blocks import Block, Document, Facts, Figures, Picture, Points, Story, Words
from sideshake.paper.page import html_page
from sideshake.paper.report import Report, report

HIDDEN = "…"
SHORTEST_SECRET = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A report that may be shown, with the secrets that must not be in it."""

    told: Report
    names: tuple[str, ...]
    """Names of people: hidden word by word."""
    numbers: tuple[str, ...] = ()
    """Serials, addresses, marks: hidden where they stand as a whole."""
    consent_on: date | None
    consent_words: str = ""

    def __post_init__(self) -> None:
        if self.consent_on is None:
            raise InputError(
                "a visit's story may be shown only when the owner has consented; "
                "record the day and the words first"
            )

    @property
    def secrets(self) -> tuple[str, ...]:
        """Return every text that must not stand on the page, longest first."""
        words = (word for name in self.names for word in (name.strip(), *name.split()))
        parts = {part for part in (*words, *self.numbers) if len(part) >= SHORTEST_SECRET}
        return tuple(sorted(parts, key=lambda part: (-len(part), part)))


def left_out(shown: Shown) -> tuple[str, ...]:
    """Return what is left out, to be read before the page is written."""
    words = all_words(shown.told)
    found = [secret for secret in shown.secrets if stands_in(secret, words)]
    told = shown.told
    kinds = (
        (True, "the owner's name and address"),
        (any("number" in name.lower() for name, _ in told.seen), "serial and case numbers"),
        (bool(told.warranty), "the warranty"),
    )
    named = [words for there, words in kinds if there]
    return (*named, *(f"“{secret}” wherever it stands" for secret in found))


def shown_page(shown: Shown) -> str:
    """Return the page as one HTML file with its pictures inside.

    Raises
    ------
    InputError : a secret would still be readable on the page
    """
    page = html_page(without_secrets(shown))
    words = words_of_page(page)
    still = [secret for secret in shown.secrets if stands_in(secret, words)]
    if still:
        raise InputError(f"the page would still show {', '.join(still)}; nothing was written")
    return page


def without_secrets(shown: Shown) -> Document:
    """Return the report's document with owner, numbers and secrets taken away."""
    told = replace(
        shown.told,
        owner=HIDDEN,
        visit=HIDDEN,
        warranty="",
        seen=tuple(pair for pair in shown.told.seen if "number" not in pair[0].lower()),
    )
    made = report(told)
    return replace(
        made,
        title=hidden(told.watch, shown.secrets),
        cells=(),
        blocks=tuple(hide(block, shown.secrets) for block in made.blocks),
        foot=made.head.name,
    )


def hide(block: Block, secrets: tuple[str, ...]) -> Block:
    """Return a block with every secret replaced by an ellipsis."""
    match block:
        case Words() | Story():
            return replace(block, words=hidden(block.words, secrets))
        case Points():
            return replace(block, items=tuple(hidden(each, secrets) for each in block.items))
        case Facts():
            pairs = tuple((name, hidden(words, secrets)) for name, words in block.pairs)
            return replace(block, pairs=pairs)
        case Figures():
            pictures = tuple(hide_picture(each, secrets) for each in block.pictures)
            return replace(block, pictures=pictures)
        case _:
            return block


def hide_picture(picture: Picture, secrets: tuple[str, ...]) -> Picture:
    """Return a picture whose words name nobody."""
    return replace(
        picture,
        alt=hidden(picture.alt, secrets),
        caption=hidden(picture.caption, secrets),
    )


def hidden(words: str, secrets: tuple[str, ...]) -> str:
    """Return text with every secret replaced by an ellipsis, capitals or not."""
    for secret in secrets:
        words = re.sub(pattern(secret), HIDDEN, words, flags=re.IGNORECASE)
    return words


def stands_in(secret: str, words: str) -> bool:
    """Whether a secret stands in a text as a whole word, capitals or not."""
    return re.search(pattern(secret), words, flags=re.IGNORECASE) is not None


def pattern(secret: str) -> str:
    """Return what finds a secret as a whole word, a possessive s included."""
    return rf"(?<!\w){re.escape(secret)}(?!\w)"


def all_words(told: Report) -> str:
    """Return every word of the report's page."""
    return words_of_page(html_page(report(told)))


def words_of_page(page: str) -> str:
    """Return a page's text without its pictures' bytes and its style."""
    bare = re.sub(r"<style>.*?</style>|data:[^\"]*", " ", page, flags=re.DOTALL)
    return re.sub(r"<[^>]+>", " ", bare)
