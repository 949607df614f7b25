"""The care card: hours from the sheet, in words and on the dial."""

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from sideshake.errors import InputError
from sideshake.movement.sheet_file import sheet_at
from sideshake.paper.care_card import (
    WINDING_BY_HAND,
    WINDING_BY_ROTOR,
    CardSize,
    card_sheet,
    care_card,
    quick_set_words,
)
from sideshake.paper.typeset import pdf


def test_forbidden_hours_are_those_of_the_quickset_command(card):
    # README: `sideshake quickset lindquell-25` answers 19:44 to 2:23
    assert "between 19:44 and 2:23" in quick_set_words(card.forbidden)


def test_the_hour_to_turn_to_lies_in_the_middle_of_the_safe_ones(card):
    # safe: 2:23 to 7:44 on the 12 h dial; the middle is 5:04
    assert "Turn the hands forward to 5 o'clock first" in quick_set_words(card.forbidden)


def test_a_watch_without_a_date_has_no_dial_on_its_card():
    card = care_card(sheet_at("tarnbrook-31"), watch="Chronograph", workshop="Workshop")
    sheet = card_sheet(card, day=card_day())
    assert card.forbidden is None
    assert not sheet.pictures
    assert card.advice[0] == WINDING_BY_HAND


def card_day():
    from datetime import date

    return date(2026, 11, 25)


def test_an_automatic_is_wound_by_wearing(card):
    assert card.advice[0] == WINDING_BY_ROTOR


def test_a_calendar_whose_geometry_is_not_known_gets_the_common_advice():
    sheet = sheet_at("lindquell-25")
    unknown = sheet.model_copy(
        update={"calendar": type(sheet.calendar)(quick_set=True, polymer_wheel=None)}
    )
    card = care_card(unknown, watch="Watch", workshop="Workshop")
    # common advice of the trade (trade-facts, 9): 20:00 to 4:00
    assert "between 20:00 and 4:00" in quick_set_words(card.forbidden)


@pytest.mark.parametrize(("size", "width_mm"), [(CardSize.A6, 105), (CardSize.CREDIT_CARD, 85.6)])
def test_cards_have_their_size(card, size, width_mm):
    # ISO/IEC 7810 ID-1 is 85.60 mm wide; A6 by ISO 216 is 105 mm wide
    data = pdf(card_sheet(replace(card, size=size), day=card_day()))
    box = PdfReader(io.BytesIO(data)).pages[0].mediabox
    assert float(box.width) / 72 * 25.4 == pytest.approx(width_mm, abs=0.1)


def test_a_name_too_long_for_the_card_is_refused(card):
    with pytest.raises(InputError, match="1 to 60 letters"):
        replace(card, watch="x" * 61)
