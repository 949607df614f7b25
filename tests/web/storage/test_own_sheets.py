"""Calibre sheets in a backup, a backup read back, and strange files among the backups."""

import zipfile

import pytest
from django.utils import timezone
from kept_workshop import all_rows, altered, emptied

from sideshake.core.errors import InputError
from sideshake.web.storage.automatic import automatic_backups, is_due, keep_backup
from sideshake.web.storage.backup import write_backup
from sideshake.web.storage.restore import read_back, restore


@pytest.fixture
def archive(filled, tmp_path):
    write_backup(tmp_path / "all.zip")
    return tmp_path / "all.zip"


SHEET = """name = "Own 12"\nbeats_per_hour = 18000\n"""


def own_sheets(settings):
    return {path.name: path.read_text("utf-8") for path in (settings.DATA / "calibres").glob("*")}


def test_a_backup_holds_the_workshops_own_calibre_sheets(filled, settings, tmp_path):
    folder = settings.DATA / "calibres"
    folder.mkdir()
    (folder / "own-12.toml").write_text(SHEET, "utf-8")
    write_backup(tmp_path / "all.zip")
    emptied(filled)
    (folder / "own-12.toml").unlink()
    (folder / "newer.toml").write_text(SHEET, "utf-8")
    restore(tmp_path / "all.zip", replace=True)
    assert own_sheets(settings) == {"own-12.toml": SHEET}


def test_an_archive_without_sheets_leaves_those_that_are_there(archive, filled, settings):
    emptied(filled)
    folder = settings.DATA / "calibres"
    folder.mkdir()
    (folder / "own-12.toml").write_text(SHEET, "utf-8")
    restore(archive, replace=True)
    assert own_sheets(settings) == {"own-12.toml": SHEET}


def test_an_automatic_backup_holds_the_sheets_too(filled, settings):
    (settings.DATA / "calibres").mkdir()
    (settings.DATA / "calibres" / "own-12.toml").write_text(SHEET, "utf-8")
    path = keep_backup("daily")
    with zipfile.ZipFile(path) as kept:
        assert kept.read("calibres/own-12.toml").decode() == SHEET


def test_reading_back_counts_every_row_and_finds_a_wrong_byte(archive, filled, tmp_path):
    contents = read_back(archive)
    assert contents.records == {table: len(rows) for table, rows in all_rows().items()}
    name = "records/bench.owner.jsonl"
    broken = altered(archive, tmp_path / "b.zip", lambda n, d: d[:-9] if n == name else d)
    with pytest.raises(InputError, match="damaged"):
        read_back(broken)


def test_a_stray_file_among_the_backups_stops_none(filled, settings):
    settings.BACKUPS.mkdir(exist_ok=True)
    stray = settings.BACKUPS / "mine-daily.zip"
    stray.write_bytes(b"mine")
    assert is_due(settings.BACKUPS, timezone.now())
    path = keep_backup("daily")
    assert automatic_backups(settings.BACKUPS) == [path]
    assert not is_due(settings.BACKUPS, timezone.now())
    assert stray.read_bytes() == b"mine"
