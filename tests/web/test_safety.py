"""What must hold for every page, also for those that are added later."""

import os
import re
from itertools import chain

import pytest
from django.db import connection
from django.test import Client
from django.urls import URLPattern, get_resolver
from django.urls.converters import IntConverter, SlugConverter, StringConverter, UUIDConverter

OPEN_TO_ALL = {"sign-in", "sign-in-link"}
MADE_UP = {
    IntConverter: "1",
    StringConverter: "x1",
    SlugConverter: "x-1",
    UUIDConverter: "6f2b7c1e-0d7a-4c43-9d55-6b7b0b0c7a11",
}


def pages(patterns=None):
    for each in get_resolver().url_patterns if patterns is None else patterns:
        if isinstance(each, URLPattern):
            yield each
        else:
            yield from pages(each.url_patterns)


def address(page):
    """Return a page's address with made-up arguments."""
    converters = page.pattern.converters

    def made_up(part):
        converter = converters[part.group(2)]
        return MADE_UP.get(type(converter), "x1")

    return "/" + re.sub(r"<(?:([^>:]+):)?([^>]+)>", made_up, str(page.pattern))


ALL = list(pages())
GUARDED = [page for page in ALL if page.name not in OPEN_TO_ALL]


def test_every_page_has_a_name_and_the_walk_finds_them():
    names = [page.name for page in ALL]
    assert None not in names
    assert {"today", "visit", "people", "settings", *OPEN_TO_ALL} <= set(names)


@pytest.mark.parametrize("page", GUARDED, ids=lambda page: page.name)
@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.django_db
def test_every_page_asks_a_stranger_to_sign_in(page, method):
    answer = getattr(Client(), method)(address(page))
    assert answer.status_code == 302, address(page)
    assert answer.url.startswith("/sign-in/?next="), address(page)


@pytest.mark.parametrize("page", ALL, ids=lambda page: page.name)
def test_every_answer_carries_the_content_policy(client, page):
    answer = client.get(address(page))
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["X-Frame-Options"] == "DENY"


def test_the_policy_stands_on_files_and_on_what_is_not_there(stranger, db):
    for where in ("/sign-in/", "/static/bench/bench.css", "/static/bench/none.css"):
        answer = stranger.get(where)
        assert "Content-Security-Policy" in answer.headers
        b"".join(answer)  # read to the end, which closes the file


@pytest.mark.parametrize("page", ALL, ids=lambda page: page.name)
def test_every_change_without_the_form_token_is_refused(owner_of_workshop, page):
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(owner_of_workshop)
    answer = browser.post(address(page), {"name": "x"})
    assert answer.status_code == 403, address(page)
    assert "nothing was changed" in " ".join(answer.content.decode().split())


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "localhost@evil"])
def test_another_host_name_is_refused(stranger, host, db):
    for page in ("/sign-in/", "/"):
        answer = stranger.get(page, headers={"host": host})
        assert answer.status_code == 400
        assert "Nothing was changed" in answer.content.decode()


def test_no_page_holds_inline_script_or_style(client, visit):
    addresses = chain(map(address, ALL), [f"/visits/{visit.number}/"])
    for where in addresses:
        answer = client.get(where)
        if answer.headers.get("Content-Type", "").startswith("text/html") and not answer.streaming:
            text = answer.content.decode()
            assert not re.search(r"<script(?![^>]*\bsrc=)", text), where
            assert not re.search(r"<[a-z]+[^>]*\s(?:style|on[a-z]+)=", text), where
            assert "<style" not in text, where


@pytest.mark.parametrize("path", ["../settings.py", "..%2f..%2fsettings.py", "%2e%2e/%2e%2e/etc"])
def test_no_address_leads_out_of_the_folders(client, path):
    for root in ("/static/", "/static/bench/", "/photographs/", "/recordings/", "/files/"):
        answer = client.get(root + path)
        assert answer.status_code in (302, 400, 404)
        assert b"SECRET_KEY" not in b"".join(answer)


def test_a_flood_of_fields_is_refused(client):
    answer = client.post("/settings/", {f"f{n}": "1" for n in range(1500)})
    assert answer.status_code == 400


def test_a_text_larger_than_allowed_is_refused(client):
    answer = client.post("/settings/", {"name": "x" * (3 * 1024**2)})
    assert answer.status_code in (400, 422)


@pytest.mark.on_postgresql
def test_the_tests_run_on_the_database_that_was_asked_for():
    asked = os.environ.get("DATABASE_URL", "sqlite").partition(":")[0]
    assert connection.vendor == asked
