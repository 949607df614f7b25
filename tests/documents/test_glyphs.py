"""Letters that can be set: the table is what Typst takes, and any other letter becomes a box."""

import io
import unicodedata
from datetime import date

import pypdf
import pytest
import typst

from sideshake.documents.glyphs import bare, known_glyphs, printed, settable, strange_glyphs
from sideshake.documents.page import lined
from sideshake.documents.typeset import Sheet, archived, pdf

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
    letters = sorted(known_glyphs())
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
    assert strange_glyphs(text) == ""


def test_a_letter_that_is_not_there_is_a_box_and_told_once():
    assert settable("李明 is 李") == "▯▯ is ▯"
    assert strange_glyphs("李明 is 李") == "李明"
    assert strange_glyphs("▯") == ""


def test_a_name_cannot_turn_the_words_after_it():
    # U+202E, Unicode Standard Annex 9: right-to-left override
    assert settable("Mar\u202ewood") == "Marwood"


def test_the_english_alphabet_and_our_signs_are_in_the_table():
    assert set("AZaz09±−×°Øµ–…“”€£•") <= known_glyphs()


LONE = ("\u0591", "שם \u0591 שם", "a\n\u0301", "\u064b\u0650 b", "x \u0332")
"""A mark that stands on no letter: at the beginning of a line, or after a space."""


@pytest.mark.parametrize("text", LONE)
def test_a_mark_on_no_letter_is_a_box(text):
    kept = settable(text)
    assert kept.count("▯") == 1
    assert not [each for each in kept if unicodedata.category(each) == "Mn"]
    assert pdf(sheet(kept))


@pytest.mark.parametrize("text", ["שָׁלוֹם", "مُحَمَّد", "Nguye\u0302\u0303n", "а\u0301"])
def test_a_mark_on_its_letter_stays(text):
    assert settable(text) == text
    assert pdf(sheet(text))


@pytest.mark.parametrize("text", ["1\u0591", "א\u0591", "a\u064b", "(\u0332)", "▯\u0591"])
def test_a_mark_that_no_font_has_with_its_letter_is_left_out_and_the_paper_is_set(text):
    # outside check: Typst itself refuses a PDF/A with it
    with pytest.raises(typst.TypstError):
        archived(sheet(text))
    assert pdf(sheet(text)) == archived(sheet(bare(text)))


def test_only_what_is_refused_loses_its_marks():
    assert pdf(sheet("שָׁלוֹם")) == archived(sheet("שָׁלוֹם")) != archived(sheet(bare("שָׁלוֹם")))


def test_an_apostrophe_is_that_of_print_and_feet_and_addresses_are_not_touched():
    assert printed("the owner's dial, 3 o'clock") == "the owner’s dial, 3 o’clock"
    for same in ("5' 6\"", "o'dea@example.org", "'68", "no apostrophe"):
        assert printed(same) == same


def test_every_paper_and_the_page_have_the_apostrophes_of_print():
    words = "the owner's dial"
    found = pypdf.PdfReader(io.BytesIO(pdf(sheet(words)))).pages[0].extract_text()
    assert "owner’s" in found
    assert "'" not in found
    assert lined(words) == "the owner’s dial"
