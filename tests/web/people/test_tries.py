"""Passwords may be tried only so often: by name, by address, many at once, whatever the clock."""

import time
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.test import Client

from sideshake.web.people import tries
from sideshake.web.people.sign_in import claim_try, was_right
from sideshake.web.people.tries import (
    FREE_BY_ADDRESS,
    FREE_BY_NAME,
    MOST_KEPT,
    Count,
    Tries,
    still_to_wait_s,
)

PASSWORD = "a long word of the workshop"


def test_the_wait_doubles_and_ends_at_five_minutes():
    waits = [still_to_wait_s(Count(number, 100.0), 5, 100.0) for number in range(4, 40)]
    assert waits[:7] == [0, 15, 30, 60, 120, 240, 300]
    assert set(waits[6:]) == {300}


def test_nobody_is_locked_out_for_good():
    assert still_to_wait_s(Count(1000, 100.0), 5, 100.0 + 301) == 0


def test_of_many_tries_at_once_only_the_free_ones_pass():
    kept = Tries()
    with ThreadPoolExecutor(16) as pool:
        waits = list(pool.map(lambda _n: kept.claim({"name": FREE_BY_NAME}), range(64)))
    assert sum(wait == 0 for wait in waits) == FREE_BY_NAME


def test_one_address_cannot_go_through_all_names(stranger, colleague):
    codes = [
        stranger.post("/sign-in/", {"name": f"name {number}", "password": "x"}).status_code
        for number in range(FREE_BY_ADDRESS + 2)
    ]
    assert codes == [422] * FREE_BY_ADDRESS + [429] * 2
    elsewhere = Client(REMOTE_ADDR="192.0.2.7")
    said = elsewhere.post("/sign-in/", {"name": "the colleague", "password": PASSWORD})
    assert said.status_code == 302


def test_the_right_password_takes_the_tries_back():
    for _each in range(FREE_BY_NAME):
        assert claim_try("Jo", "192.0.2.1") == 0
    assert claim_try("JO", "192.0.2.2") > 0
    was_right("Jo", "192.0.2.1")
    assert claim_try("Jo", "192.0.2.1") == 0


def test_setting_the_clock_back_or_on_helps_nobody(monkeypatch):
    for _each in range(FREE_BY_NAME):
        claim_try("Jo", "192.0.2.1")
    monkeypatch.setattr(time, "time", lambda: 0.0)
    assert claim_try("Jo", "192.0.2.1") > 14
    monkeypatch.setattr(time, "time", lambda: 1e12)
    assert claim_try("Jo", "192.0.2.1") > 14


def test_an_hour_later_all_is_forgotten_and_memory_is_bounded(monkeypatch):
    kept = Tries()
    for number in range(MOST_KEPT + 50):
        kept.counts[f"n{number}"] = Count(1, time.monotonic())
    kept.claim({"x": 1})
    assert len(kept.counts) <= MOST_KEPT + 1
    later = time.monotonic() + tries.FORGOTTEN_AFTER_S + 1
    monkeypatch.setattr(time, "monotonic", lambda: later)
    kept.claim({"y": 1})
    assert set(kept.counts) == {"y"}


def test_the_old_password_cannot_be_guessed_on_ones_own_page(client, owner_of_workshop):
    form = {"old": "wrong", "new": "a quite long new one", "again": "a quite long new one"}
    codes = [client.post("/password/", form).status_code for _each in range(FREE_BY_NAME + 1)]
    assert codes == [422] * FREE_BY_NAME + [429]


@pytest.mark.parametrize(("https", "said"), [(True, "max-age=31536000"), (False, None)])
def test_a_browser_that_came_by_https_stays_with_it(stranger, settings, https, said):
    settings.SECURE_HSTS_SECONDS = 31_536_000 if https else 0
    answer = Client().get("/sign-in/", secure=https)
    assert answer.headers.get("Strict-Transport-Security") == said
