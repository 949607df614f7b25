"""Signing in, passwords, people, settings."""

import re

import pytest
from django.test import Client

from sideshake.web.base.notices import keep_notices
from sideshake.web.models import Change, Role, User, Workshop, the_workshop
from sideshake.web.people.sign_in import new_link

PASSWORD = "a long word of the workshop"


def try_password(browser, name, password):
    return browser.post("/sign-in/", {"name": name, "password": password})


def test_the_right_password_opens_the_page_that_was_wanted(stranger, colleague):
    answer = stranger.post(
        "/sign-in/",
        {"name": "the colleague", "password": PASSWORD, "next": "/visits/2026-001/"},
    )
    assert (answer.status_code, answer.url) == (302, "/visits/2026-001/")


def test_signing_in_leads_to_no_foreign_page(stranger, colleague):
    for wanted in ("https://evil.example/", "//evil.example/", "javascript:alert(1)"):
        answer = stranger.post(
            "/sign-in/", {"name": "the colleague", "password": PASSWORD, "next": wanted}
        )
        assert answer.url == "/"


def test_after_five_wrong_tries_the_name_has_to_wait(stranger, colleague):
    codes = [try_password(stranger, "the colleague", "wrong").status_code for _ in range(6)]
    assert codes == [422] * 5 + [429]
    answer = try_password(stranger, "the colleague", PASSWORD)
    assert answer.status_code == 429
    assert re.search(r"Try again in 1[45] seconds", answer.content.decode())


def test_another_name_need_not_wait(stranger, colleague, apprentice):
    for _ in range(6):
        try_password(stranger, "the colleague", "wrong")
    assert try_password(stranger, "the apprentice", PASSWORD).status_code == 302


def test_a_link_signs_in_once(stranger, apprentice):
    address = f"/sign-in/{new_link(apprentice)}/"
    assert stranger.get(address).status_code == 200
    assert stranger.post(address).status_code == 302
    again = Client().post(address)
    assert again.status_code == 403
    assert "has been used, or is too old" in again.content.decode()


def test_a_link_of_somebody_who_left_opens_nothing(stranger, apprentice):
    address = f"/sign-in/{new_link(apprentice)}/"
    User.objects.filter(pk=apprentice.pk).update(is_active=False)
    assert stranger.post(address).status_code == 403


