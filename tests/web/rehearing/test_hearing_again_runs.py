"""A run that hears again: how far it is, stopping it, and going on in the background."""

import threading

import pytest
from django.test import Client

from sideshake.core.errors import InputError
from sideshake.web.base.saving import save
from sideshake.web.models import Change, Earlier, Reading, Rehearing
from sideshake.web.readings import hearing
from sideshake.web.rehearing import services as hearing_again
from sideshake.web.rehearing.asked import of_all, of_visit, outlook
from sideshake.web.rehearing.putting_back import put_all_back

from ..conftest import question_of
from ..heard_again import OLD_RATE, page, rates, upload


@pytest.fixture
def run(three, visit, owner_of_workshop) -> Rehearing:
    """A run written down, of which nothing is heard yet."""
    return hearing_again.begin(of_visit(visit), owner_of_workshop)


def test_a_run_shows_how_far_it_is_and_what_is_heard(client, run):
    row = hearing_again.waiting_rows()[0]
    hearing_again.rehear(row)
    said = page(client, f"/hear-again/{run.pk}/")
    assert "1 of 3 done. Now: 2026-001, FH, dial down, fully wound, as it came." in said
    assert '<progress max="3" value="1"' in said
    assert 'id="how-far"' in said
    assert "again.js" in said
    assert client.post(f"/hear-again/{run.pk}/put-back/").status_code == 422


def test_stopped_it_leaves_the_rest_as_it_was(client, run):
    hearing_again.rehear(hearing_again.waiting_rows()[0])
    client.post(f"/hear-again/{run.pk}/stop/")
    assert [rate == OLD_RATE for rate in rates()] == [False, True, True]
    said = page(client, f"/hear-again/{run.pk}/")
    assert "Stopped. 1 heard again. 2 left as they were." in said
    assert "stopped before its turn" in said
    run.refresh_from_db()
    assert run.stopped
    ended = run.ended_at
    client.post(f"/hear-again/{run.pk}/stop/")
    run.refresh_from_db()
    assert run.ended_at == ended


@pytest.mark.parametrize("blocks", [1, 10_000])
def test_a_reading_that_is_just_being_heard_when_it_is_stopped_stays(run, monkeypatch, blocks):
    """Noticed while it is heard, or only when it is to be written."""
    monkeypatch.setattr(hearing, "BLOCKS_BETWEEN", blocks)
    row = hearing_again.waiting_rows()[0]
    hearing_again.stop(run)
    hearing_again.rehear(row)
    assert rates() == [OLD_RATE] * 3
    assert not Change.objects.filter(what__startswith="heard again").exists()


def test_what_somebody_edited_meanwhile_is_left(run, owner_of_workshop):
    row = hearing_again.waiting_rows()[0]
    other = Reading.objects.get(pk=row.reading_id)
    other.note = "edited meanwhile"
    save(other, owner_of_workshop)
    hearing_again.rehear(row)
    row.refresh_from_db()
    assert (row.fate, row.why) == ("left", "somebody changed it meanwhile")
    assert rates() == [OLD_RATE] * 3


@pytest.mark.django_db(transaction=True)
def test_a_long_run_goes_on_in_the_background(client, three, visit, monkeypatch):
    monkeypatch.setattr(hearing_again, "AT_ONCE_S", 20.0)
    begun = []

    class Noted(threading.Thread):
        def start(self):
            begun.append(self.name)

    monkeypatch.setattr(hearing_again.threading, "Thread", Noted)
    answer = client.post(f"/visits/{visit.number}/hear-again/", follow=True)
    assert "0 of 3 done." in " ".join(answer.content.decode().split())
    assert begun == ["hearing again"]
    monkeypatch.undo()
    hearing_again.go_on()
    assert OLD_RATE not in rates()
    assert Rehearing.objects.get().ended_at is not None


@pytest.mark.django_db(transaction=True)
def test_after_a_restart_it_goes_on_where_it_was(run, monkeypatch):
    closing = threading.Event()
    closing.set()
    hearing_again.go_on(closing)
    assert rates() == [OLD_RATE] * 3
    monkeypatch.setattr(hearing, "BLOCKS_BETWEEN", 1)
    hearing_again.rehear(hearing_again.waiting_rows()[0], closing)
    assert rates() == [OLD_RATE] * 3  # cut off in the middle, it waits on
    assert hearing_again.waiting_rows().count() == 3
    hearing_again.go_on(threading.Event())
    assert OLD_RATE not in rates()


@pytest.mark.django_db(transaction=True)
def test_what_nobody_has_heard_yet_comes_first(run, client, visit, ticking, monkeypatch):
    new = upload(client, visit, ticking, position="9H")
    Reading.objects.filter(pk=new.pk).update(state="waiting", sentence="")
    order = []
    rehear = hearing_again.rehear

    def noted(row, closing=None):
        order.append(Reading.objects.get(pk=new.pk).state)
        rehear(row, closing)

    monkeypatch.setattr(hearing_again, "rehear", noted)
    hearing_again.go_on()
    assert order == ["heard"] * 3


def test_the_server_starts_it_too():
    from sideshake.web import serve

    assert serve.go_on_hearing_again in serve.BESIDE


def test_a_run_that_goes_on_is_not_put_back(run, owner_of_workshop):
    with pytest.raises(InputError, match="stop it first"):
        put_all_back(run, owner_of_workshop)


def test_of_a_run_that_goes_on_it_is_not_even_asked(client, run, owner_of_workshop):
    row = hearing_again.waiting_rows()[0]
    hearing_again.rehear(row)
    browser = Client()
    browser.force_login(owner_of_workshop)
    answer = browser.post(f"/hear-again/{run.pk}/put-back/")
    assert (answer.status_code, question_of(answer)) == (422, None)
    assert "stop it first" in answer.text


# Its costs.


def test_the_outlook_is_one_question(three, django_assert_num_queries):
    with django_assert_num_queries(1):
        found = outlook(of_all().readings)
    assert (found.all, found.older, found.by_this, found.lost, found.busy) == (3, 3, 0, 0, 0)
    assert found.older_s == pytest.approx(36.0)


@pytest.mark.parametrize("times", [1, 12])
def test_a_run_s_page_asks_as_often_however_long_it_is(
    client, run, times, django_assert_max_num_queries
):
    row = Earlier.objects.order_by("pk")[0]
    more = {"run": run, "reading": row.reading, "fate": "fault", "why": "damaged"}
    Earlier.objects.bulk_create(Earlier(**more) for _ in range(times))
    with django_assert_max_num_queries(10):
        page(client, f"/hear-again/{run.pk}/")
