"""What is said in a language: by the catalogue, in one context only, and by its own plural."""

from contextvars import copy_context

import pytest
from babel import Locale

from sideshake.wording import (
    Language,
    gettext,
    ngettext,
    noop,
    pgettext,
    speaking,
    spoken,
)
from sideshake.wording.language import catalogue

DATE = "Never set the date on its own while the hands stand {hours}."


def test_english_is_spoken_where_nobody_says_otherwise():
    assert spoken() is Language.ENGLISH
    assert gettext(DATE) == DATE
    assert ngettext("one", "many", 1) == "one"
    assert ngettext("one", "many", 2) == "many"
    assert pgettext("hand time", "{words}") == "{words}"
    assert noop(DATE) == DATE


@pytest.mark.parametrize(("language", "begins"), [
    (Language.GERMAN, "Stellen Sie das Datum nie"), (Language.FRENCH, "Ne réglez jamais la date"),
])  # fmt: skip
def test_a_language_is_spoken_until_its_block_ends(language, begins):
    with speaking(language):
        assert spoken() is language
        assert gettext(DATE).startswith(begins)
        with speaking(Language.ENGLISH):
            assert gettext(DATE) == DATE
        assert gettext(DATE).startswith(begins)
    assert gettext(DATE) == DATE


def test_a_language_is_left_also_where_the_block_fails():
    with pytest.raises(ZeroDivisionError), speaking(Language.GERMAN):
        1 / 0  # noqa: B018 - it is to fail
    assert spoken() is Language.ENGLISH


def test_another_context_speaks_its_own_language():
    elsewhere = copy_context()
    with speaking(Language.FRENCH):
        assert elsewhere.run(spoken) is Language.ENGLISH


def test_what_no_catalogue_holds_is_said_as_it_stands():
    with speaking(Language.GERMAN):
        assert gettext("an owner's own words") == "an owner's own words"
        assert gettext("") == ""


@pytest.mark.parametrize("language", [Language.GERMAN, Language.FRENCH])
def test_the_plural_of_a_language_is_that_of_the_unicode_rules(language):
    """Unicode CLDR plural rules, by babel: French says nothing and a half in the singular."""
    rule = Locale(language.value).plural_form
    for count in range(30):
        assert (catalogue(language).plural(count) == 0) == (rule(count) == "one")
