"""Words that tell who owns a watch: what they are, and where a text still holds them.

A name is found without regard to capitals, accents, hyphens and a short ending; a number whatever
stands between its figures. What is found is told in the very words of the text. It is an aid to a
careful reader and no proof: a nickname or a description cannot be found.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Self

HIDDEN = "…"
SHORTEST_NAME, SHORTEST_NUMBER, SHORTEST_PLACE = 3, 3, 5
PHONE_FIGURES = 7
"""So many last figures of a telephone number are looked for, since it is written in many ways."""
BETWEEN_FIGURES = r"[\s.\-/·_()]*"
LETTER = r"[^\W\d_]"
NO_LETTER_BEFORE, NO_LETTER_AFTER = f"(?<!{LETTER})", f"(?!{LETTER})"
NO_FIGURE_BEFORE, NO_FIGURE_AFTER = r"(?<!\d)", r"(?!\d)"
ENDING = f"{LETTER}{{0,2}}"
"""A name may carry the ending of a possessive or of a case: Marwoods."""
EMAIL = re.compile(r"[\w.+-]{1,64}@[\w-]{1,63}\.[\w.-]{0,180}\w")
NO_DECIMALS_BEFORE = r"(?<!\d)(?<!\d[.,])"
LONG_NUMBER = re.compile(
    r"\+\d[\d ()/.-]{5,}\d|" + NO_DECIMALS_BEFORE + r"0\d\d+[\d /-]{4,}\d|\d{6,}"
)
"""A telephone number, or six figures in a row: more than a count of beats in an hour has.

What follows a decimal sign is a measured size, such as the 012 of 1.012, and no number of its own.
"""
CELL = "\n¶\n"
"""Between two cells of a table, or two words of a drawing: no number reaches across it."""
PRICE = re.compile(
    r"[€$£¥]\s?\d[\d.,']{0,15}|\d[\d.,']{0,15}\s?(?:[€$£¥]|(?:eur|usd|gbp|chf|jpy|sek|nok|dkk|cad|aud)\b)",
    re.IGNORECASE,
)
IN_ANY_TEXT = (("an email address", EMAIL), ("a price", PRICE), ("a long number", LONG_NUMBER))
"""What is looked for even where no record names it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Secret:
    """Something that must not be read: what it is, and the pattern that finds it, folded."""

    what: str
    pattern: str

    @classmethod
    def name(cls, what: str, words: str) -> Iterator[Self]:
        """Yield a name as a whole and each of its words that is long enough."""
        parts = re.findall(r"\w+", Folded.of(words).text)
        if len(parts) > 1:
            yield cls(what=what, pattern=bounded(r"\W*".join(map(re.escape, parts)), parts))
        for part in parts:
            if len(part) >= SHORTEST_NAME or is_wide(part):
                ending = "" if is_wide(part) else ENDING
                yield cls(what=what, pattern=bounded(re.escape(part) + ending, [part]))

    @classmethod
    def number(cls, what: str, words: str) -> Iterator[Self]:
        """Yield a number, such as a serial, if it is long enough."""
        figures = re.findall(r"[^\W_]", Folded.of(words).text)
        if len(figures) >= SHORTEST_NUMBER:
            body = BETWEEN_FIGURES.join(map(re.escape, figures))
            before = NO_FIGURE_BEFORE if figures[0].isdecimal() else NO_LETTER_BEFORE
            after = NO_FIGURE_AFTER if figures[-1].isdecimal() else NO_LETTER_AFTER
            yield cls(what=what, pattern=f"{before}{body}{after}")

    @classmethod
    def phone(cls, what: str, words: str) -> Iterator[Self]:
        """Yield a telephone number, known by its last figures."""
        figures = re.findall(r"\d", words)[-PHONE_FIGURES:]
        if len(figures) >= SHORTEST_PLACE:
            yield cls(what=what, pattern=BETWEEN_FIGURES.join(figures) + NO_FIGURE_AFTER)

    @classmethod
    def place(cls, what: str, address: str) -> Iterator[Self]:
        """Yield each part of an address: street, town, post code, and their longer words.

        A word that is written small, as the under of a place under a hill, is only found with the
        rest of its part.
        """
        small = {same_words(word) for word in re.findall(r"\w+", address) if word[0].islower()}
        for part in re.split(r"[\n,;]", Folded.of(address).text):
            coded = re.findall(r"\w*\d\w*", part)
            yield from cls.number(what, " ".join(coded))
            named = [word for word in re.findall(r"\w+", part) if word not in coded]
            phrase = r"\W*".join(map(re.escape, named))
            if len("".join(named)) >= SHORTEST_NAME:
                yield cls(what=what, pattern=bounded(phrase, named))
            for word in named:
                if len(word) >= SHORTEST_PLACE and word not in small:
                    yield cls(what=what, pattern=bounded(re.escape(word), [word]))


