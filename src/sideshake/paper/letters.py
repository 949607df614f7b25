"""Which letters our paper can be set with: those of the fonts that come with the typst package.

An archival PDF may not hold a letter that its fonts do not have (ISO 19005-2, 6.2.11.8), and Typst
refuses to write one. Such a letter is shown as a box, and the restorer is told of it.
The table letters.txt is made by design/letters.py.
"""

import unicodedata
from functools import cache
from importlib.resources import files

BOX = "▯"
KEPT = "\n\t"
TURNING = "\u202a\u202b\u202d\u202e"
"""Signs that turn the direction of all that follows: a name could turn our own words."""
UNSEEN = ("Cc", "Cf", "Cs")
"""Kinds of sign that show nothing (Unicode general categories)."""
VARIATIONS = range(0xFE00, 0xFE10)
"""Signs that choose another look of the letter before them."""


@cache
def known_letters() -> frozenset[str]:
    """Return every letter that can be set."""
    rows = (files("sideshake.paper") / "letters.txt").read_text().split()
    ends = [[int(end, 16) for end in row.split("-")] for row in rows]
    return frozenset(chr(each) for row in ends for each in range(row[0], row[-1] + 1))


def settable(text: str) -> str:
    """Return a text in letters that can be set: a box for each other one, nothing for unseen signs.

    >>> settable("ring\u202e \u674e")
    'ring ▯'
    """
    return "".join(map(settable_letter, text))


@cache
def settable_letter(letter: str) -> str:
    """Return a letter, a box in its place, or nothing where it shows nothing."""
    if letter in KEPT or (letter in known_letters() and letter not in TURNING):
        return letter
    if letter.isspace():
        return " "
    unseen = unicodedata.category(letter) in UNSEEN or ord(letter) in VARIATIONS
    return "" if unseen or letter in TURNING else BOX


def strange_letters(text: str) -> str:
    """Return the letters of a text that can only be shown as a box, each once, in their order."""
    return "".join(dict.fromkeys(each for each in text if settable_letter(each) == BOX != each))
