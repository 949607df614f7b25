"""The first start: four questions, what is guessed, what is refused, hints that go away."""

from decimal import Decimal

import pytest
from django.core.cache import cache

from sideshake.web.models import PlanStep, Proposal, Reading, User, Visit, Workshop, the_workshop
from sideshake.web.people.sign_in import new_link

TYPED = {
    "name": "Thrale's bench", "address": "1 Quay Lane", "country": "CH", "currency": "CHF",
    "tax_percent": "8,1", "prices_hold_tax": "on", "hourly_rate": "95", "hours_a_week": "27,5",
    "locale": "de_CH", "paper": "a4",
}  # fmt: skip


def come_in(browser, user: User):
    return browser.post(f"/sign-in/{new_link(user)}/")


def answer_all(browser, **otherwise):
    told = {**TYPED, "seen": the_workshop().version, **otherwise}
    return browser.post("/begin/", told, headers={"Accept-Language": "de-CH"})


def untouched() -> None:
    Workshop.objects.all().delete()
    cache.clear()


def test_the_first_start_leads_to_the_four_questions(stranger, owner_of_workshop):
    assert come_in(stranger, owner_of_workshop).url == "/begin/"
    answer_all(stranger)
    assert come_in(stranger, owner_of_workshop).url == "/"


def test_nobody_else_is_led_there(stranger, colleague):
    assert come_in(stranger, colleague).url == "/"


def test_what_the_browser_tells_is_guessed_and_said_to_be(client, monkeypatch):
    untouched()
    page = client.get("/begin/", headers={"Accept-Language": "en;q=0.4,de-CH;q=0.9"})
    form = page.context["form"]
    wanted = ("country", "currency", "paper", "locale", "name")
    assert [form[each].value() for each in wanted] == ["CH", "CHF", "a4", "en_CH", ""]
    assert "are guessed from" in page.content.decode()
    assert "(de-ch)" in page.content.decode()
    choices = [words for _value, words in form.fields["locale"].choices]
    assert len(choices) == len(set(choices)) > 2


def test_where_nothing_tells_a_country_nothing_is_guessed(client, monkeypatch):
    monkeypatch.setattr("locale.getlocale", lambda: (None, None))
    untouched()
    page = client.get("/begin/", headers={"Accept-Language": "en"})
    assert page.context["guess"] is None
    assert "nothing is guessed" in page.content.decode()


def test_the_computer_is_asked_where_the_browser_tells_nothing(client, monkeypatch):
    monkeypatch.setattr("locale.getlocale", lambda: ("fr_CA", "UTF-8"))
    untouched()
    assert client.get("/begin/").context["guess"].paper == "us-letter"


def test_the_answers_are_kept_and_changed_in_the_settings(client):
    answer = answer_all(client)
    assert answer.url == "/begin/next/"
    row = Workshop.objects.get()
    assert (row.hours_a_week, row.hourly_rate, row.tax_percent) == (
        Decimal("27.5"), Decimal(95), Decimal("8.1"),
    )  # fmt: skip
    assert (row.locale, row.currency) == ("de_CH", "CHF")
    assert client.get("/settings/").context["form"]["hours_a_week"].value() == "27.5"
    # asked again, what was said stands; nothing is guessed over it
    again = client.get("/begin/", headers={"Accept-Language": "en-US"})
    assert again.context["form"]["currency"].value() == "CHF"
    assert "guessed" not in again.text
    assert "guessed" not in client.get("/begin/", headers={"Accept-Language": "en"}).text


@pytest.mark.parametrize(
    ("field", "typed", "told"),
    [
        ("name", "The workshop", "Write the name"),
        ("name", "", "required"),
        ("hours_a_week", "0", "more than 0"),
        ("hours_a_week", "1000", "at most 999"),
        ("currency", "XYZ", "no currency code"),
        ("country", "ZZZ", "2 characters"),
        ("tax_percent", "101", "from 0 to 100"),
        ("locale", "tlh_XX", "valid choice"),
    ],
)
def test_what_cannot_be_is_refused_in_words(client, field, typed, told):
    answer = answer_all(client, **{field: typed})
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert "are guessed from" in answer.content.decode()
    assert the_workshop().untouched


def test_the_first_page_reminds_until_the_questions_are_answered(client, apprentice_client):
    untouched()
    assert "Whose workshop is this?" in client.get("/").content.decode()
    assert "Whose workshop is this?" not in apprentice_client.get("/").content.decode()
    answer_all(client)
    assert "Whose workshop is this?" not in client.get("/").content.decode()


def hint(browser) -> str:
    given = browser.get("/visits/2026-001/").context["hint"]
    return str(given.press) if given else ""


def test_each_hint_goes_away_when_it_is_done(client, apprentice_client, visit, filled_photograph):
    assert hint(client) == "Add photographs"
    filled_photograph()
    assert hint(client) == "Look it over"
    client.post("/visits/2026-001/look-over/answer/", {"question": "winding", "choice": "g"})
    visit.look_over.create(question="x", choice="g", said="good")
    assert hint(client) == "Listen"
    Reading.objects.create(visit=visit)
    assert hint(client) == "Proposal"
    assert hint(apprentice_client) == ""
    Proposal.objects.create(visit=visit, edition=1, currency="EUR", made_on=visit.arrived_on)
    assert hint(client) == ""


@pytest.fixture
def filled_photograph(visit):
    return lambda: visit.photographs.create(
        stored="a.jpg", sha256="a", format="JPEG", bytes=9, width_px=4, height_px=3
    )


def test_a_second_visit_ends_the_hints(client, visit):
    Visit.objects.create(number="2026-002", watch=visit.watch, arrived_on=visit.arrived_on,
                         step_since=visit.arrived_on)  # fmt: skip
    assert hint(client) == ""


def test_no_more_hints_and_back_again(client, visit):
    seen = the_workshop().version
    client.post("/begin/no-hints/", {"seen": seen})
    assert hint(client) == ""
    assert not Workshop.objects.get().hints
    Workshop.objects.update(hints=True)
    cache.clear()
    assert hint(client) == "Add photographs"


def test_the_work_planned_is_told_in_weeks_of_the_workshop(client, visit):
    answer_all(client)
    assert client.get("/").context["planned"] is None
    for place, minutes in enumerate((1650, 1650, None)):
        PlanStep.objects.create(visit=visit, key=str(place), place=place, title="Work",
                                planned_minutes=minutes)  # fmt: skip
    planned = client.get("/").context["planned"]
    assert (planned.minutes, planned.weeks) == (3300, 2.0)  # 55 h of 27.5 h a week
    assert "55 h 00 min, about 2" in client.get("/").content.decode()
    PlanStep.objects.filter(place=0).update(result="skip")
    Visit.objects.update(step="gone-home")
    assert client.get("/").context["planned"] is None


def test_a_workshop_without_watches_is_not_asked_for_one_that_was_here(client, watch):
    assert "Was it here before?" in client.get("/visits/new/").content.decode()
    watch.delete()
    page = client.get("/visits/new/").content.decode()
    assert "Was it here before?" not in page
    assert "Only the owner's name and what we call the watch are needed" in page.replace(
        "&#x27;", "'"
    )
