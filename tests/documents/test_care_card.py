"""The care card: hours from the sheet, in words and on the dial."""

import io
from dataclasses import replace

import pytest
from pdf_words import words_of
from pypdf import PdfReader

from sideshake.core.errors import InputError
from sideshake.documents.care_card import (
    POLYMER,
    WINDING,
    WINDING_BY_HAND,
    WINDING_BY_KEY,
    WINDING_BY_ROTOR,
    CareCardSize,
    card_sheet,
    care_card,
    day_words,
    forbidden_hours,
    quick_set_words,
    radium_words,
    sheet_forbids_more,
)
from sideshake.documents.typeset import pdf
from sideshake.movement.calendar import observed
from sideshake.movement.sheet_file import sheet_at
from sideshake.workshop_rules.owner_cautions import radium_seen


def test_forbidden_hours_are_those_of_the_quickset_command(card):
    # README: `sideshake quickset lindquell-25` answers 19:44 to 2:23
    assert (
        "between half past seven in the evening and half past two in the morning"
        in quick_set_words(card.forbidden)
    )


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
    assert "between eight in the evening and four in the morning" in quick_set_words(card.forbidden)


@pytest.mark.parametrize(
    ("size", "width_mm"), [(CareCardSize.A6, 105), (CareCardSize.CREDIT_CARD, 85.6)]
)
def test_cards_have_their_size(card, size, width_mm):
    # ISO/IEC 7810 ID-1 is 85.60 mm wide; A6 by ISO 216 is 105 mm wide
    data = pdf(card_sheet(replace(card, size=size), day=card_day()))
    box = PdfReader(io.BytesIO(data)).pages[0].mediabox
    assert float(box.width) / 72 * 25.4 == pytest.approx(width_mm, abs=0.1)


def test_a_name_too_long_for_the_card_is_refused(card):
    with pytest.raises(InputError, match="1 to 60 letters"):
        replace(card, watch="x" * 61)


def seen_card(*, size=CareCardSize.A6, sheet="lindquell-25"):
    card = care_card(
        sheet_at(sheet) if sheet else None,
        watch="Steel calendar watch",
        workshop="Werkstatt Aldermoor",
        next_service="March 2030",
        observed=observed("22:10", "00:20"),
    )
    return replace(card, size=size)


@pytest.mark.parametrize("size", list(CareCardSize))
def test_hours_observed_on_the_watch_stand_on_its_card(size):
    # hand-worked: 1 h margin and 10 min of reading on either side of 22:10 to 0:20
    words = words_of(pdf(card_sheet(seen_card(size=size, sheet=None), day=card_day())))
    assert "between nine in the evening and half past one in the morning" in words
    assert "Observed on this watch: the date moves from 22:10 to 0:20; 1 h 10 min" in words


@pytest.mark.parametrize("size", list(CareCardSize))
def test_hours_that_the_sheet_knows_stay_forbidden_beside_those_observed(size):
    words = words_of(pdf(card_sheet(seen_card(size=size), day=card_day())))
    assert "between half past seven in the evening and half past two in the morning" in words
    assert "Observed on this watch: the date moves from 22:10 to 0:20" in words


@pytest.mark.parametrize(
    ("times", "start_h", "end_h"),
    [(("18:30", "01:00"), 17 + 20 / 60, 2.38), (("23:00", "03:30"), 19.74, 4 + 40 / 60)],
)
def test_the_earlier_start_and_the_later_end_count(times, start_h, end_h):
    both = forbidden_hours(sheet_at("lindquell-25"), observed(*times))
    assert both.start_h == pytest.approx(start_h, abs=0.02)
    assert both.end_h == pytest.approx(end_h, abs=0.02)


@pytest.mark.parametrize("size", list(CareCardSize))
def test_the_longest_card_keeps_its_pages(size):
    card = replace(seen_card(size=size), watch="W" * 60, workshop="S" * 60)
    pages = PdfReader(io.BytesIO(pdf(card_sheet(card, day=card_day())))).pages
    assert len(pages) == (2 if size is CareCardSize.CREDIT_CARD else 1)


def test_an_unknown_calibre_gets_a_card_by_what_was_observed():
    card = seen_card(sheet=None)
    assert "between nine in the evening and half past one in the morning" in quick_set_words(
        card.forbidden
    )
    assert card.advice[0] == WINDING


def test_a_date_that_cannot_be_set_on_its_own_forbids_nothing():
    sheet = sheet_at("lindquell-25")
    fixed = sheet.model_copy(update={"calendar": type(sheet.calendar)(quick_set=False)})
    assert forbidden_hours(fixed, observed("22:10", "00:20")) is None


def test_the_restorer_is_told_when_the_sheet_forbids_more():
    sheet = sheet_at("lindquell-25")
    assert "from 19:44 to 2:23" in sheet_forbids_more(sheet, observed("22:10", "00:20"))
    assert sheet_forbids_more(sheet, observed("19:00", "03:00")) == ""
    assert sheet_forbids_more(None, observed("22:10", "00:20")) == ""


def test_hours_that_leave_no_safe_one_are_refused():
    with pytest.raises(InputError, match="no safe hour"):
        forbidden_hours(sheet_at("lindquell-25"), observed("04:00", "07:00"))


def test_a_day_with_its_own_finger_has_its_own_window_and_dial():
    card = care_card(sheet_at("tolvane-26"), watch="Day and date", workshop="Workshop")
    sheet = card_sheet(card, day=card_day())
    assert set(sheet.pictures) == {"dial.svg", "day-dial.svg"}
    hours = "between ten in the evening and quarter past four in the morning"
    assert hours in day_words(card.forbidden_day)
    for size, pages in ((CareCardSize.A6, 1), (CareCardSize.CREDIT_CARD, 2)):
        made = pdf(card_sheet(replace(card, size=size), day=card_day()))
        assert len(PdfReader(io.BytesIO(made)).pages) == pages
        assert "day of the week" in words_of(made)


@pytest.mark.parametrize(("size", "pages"), [(CareCardSize.A6, 1), (CareCardSize.CREDIT_CARD, 2)])
def test_two_windows_fit_beside_the_longest_name_and_every_warning(size, pages):
    seen = observed("22:30", "00:10")
    card = care_card(sheet_at("tolvane-26"), watch="day and date " * 4, workshop="W" * 60,
                     next_service="25 November 2031", observed=seen)  # fmt: skip
    full = replace(
        card,
        size=size,
        radium=radium_words(radium_seen()),
        warning=POLYMER,
        phone="+44 20 7946 0000",
    )
    made = pdf(card_sheet(full, day=card_day()))
    assert len(PdfReader(io.BytesIO(made)).pages) == pages
    said = words_of(made)
    assert "radiation protection" in said
    assert "plastic wheel" in said
    assert "+44 20 7946 0000" in said


def test_a_date_alone_has_one_dial(card):
    assert set(card_sheet(card, day=card_day()).pictures) == {"dial.svg"}
    assert day_words(card.forbidden_day) == ""


def test_a_key_wound_watch_is_wound_by_its_key():
    card = care_card(sheet_at("vennick-41"), watch="Key", workshop="Workshop")
    assert card.advice[0] == WINDING_BY_KEY
    assert "crown" not in " ".join(card.advice)
