"""A language that nobody speaks: English with an accent on every vowel, to find what escapes it."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from gettext import NullTranslations

import pytest

from sideshake.wording import Language, language, speaking

ACCENTS = str.maketrans("aeiouyAEIOUY", "áéíóúýÁÉÍÓÚÝ")
FIELD = re.compile(r"(\{[^{}]*\}|%\(\w+\)s)")
IN_FIGURES = {"hand time": "{hour}:{minutes:02d}"}
PLAIN = re.compile(r"[A-Za-z]*[aeiouyAEIOUY][A-Za-z]*")
"""A word with a vowel, all its letters without an accent."""


def accented(message: str) -> str:
    """Return a message with an accent on every vowel that is not in a figure's name."""
    parts = FIELD.split(message)
    return "".join(part if at % 2 else part.translate(ACCENTS) for at, part in enumerate(parts))


class Accented(NullTranslations):
    """Says everything with accents."""

    def gettext(self, message):
        return accented(message)

    def ngettext(self, msgid1, msgid2, n):
        return accented(msgid1 if n == 1 else msgid2)

    def pgettext(self, context, message):
        return IN_FIGURES.get(context) or accented(message)


@contextmanager
def speaking_with_accents() -> Iterator[None]:
    """Say everything that is said through the catalogues with accents."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(language, "catalogue", lambda _language: Accented())
        with speaking(Language.GERMAN):
            yield


def escaped(printed: str, records: str) -> set[str]:
    """Return the words printed without an accent that stand in no record."""
    known = set(re.findall(r"[^\W\d_]+", records))
    words = set(re.findall(r"[^\W\d_]+", printed))
    return {word for word in words - known if PLAIN.fullmatch(word) and len(word) > 1}
