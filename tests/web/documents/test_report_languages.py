"""The owner's report in his language: whole, with its drawings, in a language of accents.

What is left without an accent are the records' own words; what the restorer is told is English.
"""

import base64
import re
from contextlib import nullcontext
from datetime import date
from html import unescape

import pytest
import report_visits
from pseudo_language import accented, escaped, speaking_with_accents

from sideshake.documents.acceptance import TestRow as ReportedTest
from sideshake.documents.acceptance import test_blocks as blocks_of
from sideshake.photo.told import KEPT
from sideshake.photo.wheel_words import PIVOT_KEPT
from sideshake.timing.compare.conditions import WOUND_WORDS, named
from sideshake.timing.positions.summary import Position
from sideshake.wear.watch_places import watch_places
from sideshake.web.comparison.services import figure_of, usual_of
from sideshake.web.comparison.turning import rings_of, two_turns
from sideshake.web.documents import report as report_page
from sideshake.web.documents.positions import place_words
from sideshake.web.documents.registry import makers
from sideshake.web.documents.report import report_of
from sideshake.web.documents.sizes_named import TABLES, bare_name, retold
from sideshake.web.documents.work_done import step_words
from sideshake.web.measuring.place_rows import place_size_name
from sideshake.web.measuring.services import TITLES, SizeSeen
from sideshake.web.models import Position as Laid
from sideshake.web.models import Wound
from sideshake.web.visits.queries import whole_visit
from sideshake.wording import Language, speaking
from sideshake.workshop_rules.suggest import NEW_HOLES

DAY = date(2026, 3, 30)
AS_WRITTEN = f"{report_visits.OWN_WORDS} Januar Februar Oktober Vereinigtes whole pocket photograph"
"""The records' own words, and days and a country as they are written where the workshop is."""


def page_of(visit):
    """Return the report as a page, in the language spoken or, in no test's, the owner's."""
    return makers.report_page(whole_visit(visit.number), day=DAY)


def words_in(page):
    """Return all words of a page: its text, its pictures' descriptions, what is drawn in them."""
    carried = re.findall(r"data:image/svg\+xml;base64,([^\"]*)", page)
    drawn = [base64.b64decode(each).decode() for each in carried]
    bare = re.sub(r"<style>.*?</style>|data:[^\"]*", " ", page, flags=re.DOTALL)
    told = re.findall(r'(?:alt|aria-label)="([^"]*)"', " ".join((bare, *drawn)))
    text = (re.sub(r"<style.*?</style>|<[^>]+>", " ", each, flags=re.DOTALL)
            for each in (bare, *drawn))  # fmt: skip
    return unescape(" ".join((*text, *told)))


@pytest.fixture(params=["looked_over", "done", "whole"])
def visit_told(request, client, owner_of_workshop, shipped_sizes):
    """A visit before any work, one that is done, and one with everything."""
    more = (shipped_sizes,) if request.param == "whole" else ()
    return getattr(report_visits, request.param)(client, owner_of_workshop, *more)


def test_no_word_of_a_whole_report_escapes_the_owner_s_language(visit_told, monkeypatch):
    monkeypatch.setattr(makers, "speaking_to_owner", lambda _visit: nullcontext())
    with speaking_with_accents():
        made = page_of(visit_told)
    assert escaped(words_in(made.data.decode()), AS_WRITTEN) == set()
    assert "a photograph to open with: choose one at its page" in made.gaps
    assert [each for each in made.gaps if set(each) & set("áéíóúý")] == []
    english = page_of(visit_told).data.decode()
    assert {"What", "found", "Position", "dial", "up"} <= escaped(words_in(english), AS_WRITTEN)


@pytest.fixture
def whole(client, owner_of_workshop, shipped_sizes):
    return report_visits.whole(client, owner_of_workshop, shipped_sizes)


def told_to(visit, language):
    """Return all words of the report to an owner who is written to in a language, and the page."""
    owner = visit.watch.owner
    owner.language = language.value
    owner.save()
    page = page_of(visit).data.decode()
    return " ".join(words_in(page).split()), page


