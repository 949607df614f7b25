"""Uploads: whole under a name of their content, or not there at all."""

import errno
import hashlib
import os
import subprocess
import sys
import tracemalloc
from pathlib import Path

import numpy as np
import pytest
import soundfile

from sideshake.core.errors import InputError
from sideshake.photo.intake import examined
from sideshake.photo.opening import Limits
from sideshake.sound.recording import open_recording
from sideshake.storage.files import UNFINISHED, LeftOver, stream_to_disk
from tests.photo.samples import saved


def as_data(path):
    return ".bin"


def cut(data, length=1000):
    return (data[at : at + length] for at in range(0, len(data), length))


def test_an_upload_is_stored_under_its_content(tmp_path):
    data = bytes(range(256)) * 40
    stored = stream_to_disk(cut(data), tmp_path, limit_bytes=len(data), judge=as_data)
    assert stored.sha256 == hashlib.sha256(data).hexdigest()
    assert stored.path == tmp_path / (stored.sha256[:32] + ".bin")
    assert stored.path.read_bytes() == data
    assert stored.size_bytes == len(data)
    assert list(tmp_path.iterdir()) == [stored.path]


def test_the_same_content_twice_is_one_file(tmp_path):
    first, second = (
        stream_to_disk([b"the same"], tmp_path, limit_bytes=99, judge=as_data) for _ in range(2)
    )
    assert first == second
    assert len(list(tmp_path.iterdir())) == 1


def test_above_the_limit_nothing_is_kept_and_no_more_is_read(tmp_path):
    def endless():
        for count in range(1_000_000):
            assert count < 5
            yield bytes(1000)

    with pytest.raises(InputError, match="larger than"):
        stream_to_disk(endless(), tmp_path, limit_bytes=3000, judge=as_data)
    assert list(tmp_path.iterdir()) == []


def test_an_empty_upload_is_refused(tmp_path):
    with pytest.raises(InputError, match="0 bytes"):
        stream_to_disk([], tmp_path, limit_bytes=9, judge=as_data)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("fault", [ConnectionResetError, KeyboardInterrupt, GeneratorExit])
def test_an_upload_that_breaks_off_leaves_nothing(tmp_path, fault):
    def breaking_off():
        yield b"some"
        raise fault

    with pytest.raises(fault):
        stream_to_disk(breaking_off(), tmp_path, limit_bytes=99, judge=as_data)
    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_is_said(tmp_path):
    def filling():
        yield b"some"
        raise OSError(errno.ENOSPC, "No space left on device")

    with pytest.raises(InputError, match="no room left"):
        stream_to_disk(filling(), tmp_path, limit_bytes=99, judge=as_data)
    assert list(tmp_path.iterdir()) == []


def test_what_the_judge_refuses_is_not_kept(tmp_path):
    def picture(path):
        return examined(path, limits=Limits()).extension

    stored = stream_to_disk(cut(saved("PNG")), tmp_path, limit_bytes=10**6, judge=picture)
    assert stored.path.suffix == ".png"
    with pytest.raises(InputError, match="not a picture"):
        stream_to_disk([b"#!/bin/sh\n"], tmp_path, limit_bytes=99, judge=picture)
    assert list(tmp_path.iterdir()) == [stored.path]


def recording(path):
    with open_recording(path) as opened:
        return {"WAV": ".wav", "FLAC": ".flac"}[opened.sound.format]


def test_a_recording_is_judged_by_the_ear_itself(tmp_path):
    source = tmp_path / "lies.mp3"
    soundfile.write(source, np.zeros(48_000), 48_000, format="FLAC")
    folder = tmp_path / "kept"
    folder.mkdir()
    stored = stream_to_disk(cut(source.read_bytes()), folder, limit_bytes=10**6, judge=recording)
    assert stored.path.suffix == ".flac"
    with pytest.raises(InputError, match="not a sound file"):
        stream_to_disk(cut(saved("PNG")), folder, limit_bytes=10**6, judge=recording)
    assert list(folder.iterdir()) == [stored.path]


def test_memory_does_not_grow_with_the_upload(tmp_path):
    chunk = bytes(65_536)
    tracemalloc.start()
    try:
        stored = stream_to_disk(
            (chunk for _ in range(1_000)), tmp_path, limit_bytes=10**9, judge=as_data
        )
        peak_bytes = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert stored.size_bytes == 65_536_000
    assert peak_bytes < 1_000_000


def test_after_a_kill_the_unfinished_lies_beside_the_whole_under_a_name_of_its_own(tmp_path):
    program = (
        "import os, sys\nfrom pathlib import Path\n"
        "from sideshake.storage.files import stream_to_disk\n"
        "def chunks():\n    yield b'x' * 100_000\n    os.kill(os.getpid(), 9)\n"
        "stream_to_disk(chunks(), Path(sys.argv[1]), limit_bytes=10**6, judge=str)\n"
    )
    whole = stream_to_disk([b"whole"], tmp_path, limit_bytes=99, judge=as_data)
    for _ in range(2):
        ended = subprocess.run([sys.executable, "-c", program, str(tmp_path)], check=False)
        assert ended.returncode == -9
    unfinished = list(tmp_path.glob(UNFINISHED + "*"))
    assert len(unfinished) == 2
    assert set(tmp_path.iterdir()) - set(unfinished) == {whole.path}


def test_what_was_left_over_is_said_and_one_is_one_upload():
    assert LeftOver(count=0, size_bytes=0).sentence == ""
    assert LeftOver(count=1, size_bytes=3).sentence == "1 unfinished upload was thrown away"
    assert LeftOver(count=2, size_bytes=6).sentence == "2 unfinished uploads were thrown away"


def test_a_missing_folder_is_no_fault_of_the_user(tmp_path):
    with pytest.raises(FileNotFoundError):
        stream_to_disk([b"x"], tmp_path / "nowhere", limit_bytes=9, judge=as_data)


@pytest.mark.skipif(os.name != "posix", reason="permissions of POSIX")
def test_the_stored_file_cannot_be_run(tmp_path):
    stored = stream_to_disk([b"#!/bin/sh\n"], tmp_path, limit_bytes=99, judge=as_data)
    assert not Path(stored.path).stat().st_mode & 0o111
