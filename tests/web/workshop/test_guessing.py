"""What a new workshop is asked first is guessed from languages, or not at all."""

from zoneinfo import available_timezones

import pytest
from babel import Locale

from sideshake.web.base.zone import machine_zone
from sideshake.web.workshop.guessing import country_of, guessed, writings


@pytest.mark.parametrize(
    ("languages", "country", "currency", "paper"),
    [
        # ISO 4217 by country as its maintenance agency lists them; paper as CLDR's paperSize has it
        (["de-at", "en"], "AT", "EUR", "a4"),
        (["en-us"], "US", "USD", "us-letter"),
        (["en", "en-gb"], "GB", "GBP", "a4"),
        (["ja-jp"], "JP", "JPY", "a4"),
        (["es-mx"], "MX", "MXN", "us-letter"),
        (["en", "de_CH.UTF-8"], "CH", "CHF", "a4"),
        (["zh-hant-tw"], "TW", "TWD", "a4"),
        (["hr_HR"], "HR", "EUR", "a4"),
    ],
)
def test_the_first_language_with_a_country_tells_it(languages, country, currency, paper):
    found = guessed(languages)
    assert (found.country, found.currency, found.paper) == (country, currency, paper)
    assert Locale.parse(found.locale).territory == country or found.locale == "en_GB"


@pytest.mark.parametrize("languages", [[], ["en"], ["de", "fr"], ["C"], ["*"], ["no such-thing"]])
def test_where_no_language_names_a_country_nothing_is_guessed(languages):
    assert guessed(languages) is None


@pytest.mark.parametrize("tag", ["en-001", "es-419", "x-klingon", "", "de-", "\0", "e" * 500])
def test_what_names_no_country_with_money_is_passed_over(tag):
    assert guessed([tag, "fr-fr"]).country == "FR"


def test_english_words_come_first_where_they_are_known():
    assert writings("DE")[0] == "en_DE"
    assert writings("GB") == ["en_GB", *writings("GB")[1:]]
    assert country_of(writings("BR")[-1]) == "BR"


@pytest.mark.parametrize(
    ("link", "zone"),
    [
        ("/usr/share/zoneinfo/Europe/Zurich", "Europe/Zurich"),
        ("/var/db/timezone/zoneinfo/America/New_York", "America/New_York"),
        ("/usr/share/zoneinfo/No/Where", "UTC"),
        ("/etc/elsewhere", "UTC"),
    ],
)
def test_the_zone_is_what_the_link_names(tmp_path, link, zone):
    here = tmp_path / "localtime"
    here.symlink_to(link)
    assert zone in available_timezones()
    assert machine_zone(here) == zone


def test_a_computer_without_the_link_counts_in_utc(tmp_path):
    assert machine_zone(tmp_path / "none") == "UTC"
    (tmp_path / "file").touch()
    assert machine_zone(tmp_path / "file") == "UTC"
