"""An owner is written to in his language, and what is on the pages stays as it is."""

import pytest
from pdf_words import words_of

from sideshake.web.models import Owner


@pytest.fixture
def card(client, visit):
    """Return the words of the visit's care card as a function of the owner's language."""
    visit.watch.calibre = "lindquell-25"
    visit.watch.save()

    def words(language):
        Owner.objects.filter(pk=visit.watch.owner_id).update(language=language)
        made = client.get(f"/visits/{visit.number}/papers/card/a6.pdf")
        return words_of(made.content).replace("\xa0", " ")

    return words


@pytest.mark.parametrize(("language", "said"), [
    ("en", "Never set the date on its own"), ("de", "Stellen Sie das Datum nie für sich allein"),
    ("fr", "Ne réglez jamais la date seule"),
])  # fmt: skip
def test_the_care_card_is_in_the_owner_s_language_and_no_other(card, language, said):
    words = {each: card(each) for each in ("en", "de", "fr")}
    assert said in words[language]
    assert not any(said in words[other] for other in words if other != language)


def test_a_page_stays_in_english_after_a_card_in_german(client, visit, card):
    card("de")
    page = client.get(f"/visits/{visit.number}/").content.decode()
    assert "Uhr stehen" not in page


def test_a_new_owner_is_written_to_in_english_and_the_form_changes_it(client, visit):
    owner = visit.watch.owner
    assert owner.language == "en"
    typed = {"name": owner.name, "prefers": "email", "seen": owner.version}
    client.post(f"/owners/{owner.pk}/edit/", typed | {"language": "de"})
    owner.refresh_from_db()
    assert owner.language == "de"
    assert "Deutsch" in client.get(f"/owners/{owner.pk}/").content.decode()
    client.post(f"/owners/{owner.pk}/edit/", typed | {"seen": owner.version})
    owner.refresh_from_db()
    assert owner.language == "de"


def test_a_language_that_is_not_there_is_refused(client, visit):
    owner = visit.watch.owner
    typed = {"name": owner.name, "prefers": "email", "seen": owner.version, "language": "xx"}
    assert client.post(f"/owners/{owner.pk}/edit/", typed).status_code == 422
    owner.refresh_from_db()
    assert owner.language == "en"
