"""Files that no record names: told on their own page, put aside by one press, never deleted."""

import os
import time

import pytest
from filled_workshop import fill

from sideshake.storage.files import LeftOver
from sideshake.web.base.rows import columns, kept_tables
from sideshake.web.base.saving import remove
from sideshake.web.models import Reading, Workshop, the_workshop
from sideshake.web.storage.stored_files import FOLDERS
from sideshake.web.storage.stray import UNCLAIMED, counted, put_aside, stray_files, written_at_s

LONG_AGO_S = 1_700_000_000


@pytest.fixture
def filled(visit, owner_of_workshop, data):
    """A workshop in which every file is named by a record, and old."""
    rows = fill(visit, owner_of_workshop, data / "files")
    the_workshop()
    Workshop.objects.update(logo="ab.png")
    Reading.objects.update(state="live")
    for place in ("logo/ab.png", "papers/gone.pdf", f"live/{Reading.objects.get().pk}-48000.pcm",
                  "photographs/a-small.jpg"):  # fmt: skip
        put(data / "files" / place)
    for path in (data / "files").rglob("*.*"):
        os.utime(path, (LONG_AGO_S, LONG_AGO_S))
    return rows


def put(path, age_s=LONG_AGO_S):
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(b"sound")
    os.utime(path, (age_s, age_s))
    return path


def test_every_folder_that_records_name_files_in_is_looked_through():
    named = {(table, name) for table in kept_tables() for name in ("stored", "logo")
             if name in {field.name for field in columns(table)}}  # fmt: skip
    assert set(FOLDERS.values()) == named | {(Reading, "pk")}


def test_what_can_be_taken_back_keeps_its_file_and_is_read_once_for_all_folders(
    filled, owner_of_workshop, django_assert_num_queries
):
    remove(filled["Photograph"], owner_of_workshop)
    with django_assert_num_queries(2 + len(FOLDERS)):
        assert stray_files(before_s=time.time()) == []


def test_where_every_file_is_named_by_a_record_none_is_told(client, filled):
    assert stray_files(before_s=time.time()) == []
    page = " ".join(client.get("/settings/files/").content.decode().split())
    assert "Every file in the workshop's folder is named by a record" in page.replace("&#x27;", "'")
    assert "/settings/put-aside/" not in page


@pytest.mark.parametrize("folder", sorted(FOLDERS))
def test_a_file_no_record_names_is_told_and_put_aside_by_one_press(client, filled, data, folder):
    stray = put(data / "files" / folder / "77-48000.wav")
    kept = {path: path.read_bytes() for path in (data / "files").rglob("*.*") if path != stray}
    if folder != "photographs":  # there it would be a smaller copy, which is made again
        assert "One file in the workshop" in client.get("/settings/files/").content.decode()
    answer = client.post("/settings/put-aside/", follow=True)
    assert answer.status_code == 200
    put_aside_one = "One file was put aside in files/unclaimed." in answer.text
    assert put_aside_one == (folder != "photographs")
    assert ("There was no file to put aside." in answer.text) != put_aside_one
    assert not stray.exists()
    aside = data / "files" / UNCLAIMED / stray.name
    assert aside.exists() == (folder != "photographs")
    assert {path: path.read_bytes() for path in kept} == kept
    assert "/settings/put-aside/" not in client.get("/settings/files/").content.decode()


@pytest.mark.parametrize(
    ("names", "said", "others"),
    [
        (["cd.wav"], ("One file in", "it lies in files/unclaimed", "Put it aside"), "hem aside"),
        (["cd.wav", "ef.wav"], ("2 files in", "they lie in", "Put them aside"), "Put it aside"),
    ],
)
def test_one_file_is_told_of_as_one(client, filled, data, names, said, others):
    for name in names:
        put(data / "files" / "recordings" / name)
    page = client.get("/settings/files/").text
    assert [words for words in said if words not in page] == []
    assert others not in page


def test_the_settings_look_for_no_files(client, filled, data):
    put(data / "files" / "recordings" / "cd.wav")
    page = client.get("/settings/").text
    assert "/settings/files/" in page
    assert "named by no record" not in page


def test_a_file_that_goes_while_they_are_counted_is_not_counted(filled, data):
    paths = [put(data / "files" / "recordings" / name) for name in ("cd.wav", "ef.wav")]
    found = stray_files(before_s=time.time())
    assert sorted(found) == paths
    paths[0].unlink()
    assert counted(found) == LeftOver(count=1, size_bytes=5)
    assert written_at_s(paths[0], gone=7.0) == 7.0
    assert written_at_s(paths[1], gone=7.0) == LONG_AGO_S


def test_a_file_of_a_request_under_way_is_left_alone(client, filled, data):
    young = put(data / "files" / "recordings" / "cd.wav", time.time())
    client.post("/settings/put-aside/")
    assert young.exists()


def test_two_of_one_name_are_both_kept(filled, data):
    for _each in range(2):
        put(data / "files" / "recordings" / "cd.wav")
        assert put_aside(before_s=time.time()).count == 1
    assert {path.name for path in (data / "files" / UNCLAIMED).iterdir()} == {"cd.wav", "cd-2.wav"}


def test_only_the_owner_of_the_workshop_puts_files_aside(colleague_client, filled, data):
    stray = put(data / "files" / "recordings" / "cd.wav")
    assert colleague_client.post("/settings/put-aside/").status_code == 403
    assert stray.exists()