def test_an_owner_reads_the_report_in_his_own_language(whole):
    found = {each: told_to(whole, each) for each in Language}
    for language, sentences in {
        Language.ENGLISH: ("What the work changed, measured", "CH, dial up, fully wound",
                           "Movement taken apart, cleaned, put together, oiled and timed",
                           "Arbor, bridge side: diameter of the hole", "0.921 ± 0.006 mm"),
        Language.GERMAN: ("Was die Arbeit verändert hat, gemessen",
                          "CH, Zifferblatt oben, voll aufgezogen",
                          "Werk zerlegt, gereinigt, zusammengesetzt, geölt und reguliert",
                          "Federwelle, Brückenseite: Durchmesser des Lochs", "0,921 ± 0,006 mm",
                          "die lange Achse bei 95 ± 4°", "Gilt für die in der Rechnung"),
        Language.FRENCH: ("Ce que le travail a changé", "CH, cadran en haut, remontage complet",
                          "Mouvement démonté, nettoyé, remonté, huilé et réglé",
                          "Arbre, côté pont : diamètre du trou", "0,921 ± 0,006 mm"),
    }.items():  # fmt: skip
        words, page = found[language]
        words = words.replace("\xa0", " ")
        assert [each for each in sentences if each not in words] == []
        assert f'<html lang="{language.value}">' in page
        others = [each for each in Language if each is not language]
        assert not any(sentences[0] in found[each][0] for each in others)


def test_a_drawing_of_one_language_is_not_kept_for_another(whole):
    """Both are kept on the disk under a name made of what they show."""
    pair = usual_of(whole_visit(whole.number).readings.all())
    turns = two_turns(pair)
    drawn = {}
    for language in Language:
        with speaking(language):
            drawn[language] = figure_of(pair.compared.main[:1]), rings_of(turns)
    for pictures in zip(*drawn.values(), strict=True):
        assert len(set(pictures)) == len(Language)
    with speaking(Language.GERMAN):
        assert (figure_of(pair.compared.main[:1]), rings_of(turns)) == drawn[Language.GERMAN]


def test_the_restorer_is_asked_in_his_language_whatever_the_owner_s(whole, monkeypatch):
    whole.findings.update(is_cause=False)
    monkeypatch.setattr(report_page, "picture_of", lambda _photograph: None)
    with speaking(Language.GERMAN):
        missing = report_of(whole_visit(whole.number), day=DAY).missing
    assert "the photograph of “Arbor, bridge side, measured”, whose file is gone" in missing
    assert "an answer to “Brummo vlit krell.”: tick at a finding that it is the cause" in missing


def test_positions_and_winds_are_called_on_paper_as_on_the_pages():
    for place in Position:
        assert place_words(place.value) == named(place) == str(Laid(place.value).label)
    assert place_words("") == str(Laid("").label)
    for key, words in WOUND_WORDS.items():
        assert words == str(Wound(key).label)
    assert {key: str(words) for key, words in TITLES.items()} == TABLES


def test_what_a_photograph_told_is_told_again_in_the_owner_s_language():
    filled = {"mean": "1.012 ± 0.008", "most": "0.020", "oval": "0.076 ± 0.012", "long": "1.0",
              "short": "0.936", "direction": "95 ± 4°", "size": "0.9", "unit": "mm"}  # fmt: skip
    for message in (*KEPT, *PIVOT_KEPT):
        sentence = message.format(**filled)
        assert retold(sentence) == sentence
        with speaking_with_accents():
            assert escaped(retold(sentence), "mm") == set()
            assert "." not in re.sub(r"\.$", "", retold(sentence))
    with speaking_with_accents():
        assert retold("Looked at by hand.") == "Looked at by hand."


def test_a_step_of_several_to_a_new_hole_is_told_in_the_language():
    title = next(iter(NEW_HOLES.values()))
    assert step_words(f"{title}: 3 of 9") == f"{title}: 3 of 9"
    with speaking_with_accents():
        assert step_words(f"{title}: 3 of 9") == f"{accented(title)}: 3 óf 9"
        assert step_words("Hands blued: 3 of them") == accented("Hands blued: 3 of them")


@pytest.mark.parametrize(("says", "shared"), [("good", ()), ("left out: " + "so " * 20, (3,))])
def test_long_results_leave_room_for_the_names_of_the_tests(says, shared):
    (table,) = blocks_of((ReportedTest(title="Beat", value="", limit="", says=says),))
    assert table.shared == shared


@pytest.mark.parametrize("place", [each for each in watch_places(None) if not each.is_barrel],
                         ids=lambda each: each.name)  # fmt: skip
def test_the_place_of_another_bearing_is_told_in_the_language(place):
    key = f"{place.table}.play_mm"
    size = SizeSeen(key=key, name=place_size_name(key), before="", after="")
    assert bare_name(size) == size.name
    for language in (Language.GERMAN, Language.FRENCH):
        with speaking(language):
            title, _colon, words = bare_name(size).replace("\xa0", "").partition(":")
        assert title not in size.name
        assert words.strip() not in size.name
