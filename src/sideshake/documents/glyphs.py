"""Which letters our paper can be set with: those of the fonts that come with the typst package.

An archival PDF may not hold a letter that its fonts do not have (ISO 19005-2, 6.2.11.8), and Typst
refuses to write one. Such a letter is shown as a box, and the restorer is told of it.
The table glyphs.txt is made by experiments/letters.py.
"""

import re
import unicodedata
from functools import cache
from importlib.resources import files

BOX = "▯"
KEPT = "\n\t"
TURNING = "\u202a\u202b\u202d\u202e"
"""Signs that turn the direction of all that follows: a name could turn our own words."""
UNSEEN = ("Cc", "Cf", "Cs")
"""Kinds of sign that show nothing (Unicode general categories)."""
APOSTROPHE = re.compile(r"(?<=[^\W\d_])'(?!\S*@)")
"""After a letter it is an apostrophe; after a figure it is a sign of feet or minutes."""
VARIATIONS = range(0xFE00, 0xFE10)
"""Signs that choose another look of the letter before them."""


@cache
def known_glyphs() -> frozenset[str]:
    """Return every letter that can be set."""
    rows = (files("sideshake.documents") / "glyphs.txt").read_text().split()
    ends = [[int(end, 16) for end in row.split("-")] for row in rows]
    return frozenset(chr(each) for row in ends for each in range(row[0], row[-1] + 1))


def settable(text: str) -> str:
    """Return a text in letters that can be set: a box for each other one, nothing for unseen signs.

    >>> settable("ring\u202e \u674e")
    'ring ▯'
    """
    kept = "".join(map(settable_letter, text))
    return kept if kept.isascii() else lone_marks().sub(BOX, kept)


@cache
def lone_marks() -> re.Pattern[str]:
    """Return what finds marks that stand on no letter: at the beginning, or after a space."""
    marks = (each for each in known_glyphs() if unicodedata.category(each).startswith("M"))
    return re.compile(rf"(?<!\S)[{''.join(sorted(marks))}]+")


def bare(text: str) -> str:
    """Return a text without the marks that are no part of a letter: not every letter bears each.

    >>> bare("e\u0301\u0591")
    'é'
    """
    composed = unicodedata.normalize("NFC", text)
    return "".join(each for each in composed if not unicodedata.category(each).startswith("M"))


def printed(text: str) -> str:
    """Return a text with the apostrophes of print, which people seldom type; addresses keep theirs.

    >>> printed("the owners' dial, 3 o'clock; o'dea@example.org")
    "the owners’ dial, 3 o’clock; o'dea@example.org"
    """
    return APOSTROPHE.sub("\N{RIGHT SINGLE QUOTATION MARK}", text)


@cache
def settable_letter(letter: str) -> str:
    """Return a letter, a box in its place, or nothing where it shows nothing."""
    if letter in KEPT or (letter in known_glyphs() and letter not in TURNING):
        return letter
    if letter.isspace():
        return " "
    unseen = unicodedata.category(letter) in UNSEEN or ord(letter) in VARIATIONS
    return "" if unseen or letter in TURNING else BOX


def strange_glyphs(text: str) -> str:
    """Return the letters of a text that can only be shown as a box, each once, in their order."""
    return "".join(dict.fromkeys(each for each in text if settable_letter(each) == BOX != each))