def bounded(pattern: str, words: list[str]) -> str:
    """Return a pattern for whole words; scripts that write no spaces have no whole words."""
    before = "" if is_wide(words[0]) else NO_LETTER_BEFORE
    return f"{before}{pattern}{'' if is_wide(words[-1]) else NO_LETTER_AFTER}"


def is_wide(word: str) -> bool:
    """Return whether a word is written in a script without spaces between words."""
    return any(unicodedata.east_asian_width(letter) in "WF" for letter in word)


@dataclass(frozen=True, slots=True, kw_only=True)
class SecretFound:
    """Words of a text that tell what they should not: what it is, and the very words."""

    what: str
    words: str
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Folded:
    """A text without capitals and accents, and from which letter of the text each of its own is."""

    text: str
    places: tuple[int, ...]

    @classmethod
    def of(cls, text: str) -> Self:
        """Return a text folded; unseen signs in it fall away."""
        pairs = [
            (folded, place)
            for place, letter in enumerate(text)
            for folded in folded_letter(letter)
            if unicodedata.category(folded) not in ("Mn", "Cf")
        ]
        return cls(text="".join(each for each, _ in pairs), places=tuple(at for _, at in pairs))


def folded_letter(letter: str) -> str:
    """Return a letter without its capital and accent; our own ellipsis stays what it is."""
    return letter if letter == HIDDEN else unicodedata.normalize("NFKD", letter).casefold()


def secrets_in(text: str, secrets: tuple[Secret, ...]) -> tuple[SecretFound, ...]:
    """Return what a text still tells, in its order; a find inside a longer one is left out."""
    folded = Folded.of(text)
    spans = {
        (folded.places[match.start()], folded.places[match.end() - 1] + 1): secret.what
        for secret in reversed(secrets)
        for match in re.finditer(secret.pattern, folded.text)
    }
    for what, pattern in IN_ANY_TEXT:
        for match in pattern.finditer(text):
            spans.setdefault(match.span(), what)
    return tuple(
        SecretFound(what=spans[span], words=text[slice(*span)], start=span[0], end=span[1])
        for span in widest(spans)
    )


def widest(spans: Iterable[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Yield the spans that lie in no other one, in their order."""
    reached = -1
    for start, end in sorted(spans, key=lambda span: (span[0], -span[1])):
        if end > reached:
            yield start, end
            reached = end


def unsafe_in(
    text: str, secrets: tuple[Secret, ...], *, harmless: frozenset[str] = frozenset()
) -> tuple[SecretFound, ...]:
    """Return what a text still tells, but for the words that were said to be harmless."""
    spared = set(map(same_words, harmless))
    return tuple(each for each in secrets_in(text, secrets) if same_words(each.words) not in spared)


def same_words(words: str) -> str:
    """Return words as they are compared: no capitals, no accents.

    >>> same_words("Müller") == same_words("MULLER")
    True
    """
    return Folded.of(words).text


def hidden(text: str, found: tuple[SecretFound, ...]) -> str:
    """Return a text with an ellipsis in the place of each find; finds that overlap have one."""
    kept, at = "", 0
    for each in sorted(found, key=lambda each: each.start):
        if each.start >= at:
            kept += text[at : each.start] + HIDDEN
        at = max(at, each.end)
    return kept + text[at:]
