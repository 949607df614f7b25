"""A database that is empty or damaged beside the files of a workshop: told, and the way back."""

import shutil
import sqlite3

import pytest
from workshop_process import Open, free_port, run


@pytest.fixture
def closed(tmp_path):
    """The folder of a workshop that was opened and closed, with an automatic backup."""
    data = tmp_path / "data"
    opened = Open(data)
    try:
        opened.come_in()
        for _each in range(100):
            if list((data / "backups").glob("*-daily.zip")):
                break
            opened.get("/")
    finally:
        opened.close()
    assert list((data / "backups").glob("*-daily.zip"))
    return data


def begun(data):
    return run(data, "bench", "--no-browser", "--port", str(free_port()))


def test_an_emptied_database_beside_backups_is_no_new_workshop(closed):
    database = closed / "workshop.sqlite3"
    database.unlink()
    ended = begun(closed)
    assert ended.returncode == 2
    newest = max((closed / "backups").glob("*-daily.zip"))
    assert "the records of this workshop are gone" in ended.stderr
    assert f"sideshake restore {newest}" in ended.stderr
    assert not database.exists() or not has_people(database)


def test_the_backup_that_is_named_brings_the_workshop_back(closed):
    (closed / "workshop.sqlite3").unlink()
    newest = max((closed / "backups").glob("*-daily.zip"))
    restored = run(closed, "restore", str(newest))
    assert restored.returncode == 0, restored.stderr
    again = Open(closed)
    again.come_in()
    assert "new workshop" not in again.text
    again.close()


def test_a_damaged_database_is_told_in_a_sentence_and_left_as_it_is(closed):
    database = closed / "workshop.sqlite3"
    for beside in closed.glob("workshop.sqlite3-*"):
        beside.unlink()
    database.write_bytes(b"no database " * 1000)
    ended = begun(closed)
    assert ended.returncode == 2
    assert "the database is damaged" in ended.stderr
    assert "sideshake restore" in ended.stderr
    assert "Traceback" not in ended.stderr
    assert database.read_bytes() == b"no database " * 1000


def test_an_empty_secret_is_made_anew(closed):
    (closed / "secret").write_text("")
    opened = Open(closed)
    opened.come_in()
    opened.close()
    assert len((closed / "secret").read_text()) > 40


def test_a_new_folder_opens_as_before(tmp_path):
    (tmp_path / "data" / "files").mkdir(parents=True)
    opened = Open(tmp_path / "data")
    assert "This is a new workshop" in opened.text
    opened.close()


def has_people(database):
    with sqlite3.connect(database) as rows:
        tables = {name for (name,) in rows.execute("select name from sqlite_master")}
    rows.close()
    return "bench_user" in tables


def test_files_alone_count_as_a_workshop_too(closed):
    (closed / "workshop.sqlite3").unlink()
    shutil.rmtree(closed / "backups")
    (closed / "files" / "recordings").mkdir(parents=True, exist_ok=True)
    (closed / "files" / "recordings" / "a.wav").write_bytes(b"RIFF")
    ended = begun(closed)
    assert ended.returncode == 2
    assert "1 of its files" in ended.stderr
    assert "Bring back a backup" in ended.stderr
