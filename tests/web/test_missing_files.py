"""Files that are gone, a full disk, a database that is gone: every page says so in a sentence."""

import re
import shutil

import pytest
from django.core.cache import cache
from django.db import DatabaseError, OperationalError, connection
from django.test import Client
from filled_workshop import ALL

from sideshake.core.errors import InputError
from sideshake.web.base.faults import shorten, told
from sideshake.web.models import Reading
from sideshake.web.readings.hearing import WAITING, hear
from sideshake.web.readings.listening_sound import put_on_disk

PAGES = sorted(set(ALL) - {"sign-in", "sign-in-link", "sign-out"})
READ_FILES = {"photograph-file", "recording-file", "slowly", "slow-picture", "slow-sound",
              "issued-paper", "reading-picture"}  # fmt: skip
MAY_READ_FILES = [
    name for name in PAGES
    if re.search("photo|record|reading|slow|paper|pdf|report|show|visit|logo|sound|listen", name)
]  # fmt: skip
SENTENCE = re.compile(r'<p class="sentence">([^<]{20,})</p>')


@pytest.fixture
def browser(owner_of_workshop):
    """A browser that is shown the page of a fault, as a real one is."""
    seen = Client(raise_request_exception=False)
    seen.force_login(owner_of_workshop)
    return seen


def sentence_of(answer) -> str:
    found = SENTENCE.search(answer.content.decode())
    assert found, answer.content.decode()[:500]
    return " ".join(found[1].split())


@pytest.fixture
def without_files(rows, data, path_of):
    shutil.rmtree(data / "files")
    (data / "files").mkdir()
    return path_of


def test_every_page_is_shown_or_says_which_file_is_gone(browser, without_files, data):
    refused = set()
    for name in MAY_READ_FILES:
        answer = browser.get(without_files(name))
        assert answer.status_code < 500, name
        if "text/html" in answer.headers["Content-Type"]:
            page = answer.content.decode()
            assert str(data) not in page, name
            if answer.status_code in (404, 422) and 'class="sentence"' in page:
                refused.add(name)
                assert sentence_of(answer), name
    assert refused >= READ_FILES


def test_the_same_pages_show_what_they_read_while_the_files_are_there(browser, path_of):
    for name in ("photograph-file", "recording-file", "slow-sound"):
        answer = browser.get(path_of(name))
        assert answer.status_code == 200, name
        assert b"".join(answer)


def test_a_reading_whose_recording_is_gone_keeps_its_figures(browser, without_files):
    before = Reading.objects.get()
    answer = browser.post(without_files("edit-reading"), {
        "note": "again", "position": "CH", "wound": "full", "seen": before.version,
    })  # fmt: skip
    assert answer.status_code == 422
    assert "a backup has it" in answer.content.decode()
    after = Reading.objects.get()
    assert (after.rate_s_per_day, after.state, after.note) == (6.2, "heard", "")


def test_a_waiting_reading_whose_recording_is_gone_says_so_without_a_path(without_files, data):
    Reading.objects.update(state=WAITING)
    hear(Reading.objects.get())
    said = Reading.objects.get().no_reading
    assert said == "its recording is not in the data folder any more; a backup has it"


class Refusing:
    """A database that refuses every question, or only those that write."""

    def __init__(self, words, *, writing=False, kind=OperationalError):
        self.words, self.writing, self.kind, self.asked = words, writing, kind, 0

    def __call__(self, execute, sql, params, many, context):
        if self.writing and not sql.startswith(("INSERT", "UPDATE", "DELETE")):
            return execute(sql, params, many, context)
        self.asked += 1
        raise self.kind(self.words)


def test_no_page_needs_the_database_to_say_that_it_is_gone(browser, path_of):
    cache.clear()
    for name in PAGES:
        with connection.execute_wrapper(Refusing("server closed the connection unexpectedly")):
            answer = browser.get(path_of(name))
        assert answer.status_code == 503, name
        assert "cannot be reached" in sentence_of(answer), name


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        ("database or disk is full", 507, "no room left"),
        ("attempt to write a readonly database", 503, "can only be read"),
        ("disk I/O error", 503, "may be failing"),
        ("database is locked", 503, "send it again"),
        ("database disk image is malformed", 503, "is damaged"),
    ],
)
def test_what_the_database_refuses_to_write_is_said_in_a_sentence(
    browser, visit, words, status, said
):
    with connection.execute_wrapper(Refusing(words, writing=True)):
        answer = browser.post("/owners/new/", {"name": "Ida Fenn", "prefers": "email"})
    assert answer.status_code == status
    assert said in sentence_of(answer)


def test_a_fault_of_the_program_stays_one(browser, visit):
    with connection.execute_wrapper(Refusing("x", writing=True, kind=ZeroDivisionError)):
        answer = browser.post("/owners/new/", {"name": "Ida Fenn", "prefers": "email"})
    assert answer.status_code == 500
    assert "The program failed on this page" in sentence_of(answer)


def test_only_faults_of_disk_and_database_are_told():
    assert told(OSError(28, "No space left on device")).status == 507
    assert told(OSError(30, "Read-only file system")).status == 503
    assert told(FileNotFoundError(2, "gone")).status == 404
    assert told(DatabaseError("database disk image is malformed")).status == 503
    assert told(ConnectionResetError()) is None
    assert told(ValueError("full")) is None
    assert told(None) is None


def test_a_told_fault_is_one_line_in_the_terminal(caplog):
    import logging

    log = logging.getLogger("sideshake")
    for fault in (OSError(28, "No space left on device"), ValueError("ours")):
        try:
            raise fault
        except type(fault):
            log.exception("/visits/")
    first, second = caplog.records
    assert shorten(first)
    assert shorten(second)
    assert (first.exc_info, first.getMessage()) == (
        None,
        "/visits/ ([Errno 28] No space left on device)",
    )
    assert second.exc_info


def test_a_disk_that_fills_while_listening_keeps_what_was_heard_and_says_so(tmp_path):
    path = tmp_path / "1-48000.pcm"
    path.write_bytes(b"")
    put_on_disk(path, b"ab" * 100, have=0)
    path.write_bytes(path.read_bytes() + b"half written")  # as a full disk leaves it
    put_on_disk(path, b"cd" * 10, have=100)
    assert path.read_bytes() == b"ab" * 100 + b"cd" * 10
    with pytest.raises(InputError, match="no room left on the disk; what was heard so far is kept"):
        put_on_disk(Full(), b"cd", have=110)


class Full:
    """A file on a full disk."""

    def open(self, _how):
        raise OSError(28, "No space left on device")
