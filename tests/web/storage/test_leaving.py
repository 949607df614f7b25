"""Files that nothing needs: noted with the rows that go, deleted after them."""

import os
from contextlib import nullcontext

import pytest
import soundfile
from django.db import transaction
from filled_workshop import fill
from PIL import Image

from sideshake.core.errors import InputError
from sideshake.photo.intake import freed
from sideshake.web.base.saving import remove
from sideshake.web.evidence import photographs
from sideshake.web.models import Leaving, Photograph, Reading, Recording, Removed
from sideshake.web.readings.hearing import take_in
from sideshake.web.start import news_of, open_workshop
from sideshake.web.storage import leaving, stored_files
from sideshake.web.storage.leaving import left_words, let_go

PICTURE = ("photographs", "a.jpg")


@pytest.fixture
def rows(transactional_db, visit, owner_of_workshop, data):
    return fill(visit, owner_of_workshop, data / "files")


@pytest.fixture
def picture(rows, data):
    return data / "files" / "photographs" / "a.jpg"


def test_a_file_that_nothing_needs_goes_with_its_copies_and_the_note(rows, picture):
    small = picture.with_name("a-small.jpg")
    small.write_bytes(b"small")
    Photograph.objects.all().delete()
    let_go([PICTURE])
    assert (picture.exists(), small.exists(), Leaving.objects.exists()) == (False, False, False)


def test_a_file_that_a_row_names_stays(rows, picture):
    let_go([PICTURE])
    assert picture.exists()
    assert not Leaving.objects.exists()


def test_a_file_of_what_can_be_taken_back_stays(rows, picture, owner_of_workshop):
    remove(rows["Photograph"], owner_of_workshop)
    let_go([PICTURE])
    assert picture.exists()
    Removed.objects.all().delete()
    let_go([PICTURE])
    assert not picture.exists()


def test_whether_a_row_names_the_file_is_asked_after_the_rows_are_written(rows, picture):
    """Somebody stores the very same picture between the removal and the deleting."""
    kept = Photograph.objects.get()
    with transaction.atomic():
        kept.delete()
        let_go([PICTURE])
        kept.save()
    assert picture.exists()


def test_nothing_is_deleted_when_the_rows_do_not_go(rows, picture):
    with transaction.atomic():
        Photograph.objects.all().delete()
        let_go([PICTURE])
        transaction.set_rollback(True)
    assert picture.exists()
    assert not Leaving.objects.exists()


def test_what_was_cut_off_after_the_rows_were_gone_is_worked_off_at_the_next_start(rows, data):
    """As after a kill: the note is written, and nothing has been deleted yet."""
    sound = data / "files" / "recordings" / "b.wav"
    sound.write_bytes(b"sound")
    drawn = data / "files" / "reading-pictures" / "77-1-ring.svg"
    drawn.parent.mkdir()
    drawn.write_text("<svg/>")
    other = drawn.with_name("770-1-ring.svg")
    other.write_text("<svg/>")
    needed = data / "files" / "recordings" / "a.wav"
    Leaving.objects.create(names=["recordings/b.wav", "recordings/a.wav"])
    Leaving.objects.create(names=["reading-pictures/77-*"])
    opened = open_workshop(ended_badly=True)
    assert (sound.exists(), drawn.exists()) == (False, False)
    assert needed.exists()
    assert other.exists()
    assert not (data / "files" / "unclaimed" / "b.wav").exists()
    assert not Leaving.objects.exists()
    assert not any("could not be deleted" in each for each in news_of(opened, ended_badly=True))


def test_what_the_disk_keeps_is_said_and_tried_again_at_each_start(rows, data):
    stubborn = data / "files" / "recordings" / "b.wav"
    stubborn.mkdir()  # a folder under that name is not deleted as a file
    let_go([("recordings", "b.wav"), ("recordings", "c.wav")])
    assert Leaving.objects.get().names == ["recordings/b.wav"]
    assert left_words().startswith("One file that is to go could not be deleted")
    opened = open_workshop()
    assert "One file that is to go" in " ".join(news_of(opened, ended_badly=False))
    stubborn.rmdir()
    stubborn.write_bytes(b"sound")
    open_workshop()
    assert not stubborn.exists()
    assert left_words() == ""


def test_what_the_disk_keeps_is_not_put_aside_as_if_nobody_knew_of_it(rows, picture, monkeypatch):
    """Else it would lie in `unclaimed` for good, and the next start would find it gone."""
    os.utime(picture, (1, 1))
    with monkeypatch.context() as patch:
        patch.setattr(leaving, "delete", refusing)
        Photograph.objects.all().delete()
        let_go([PICTURE])
        open_workshop(ended_badly=True)
        assert picture.exists()
        assert left_words()
    open_workshop(ended_badly=True)
    assert not picture.exists()
    assert not left_words()
    assert not list((picture.parents[1] / "unclaimed").glob("a*"))


def refusing(*_file):
    raise OSError(5, "Input/output error")


@pytest.mark.parametrize("name", ["*", "../papers/*", "a*"])
def test_only_a_drawing_s_name_may_stand_for_several(rows, data, name):
    before = {path for path in (data / "files").rglob("*") if path.is_file()}
    let_go([("papers", name), ("recordings", name), ("photographs", name), ("logo", name)])
    assert {path for path in (data / "files").rglob("*") if path.is_file()} == before


def gone_meanwhile(monkeypatch, module, path_of):
    """Let somebody delete the files just before the workshop is held."""
    real = module.hold_workshop

    def hold():
        for path in path_of():
            path.unlink()
        return real()

    monkeypatch.setattr(module, "hold_workshop", hold)


def test_a_picture_whose_last_other_use_has_just_gone_is_stored_again(
    db, visit, colleague, data, monkeypatch, tmp_path
):
    source = tmp_path / "new.png"
    Image.new("RGB", (50, 40), "#336699").save(source)
    folder = data / "files" / "photographs"
    gone_meanwhile(monkeypatch, photographs, lambda: list(folder.glob("*")))
    kept = photographs.keep(visit, freed(source, limits=photographs.limits()), colleague)
    assert (folder / kept.stored).is_file()
    assert len(list(folder.iterdir())) == 3


@pytest.mark.parametrize("gone", [False, True])
def test_a_recording_deleted_while_it_was_stored_gets_no_row(
    rows, visit, colleague, data, monkeypatch, gone
):
    sound = data / "other.wav"
    soundfile.write(sound, [0.0] * 4800, 48000)
    folder, count = data / "files" / "recordings", Recording.objects.count()
    before = set(folder.iterdir())
    if gone:
        gone_meanwhile(monkeypatch, stored_files, lambda: set(folder.iterdir()) - before)
    with pytest.raises(InputError, match="deleted at this moment") if gone else nullcontext():
        take_in(visit, [sound.read_bytes()], Reading(visit=visit), colleague)
    assert Recording.objects.count() == count + (not gone)
