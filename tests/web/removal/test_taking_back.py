"""Taking back at the level of rows: versions, one line in the history, strange rows, the book."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone
from filled_workshop import fill

from sideshake.core.errors import InputError
from sideshake.web.base.putting_aside import touched
from sideshake.web.base.saving import EditConflict, remove, save
from sideshake.web.daily_rates import services as books
from sideshake.web.daily_rates.course import entries
from sideshake.web.models import Change, Finding, Programme, Reading, Removed, the_workshop
from sideshake.web.removal.services import take_back


@pytest.fixture
def rows(visit, owner_of_workshop, data):
    the_workshop()
    found = fill(visit, owner_of_workshop, data / "files")
    Removed.objects.all().delete()
    return found


@pytest.fixture
def round_aside(rows, owner_of_workshop):
    """A round put aside, with the link that its reading had to it."""
    aside = remove(rows["Round"], owner_of_workshop)
    assert Reading.objects.get().round is None
    return aside


def test_whoever_edits_a_record_hears_that_its_link_came_back(
    rows, round_aside, owner_of_workshop, colleague
):
    stale = Reading.objects.get()
    take_back(round_aside, owner_of_workshop)
    assert Reading.objects.get().round == rows["Round"]
    assert Reading.objects.get().version == stale.version + 1
    stale.note = "typed meanwhile"
    with pytest.raises(EditConflict):
        save(stale, colleague)


def test_a_record_without_a_link_keeps_its_version(rows, owner_of_workshop):
    before = Reading.objects.get().version
    take_back(remove(rows["Finding"], owner_of_workshop), owner_of_workshop)
    assert Reading.objects.get().version == before


def test_the_history_tells_it_in_one_line(round_aside, owner_of_workshop):
    kinds = [thing.table for thing in touched(round_aside)]
    assert kinds == ["round", "reading"]  # a row and a link
    take_back(round_aside, owner_of_workshop)
    told = Change.objects.filter(what__startswith="taken back")
    assert [(each.kind, each.visit_id) for each in told] == [("round", round_aside.visit_id)]


def test_what_another_sideshake_put_aside_is_refused_in_words(rows, owner_of_workshop):
    aside = remove(rows["Finding"], owner_of_workshop)
    held = aside.things
    held["rows"][0]["row"]["smell"] = "of oil"
    Removed.objects.update(held=json.dumps(held))
    with pytest.raises(InputError, match="a column smell that this Sideshake does not know"):
        take_back(aside, owner_of_workshop)
    assert not Finding.objects.exists()
    assert Removed.objects.exists()


@pytest.mark.parametrize(("column", "value"), [("added_at", "yesterday"), ("place", "first")])
def test_a_row_that_cannot_be_read_is_refused_in_words(rows, owner_of_workshop, column, value):
    aside = remove(rows["Photograph"], owner_of_workshop)
    held = aside.things
    each = next(each for each in held["rows"] if each["table"] == "photograph")
    assert column in each["row"]
    each["row"][column] = value
    Removed.objects.update(held=json.dumps(held))
    with pytest.raises(InputError, match="cannot be read"):
        take_back(aside, owner_of_workshop)


@pytest.fixture
def book(visit, colleague):
    """A book of daily rates with three comparisons."""
    first = datetime(2026, 3, 5, 8, tzinfo=UTC)
    states = [
        {"at": (first + timedelta(days=day)).isoformat(), "state_s": 2.5 * day, "day": day}
        for day in range(3)
    ]
    return Programme.objects.create(visit=visit, size="large", begun_on=first, states=states)


def last_out(book, by):
    book.refresh_from_db()
    return books.take_back(book, by, place=len(book.states) - 1, seen=book.version)


def test_two_lines_come_back_into_the_book_one_after_the_other(book, colleague):
    """The second is put back into the very book that the first one's removal left."""
    before = entries(book)
    third, second = last_out(book, colleague), last_out(book, colleague)
    with pytest.raises(InputError, match="the book went on meanwhile"):
        take_back(third, colleague)  # its book had one line more
    for each in (second, third):
        take_back(each, colleague)
    book.refresh_from_db()
    assert entries(book) == before


def test_a_change_of_something_else_does_not_close_the_book(book, colleague):
    third = last_out(book, colleague)
    book.refresh_from_db()
    Programme.objects.update(version=book.version + 1)
    take_back(third, colleague)
    book.refresh_from_db()
    assert len(book.states) == 3


def test_no_line_comes_back_into_a_book_that_went_on(book, colleague):
    third = last_out(book, colleague)
    book.refresh_from_db()
    later = books.CourseEntry(at=timezone.now() - timedelta(hours=1), state_s=1.0)
    books.compare(book, later, colleague, anew=False, seen=book.version)
    with pytest.raises(InputError, match="the book went on meanwhile"):
        take_back(third, colleague)
