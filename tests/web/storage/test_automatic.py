"""Backups made by themselves."""

from datetime import timedelta

from django.utils import timezone
from kept_workshop import all_files, all_rows, emptied

from sideshake.web.storage import automatic
from sideshake.web.storage.automatic import automatic_backups, is_due, keep_backup
from sideshake.web.storage.restore import restore


def test_an_automatic_backup_brings_records_and_deleted_photographs_back(filled, settings):
    rows, files = all_rows(), all_files(filled)
    path = keep_backup("daily")
    emptied(filled)
    restore(path)
    assert all_rows() == rows
    assert all_files(filled) == files


def test_an_automatic_backup_takes_no_room_for_recordings(filled):
    assert keep_backup("daily").stat().st_size < 60_000
    second = filled.parent / "backups" / "files" / "recordings" / "cd34.flac"
    assert second.samefile(filled / "recordings" / "cd34.flac")


def test_a_file_known_from_the_last_backup_is_not_read_again(filled, monkeypatch):
    keep_backup("before-migration")
    read = []
    monkeypatch.setattr(automatic, "sha256_of", lambda path: read.append(path) or "0" * 64)
    (filled / "photographs" / "new.jpg").write_bytes(b"new")
    keep_backup("daily")
    assert [path.name for path in read] == ["new.jpg"]


def test_the_last_ten_are_kept_and_the_files_they_need(filled, settings):
    folder = settings.BACKUPS
    first = folder / "2026-01-01T00-00-00-000000-daily.zip"
    keep_backup("daily").rename(first)
    (filled / "photographs" / "ab12.jpg").unlink()
    for number in range(10):
        assert (folder / "files" / "photographs" / "ab12.jpg").exists()
        keep_backup("daily").rename(folder / f"2026-01-{number + 10}T00-00-00-000000-daily.zip")
    newest = keep_backup("before-migration")
    assert newest in automatic_backups(folder)
    assert len(automatic_backups(folder)) == 10
    assert first not in automatic_backups(folder)
    assert not (folder / "files" / "photographs" / "ab12.jpg").exists()
    assert (folder / "files" / "recordings" / "cd34.flac").exists()


def test_a_clock_that_once_ran_ahead_does_not_cost_the_newest_backup(filled, settings):
    for number in range(10):
        ahead = settings.BACKUPS / f"2099-01-{number + 10}T00-00-00-000000-daily.zip"
        keep_backup("daily").rename(ahead)
    newest = keep_backup("daily")
    assert newest.exists()
    assert len(automatic_backups(settings.BACKUPS)) == 10
    assert is_due(settings.BACKUPS, timezone.now() + timedelta(hours=25))


def test_a_backup_is_due_when_the_last_one_is_a_day_old(filled, settings):
    now = timezone.now()
    assert is_due(settings.BACKUPS, now)
    keep_backup("daily")
    assert not is_due(settings.BACKUPS, now + timedelta(hours=23))
    assert is_due(settings.BACKUPS, now + timedelta(hours=25))
