"""The language spoken: English as it stands in the code, any other by its GNU catalogue."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from enum import StrEnum
from functools import cache
from gettext import GNUTranslations, NullTranslations
from importlib.resources import files

DECIMAL_POINT = re.compile(r"(?<=\d)\.(?=\d)")
CATALOGUE = "papers.mo"


class Language(StrEnum):
    """A language that an owner can be written to in (two letters of ISO 639)."""

    ENGLISH = "en"
    GERMAN = "de"
    FRENCH = "fr"


SPOKEN = ContextVar("SPOKEN", default=Language.ENGLISH)


def spoken() -> Language:
    """Return the language that is spoken here and now."""
    return SPOKEN.get()


@contextmanager
def speaking(language: Language) -> Iterator[None]:
    """Say everything in a language until the block ends.

    Examples
    --------
    >>> with speaking(Language.GERMAN):
    ...     gettext("Next service:")
    'Nächste Durchsicht:'
    """
    before = SPOKEN.set(language)
    try:
        yield
    finally:
        SPOKEN.reset(before)


@cache
def catalogue(language: Language) -> NullTranslations:
    """Return what is said in a language for what stands in the code."""
    if language is Language.ENGLISH:
        return NullTranslations()
    place = files(__package__).joinpath("locale", language.value, "LC_MESSAGES", CATALOGUE)
    with place.open("rb") as stream:
        return GNUTranslations(stream)


def gettext(message: str) -> str:
    """Return a message in the language spoken; as it stands where the catalogue lacks it."""
    return catalogue(spoken()).gettext(message) if message else ""


def ngettext(one: str, many: str, count: int) -> str:
    """Return the message for so many of something, by the plural forms of the language spoken."""
    return catalogue(spoken()).ngettext(one, many, count)


def pgettext(context: str, message: str) -> str:
    """Return a message that is said otherwise in another place; `context` names the place."""
    return catalogue(spoken()).pgettext(context, message)


def figures(written: str) -> str:
    """Return figures with the decimal sign of the language spoken: a comma, but in English.

    Examples
    --------
    >>> with speaking(Language.GERMAN):
    ...     figures("0.041 ± 0.012"), figures("2.")
    ('0,041 ± 0,012', '2.')
    """
    return written if spoken() is Language.ENGLISH else DECIMAL_POINT.sub(",", written)


def inside(title: str) -> str:
    """Return a title as it stands inside a sentence: German keeps its capital."""
    return title if spoken() is Language.GERMAN else f"{title[:1].lower()}{title[1:]}"


def noop(message: str) -> str:
    """Return a message as it stands: it is put into the catalogue, and said later."""
    return message
