"""Files are made by several processes, as uploads would have been stored."""

import hashlib

import pytest

from sideshake.demo.workshop.making import make_files, pictures_wanted, sounds_wanted
from sideshake.demo.workshop.place import made_beside
from sideshake.storage.files import NAME_LETTERS
from sideshake.web.evidence.photographs import copy_path


def test_every_photograph_and_recording_wanted_is_made(few, files):
    assert files.photographs.keys() == pictures_wanted(few).keys()
    assert files.recordings.keys() == sounds_wanted(few).keys()
    assert (len(files.photographs), len(files.recordings)) == (11, 8)


def test_the_progress_counts_up_to_all(files, told):
    total = len(files.photographs) + len(files.recordings)
    assert told == [(done, total) for done in range(1, total + 1)]


def test_a_file_is_named_after_its_content(files):
    for made in (*files.photographs.values(), *files.recordings.values()):
        data = made.file.path.read_bytes()
        sha256 = hashlib.sha256(data).hexdigest()
        assert (made.file.sha256, made.file.path.stem) == (sha256, sha256[:NAME_LETTERS])
        assert made.file.size_bytes == len(data)


def test_the_smaller_copies_lie_where_the_workshop_looks_for_them(files):
    for made in files.photographs.values():
        assert all(copy_path(made.file.path, size).is_file() for size in ("small", "large"))


def test_what_is_heard_is_what_the_season_tells(few, files):
    """The figures come from the listener; the season's own are the truth that was planted."""
    visits = {each.key: each for each in few.visits}
    for (key, place), made in files.recordings.items():
        planted, heard = visits[key].readings[place], made.reading
        assert heard.rate_s_per_day.holds(planted.rate_s_per_day)
        assert heard.amplitude_deg.value == pytest.approx(planted.amplitude_deg, abs=4)
        assert heard.beat_error_ms.value == pytest.approx(planted.beat_error_ms, abs=0.1)


def test_an_interruption_leaves_nothing_behind(arrived_only, tmp_path):
    def interrupt(_done, _of):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt), made_beside(tmp_path) as unfinished:
        make_files(arrived_only, unfinished / "files", interrupt)
    assert list(tmp_path.iterdir()) == []
