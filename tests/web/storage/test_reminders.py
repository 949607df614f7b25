"""What the first page says of backups: a daily one that failed, a full one that is wanted."""

from datetime import timedelta
from threading import Event

import pytest
from django.utils import timezone

from sideshake.core.errors import InputError
from sideshake.web.storage import automatic, full
from sideshake.web.storage.automatic import daily_fault, keep_daily
from sideshake.web.storage.full import OLD, full_reminder, last_full, note_full

FAILED, NONE_YET = "backup could not be made", "No full backup was made yet"


class Once(Event):
    """Set after the first wait: a loop goes round once."""

    def wait(self, timeout=None):
        self.set()
        return True


@pytest.fixture
def noted(settings, tmp_path):
    path = tmp_path / "all.zip"
    path.write_bytes(b"zip")
    return note_full(path)


@pytest.mark.parametrize("fault", [InputError("no room"), OSError("read-only"), ValueError("odd")])
def test_a_daily_backup_that_fails_is_on_the_first_page_until_one_succeeds(
    client, visit, monkeypatch, fault
):
    def fails(_kind):
        raise fault

    monkeypatch.setattr(automatic.connection, "close", lambda: None)
    with monkeypatch.context() as failing:
        failing.setattr(automatic, "keep_backup", fails)
        keep_daily(Once())
    assert daily_fault()
    assert FAILED in client.get("/").content.decode()
    monkeypatch.setattr(automatic, "keep_backup", lambda _kind: None)
    keep_daily(Once())
    assert daily_fault() == ""
    assert FAILED not in client.get("/").content.decode()


def test_without_a_full_backup_the_owner_of_the_workshop_is_reminded(
    client, colleague_client, visit
):
    assert NONE_YET in client.get("/").content.decode()
    assert NONE_YET not in colleague_client.get("/").content.decode()


def test_an_empty_workshop_needs_no_backup(db):
    assert full_reminder() == ""


def test_a_full_backup_on_the_same_disk_says_so(visit, noted):
    assert noted.same_disk
    assert "lies on the disk of the workshop" in full_reminder()


def test_a_fresh_full_backup_on_another_disk_says_nothing(visit, noted, monkeypatch):
    monkeypatch.setattr(full, "last_full", lambda: replaced(noted, same_disk=False))
    assert full_reminder() == ""


def test_an_old_full_backup_is_asked_for_again(visit, noted, monkeypatch):
    old = (timezone.now() - OLD - timedelta(days=1, hours=1)).isoformat()
    monkeypatch.setattr(full, "last_full", lambda: replaced(noted, made_at=old, same_disk=False))
    assert full_reminder() == "The last full backup is 31 days old."


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"{",
        b"[]",
        b'{"made_at": 3}',
        b'{"made_at": "2999-01-01T00:00:00+00:00", "place": "x", "same_disk": false}',
    ],
)
def test_a_damaged_note_counts_as_none(visit, noted, settings, text):
    (settings.BACKUPS / full.NOTE).write_bytes(text)
    assert last_full() is None


def replaced(noted, **values):
    return full.FullBackup(
        **{"made_at": noted.made_at, "place": noted.place, "same_disk": noted.same_disk} | values
    )
