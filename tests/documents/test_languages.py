"""Nothing an owner reads escapes the catalogues: in a language of accents no word is without one.

What is left without is the records' own: names, and what somebody wrote in his own words.
"""

from dataclasses import replace
from datetime import date

import pytest
from pdf_words import words_of
from pseudo_language import accented, escaped, speaking_with_accents
from pypdf import PdfReader

from sideshake.documents.care_card import (
    CareCardSize,
    advice,
    card_sheet,
    care_card,
    radium_words,
)
from sideshake.documents.typeset import pdf
from sideshake.movement.calendar import observed
from sideshake.movement.sheet_file import shipped_names, shipped_sheet
from sideshake.wording import Language, gettext, speaking
from sideshake.workshop_rules.cautions import KnownOfWatch
from sideshake.workshop_rules.owner_cautions import owner_cautions, radium_seen

DAY = date(2026, 11, 30)
RECORDS = "Werkstatt Aldermoor Expedition November h min"
"""Names, a day as the workshop writes it, and units."""


def card(name, size, **more):
    """Return a card's PDF, in the language spoken."""
    sheet = shipped_sheet(name) if name else None
    made = care_card(
        sheet, watch="Expedition", workshop="Werkstatt Aldermoor", next_service="November 2030",
        observed=observed("22:10", "00:20") if sheet and sheet.calendar else None,
    )  # fmt: skip
    radium = radium_words(radium_seen())
    return pdf(card_sheet(replace(made, size=size, radium=radium, **more), day=DAY))


@pytest.mark.parametrize("size", list(CareCardSize))
@pytest.mark.parametrize("name", ["", *shipped_names()])
def test_no_word_of_a_care_card_escapes(name, size):
    with speaking_with_accents():
        made = card(name, size)
    assert escaped(words_of(made), RECORDS) == set()


def test_a_watch_that_waits_for_work_has_its_advice_in_the_language_too():
    with speaking_with_accents():
        made = card("", CareCardSize.A6, advice=advice(None, mended=False))
    assert escaped(words_of(made), RECORDS) == set()


@pytest.mark.parametrize("known", [
    KnownOfWatch(burn_marks=True), KnownOfWatch(year_from=1940, year_to=1950, luminous=True),
    KnownOfWatch(year_from=1940, year_to=1950), KnownOfWatch(marked_t=True, year_from=1990),
    KnownOfWatch(marked_t=True, burn_marks=True),
])  # fmt: skip
def test_no_word_of_a_caution_escapes(known):
    with speaking_with_accents():
        found = owner_cautions(known, shipped_sheet("tarnbrook-31"))
    assert escaped(" ".join(f"{each.title} {each.text}" for each in found), "") == set()


def test_what_is_in_english_is_seen_to_escape():
    """The test can fail: in English every word is without an accent."""
    made = card("lindquell-25", CareCardSize.A6)
    assert {"Never", "set", "date", "while", "hands"} <= escaped(words_of(made), RECORDS)
    assert accented("Wind {it} gently") == "Wínd {it} géntlý"


@pytest.mark.parametrize(("language", "words"), [
    (Language.GERMAN, "zwischen 19.30 Uhr und 2.30 Uhr stehen"),
    (Language.FRENCH, "entre 19 h 30 et 2 h 30"),
    (Language.ENGLISH, "between half past seven in the evening and half past two in the morning"),
])  # fmt: skip
def test_hours_are_said_as_the_language_says_them(language, words):
    with speaking(language):
        made = pdf(card_sheet(care_card(shipped_sheet("lindquell-25"), watch="W", workshop="S"),
                              day=DAY))  # fmt: skip
    assert words in words_of(made).replace("\xa0", " ")


def test_a_card_says_in_which_language_it_is():
    """PDF/UA: a reader that speaks aloud needs it."""
    for language in Language:
        with speaking(language):
            made = card("lindquell-25", CareCardSize.A6)
        assert catalogue_language(made) == language.value


def catalogue_language(made):
    """Return the language that a PDF states."""
    import io

    return PdfReader(io.BytesIO(made)).trailer["/Root"]["/Lang"]


def test_owner_s_own_words_stay_as_they_are():
    with speaking(Language.GERMAN):
        assert gettext("It was my grandfather's.") == "It was my grandfather's."
