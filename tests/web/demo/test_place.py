"""A demo workshop takes the place of a demo workshop only."""

import pytest

from sideshake.core.errors import InputError
from sideshake.demo.workshop.place import SIGN, made_beside
from sideshake.storage.run_lock import RunLock


def make(folder, text):
    with made_beside(folder) as unfinished:
        (unfinished / "records").write_text(text)


def test_the_folder_is_in_place_once_it_is_whole(tmp_path):
    with made_beside(tmp_path) as unfinished:
        assert not (tmp_path / "workshop").exists()
        (unfinished / "records").write_text("new")
    assert [path.name for path in tmp_path.iterdir()] == ["workshop"]
    assert (tmp_path / "workshop" / "records").read_text() == "new"


def test_a_former_demo_workshop_is_replaced(tmp_path):
    make(tmp_path, "old")
    make(tmp_path, "new")
    assert (tmp_path / "workshop" / "records").read_text() == "new"
    assert [path.name for path in tmp_path.iterdir()] == ["workshop"]


def test_a_fault_leaves_the_former_one_as_it_was(tmp_path):
    make(tmp_path, "old")
    with pytest.raises(ZeroDivisionError), made_beside(tmp_path):
        raise ZeroDivisionError
    assert (tmp_path / "workshop" / "records").read_text() == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["workshop"]


def test_what_a_kill_left_behind_is_cleared(tmp_path):
    (tmp_path / "workshop-being-made").mkdir()
    (tmp_path / "workshop-being-made" / "half").write_text("")
    make(tmp_path, "new")
    assert [path.name for path in (tmp_path / "workshop").iterdir() if path.name == "half"] == []


def test_a_folder_without_the_sign_is_refused_and_untouched(tmp_path):
    make(tmp_path, "mine")
    (tmp_path / "workshop" / SIGN).unlink()
    with pytest.raises(InputError, match="is no demo workshop"):
        make(tmp_path, "new")
    assert (tmp_path / "workshop" / "records").read_text() == "mine"


def test_an_open_demo_workshop_is_refused(tmp_path):
    make(tmp_path, "open")
    marker = RunLock(tmp_path / "workshop")
    try:
        with pytest.raises(InputError, match="is open; close it first"):
            make(tmp_path, "new")
    finally:
        marker.release()