def test_the_session_cookie_is_out_of_reach_of_scripts_and_other_sites(stranger, colleague):
    answer = try_password(stranger, "the colleague", PASSWORD)
    cookie = answer.cookies["sideshake_session"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"


def test_what_the_start_found_is_told_once(client, apprentice_client):
    keep_notices(["2 unfinished uploads were thrown away; everything saved before is here."])
    assert "2 unfinished uploads" in client.get("/").content.decode()
    assert "2 unfinished uploads" not in client.get("/").content.decode()
    assert "2 unfinished uploads" not in apprentice_client.get("/").content.decode()


def test_a_new_password_asks_for_the_old_one(client, owner_of_workshop):
    new = "another good sentence"
    wrong = client.post("/password/", {"old": "no", "new": new, "again": new})
    assert wrong.status_code == 422
    assert client.post("/password/", {"old": PASSWORD, "new": new, "again": new}).status_code == 302
    owner_of_workshop.refresh_from_db()
    assert owner_of_workshop.check_password(new)
    assert client.get("/").status_code == 200


def test_who_came_by_link_sets_a_first_password(stranger, apprentice):
    apprentice.set_unusable_password()
    apprentice.save()
    stranger.force_login(apprentice)
    assert "until now" not in stranger.get("/password/").content.decode()
    new = "the third wheel turns"
    assert stranger.post("/password/", {"new": new, "again": new}).status_code == 302


@pytest.mark.parametrize("new", ["short", "password1234", "the owner 1"])
def test_a_password_that_is_easy_to_guess_is_refused(client, new):
    answer = client.post("/password/", {"old": PASSWORD, "new": new, "again": new})
    assert answer.status_code == 422


def test_an_owner_adds_an_apprentice_and_hands_over_a_link(client):
    shown = {"username": "mia", "first_name": "Mia", "role": "apprentice", "is_active": "on"}
    assert client.post("/people/new/", shown).status_code == 302
    mia = User.objects.get(username="mia")
    assert not mia.has_usable_password()
    assert Change.objects.filter(kind="user", row=mia.pk, what="added Mia").exists()
    page = client.post(f"/people/{mia.pk}/link/").content.decode()
    link = re.search(r"http://testserver(/sign-in/[\w-]+/)", page).group(1)
    assert Client().post(link).status_code == 302


def test_an_owner_sets_somebody_elses_password(client, apprentice):
    new = "the fourth wheel turns"
    assert (
        client.post(f"/people/{apprentice.pk}/password/", {"new": new, "again": new}).status_code
        == 302
    )
    apprentice.refresh_from_db()
    assert apprentice.check_password(new)


@pytest.mark.parametrize(
    "change", [{"role": "colleague", "is_active": "on"}, {"role": "owner", "is_active": ""}]
)
def test_the_last_active_owner_stays(client, owner_of_workshop, change):
    shown = {"username": "the-owner", **change}
    answer = client.post(f"/people/{owner_of_workshop.pk}/", shown)
    assert answer.status_code == 422
    assert "last active owner" in answer.content.decode()
    owner_of_workshop.refresh_from_db()
    assert (owner_of_workshop.role, owner_of_workshop.is_active) == (Role.OWNER, True)


def test_with_a_second_owner_the_first_may_go(client, owner_of_workshop, colleague):
    shown = {"username": "the-colleague", "role": "owner", "is_active": "on"}
    assert client.post(f"/people/{colleague.pk}/", shown).status_code == 302
    gone = {"username": "the-owner", "role": "owner"}
    assert client.post(f"/people/{owner_of_workshop.pk}/", gone).status_code == 302


OWNERS_PAGES = ["/people/", "/people/new/", "/people/1/", "/people/1/password/", "/settings/"]


@pytest.mark.parametrize("page", OWNERS_PAGES)
def test_people_and_settings_are_for_the_owner_alone(apprentice_client, colleague, page):
    assert apprentice_client.get(page).status_code == 403
    browser = Client()
    browser.force_login(colleague)
    assert browser.get(page).status_code == 403
    assert browser.post(page).status_code == 403


def test_only_the_owner_sees_the_way_there(client, apprentice_client):
    assert 'href="/people/"' in client.get("/").content.decode()
    assert 'href="/people/"' not in apprentice_client.get("/").content.decode()


def settings_as_typed(client, **changed):
    form = client.get("/settings/").context["form"]
    typed = {name: form[name].value() for name in form.fields}
    return {name: value for name, value in {**typed, **changed}.items() if value not in (None, "")}


def test_settings_are_saved_with_locale_and_currency_checked(client):
    good = settings_as_typed(client, locale="de-ch", currency="chf", name="Am Bach")
    assert client.post("/settings/", good).status_code == 302
    row = Workshop.objects.get()
    assert (row.locale, row.currency, row.name) == ("de_CH", "CHF", "Am Bach")


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("locale", "xx_YY", "No locale is called xx_YY"),
        ("locale", "../../etc", "No locale is called"),
        ("currency", "QQQ", "QQQ is no currency code"),
        ("tax_percent", "101", "from 0 to 100"),
        ("hourly_rate", "-1", "below zero"),
    ],
)
def test_settings_that_cannot_be_are_refused(client, field, typed, said):
    answer = client.post("/settings/", settings_as_typed(client, **{field: typed}))
    assert answer.status_code == 422
    assert said in answer.content.decode()


@pytest.mark.parametrize("page", ["/", "/people/", "/settings/", "/password/"])
def test_these_pages_ask_the_database_few_questions(client, page, django_assert_max_num_queries):
    with django_assert_max_num_queries(18):
        assert client.get(page).status_code == 200


def test_a_workshop_just_made_has_figures_of_the_right_kind(db):
    made, read = the_workshop(), Workshop.objects.get()
    for name in ("tax_percent", "hourly_rate", "deposit_percent"):
        assert type(getattr(made, name)) is type(getattr(read, name))
