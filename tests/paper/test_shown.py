"""A page to show: nothing without consent, and no name or number on it."""

from dataclasses import replace
from datetime import date

import pytest

from sideshake.errors import InputError
from sideshake.paper.report import Done
from sideshake.paper.shown import Shown, left_out, shown_page, words_of_page

NAMES = ("Ottilie Marwood",)
NUMBERS = ("88123", "Lane 3, Fernhollow")


@pytest.fixture
def shown(told):
    story = "Ottilie MARWOOD's grandfather wore number 88123 on the ice."
    return Shown(
        told=replace(told, story=story),
        names=NAMES,
        numbers=NUMBERS,
        consent_on=date(2026, 11, 1),
    )


def test_nothing_is_shown_without_consent(told):
    with pytest.raises(InputError, match="consented"):
        Shown(told=told, names=NAMES, consent_on=None)


def test_names_and_numbers_are_gone_and_the_story_stays(shown):
    words = words_of_page(shown_page(shown)).lower()
    for secret in ("ottilie", "marwood", "88123", "2026-014"):
        assert secret not in words
    assert "grandfather wore number … on the ice" in words
    assert "worn oval" in words


def test_what_is_left_out_is_listed_first(shown):
    listed = left_out(shown)
    assert "the owner's name and address" in listed
    assert "“88123” wherever it stands" in listed


def test_a_secret_in_a_place_that_is_not_hidden_stops_the_page(shown):
    # a heading is not rewritten: better no page than a name on it
    finding = replace(shown.told.findings[0], title="Marwood's own repair")
    with pytest.raises(InputError, match="would still show Marwood"):
        shown_page(replace(shown, told=replace(shown.told, findings=(finding,))))


def test_a_secret_in_the_work_done_is_hidden(shown):
    told = replace(shown.told, done=(Done(what="Gave Marwood the old spring"),))
    assert "gave … the old spring" in words_of_page(shown_page(replace(shown, told=told))).lower()
