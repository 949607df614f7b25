"""Letters that can be set: the table is what Typst takes, and any other letter becomes a box."""

from datetime import date

import pytest

from sideshake.paper.letters import known_letters, settable, strange_letters
from sideshake.paper.typeset import Sheet, pdf

DAY = date(2026, 11, 25)
A_LINE = 100
"""Letters set together: breaking thousands of single ones into lines takes long."""


def sheet(words: str, *more: str) -> Sheet:
    """Return a paper with words in its head, and these and more as headings, stories and lines."""
    head = {"name": words, "lines": [words, *more], "logo": None, "to": [words], "foot": words}
    blocks = [
        block
        for each in (words, *more)
        for block in (
            {"kind": "heading", "level": 2, "words": each},
            {"kind": "story", "words": each},
        )
    ]
    said = {**head, "title": words, "cells": [], "blocks": blocks}
    return Sheet(template="document.typ", day=DAY, said={**said, "paper": "a4", "language": "en"})


def test_every_letter_of_the_table_can_be_set_upright_bold_and_slanted():
    # outside check: Typst itself refuses a PDF/A with a letter that its fonts do not have
    letters = sorted(known_letters())
    lines = [" ".join(letters[at : at + A_LINE]) for at in range(0, len(letters), A_LINE)]
    assert pdf(sheet("A", *lines))


@pytest.mark.parametrize(
    "text", ["李明", "カタカナ", "김철수", "สมชาย", "⌚️ 😀", "a\x07\x00\ud800b", "\ue000"]
)
def test_text_in_any_script_makes_a_paper(text):
    assert pdf(sheet(text))


@pytest.mark.parametrize(
    "text", ["Ottilie Müller", "Ελένη", "Иван", "דוד כהן", "محمد", "Nguyễn", "a\nb"]
)
def test_letters_that_are_there_stay(text):
    assert settable(text) == text
    assert strange_letters(text) == ""


def test_a_letter_that_is_not_there_is_a_box_and_told_once():
    assert settable("李明 is 李") == "▯▯ is ▯"
    assert strange_letters("李明 is 李") == "李明"
    assert strange_letters("▯") == ""


def test_a_name_cannot_turn_the_words_after_it():
    # U+202E, Unicode Standard Annex 9: right-to-left override
    assert settable("Mar\u202ewood") == "Marwood"


def test_the_english_alphabet_and_our_signs_are_in_the_table():
    assert set("AZaz09±−×°Øµ–…“”€£•") <= known_letters()
