import json

import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.sample_clock.kept import clock_for, clocks_file, keep_clocks, kept_clocks
from sideshake.sound.clock import SampleClock


@pytest.fixture(autouse=True)
def own_folder(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))


def clock(name="telephone", ppm=12.5):
    return SampleClock(fast_ppm=Measured(ppm, 0.25), checked=True, name=name, date="2026-01-31")


def test_what_is_kept_comes_back_the_same():
    kept = {"telephone": clock(), "tischmikrofon ü": clock("tischmikrofon ü", -3.0)}
    keep_clocks(kept)
    assert kept_clocks() == kept


def test_before_any_check_the_clock_is_only_bounded():
    usual = clock_for("this computer")
    assert not usual.checked
    assert usual.fast_ppm.value == 0.0
    assert usual.fast_ppm.u == pytest.approx(50 / 3**0.5)  # GUM 4.3.7, uniform within 50 ppm


DAMAGED = {
    "nothing": "",
    "cut short": '{"version": 1, "clo',
    "a list": "[]",
    "no clocks": "{}",
    "clocks in a list": '{"clocks": []}',
    "a bare number": '{"clocks": {"a": 3}}',
    "words for figures": '{"clocks": {"a": {"fast_ppm": "x", "u_ppm": 1, "date": ""}}}',
    "not a number": '{"clocks": {"a": {"fast_ppm": NaN, "u_ppm": 1, "date": ""}}}',
    "no clock at all": '{"clocks": {"a": {"fast_ppm": 5000, "u_ppm": 1, "date": ""}}}',
    "doubt below nothing": '{"clocks": {"a": {"fast_ppm": 5, "u_ppm": -1, "date": ""}}}',
}


@pytest.mark.parametrize("text", DAMAGED.values(), ids=DAMAGED.keys())
def test_a_damaged_file_is_one_line_and_stays_as_it_is(sideshake, text):
    clocks_file().parent.mkdir(parents=True, exist_ok=True)
    clocks_file().write_text(text)
    said = sideshake("clock")
    assert (said.code, said.out) == (2, "")
    assert f"{clocks_file()} is damaged" in said.err
    assert said.err.count("\n") == 1
    assert clocks_file().read_text() == text


def test_bytes_that_are_no_text_are_damage():
    clocks_file().parent.mkdir(parents=True)
    clocks_file().write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InputError, match="is damaged"):
        kept_clocks()


def test_a_folder_in_the_files_place_is_said():
    clocks_file().mkdir(parents=True)
    with pytest.raises(InputError, match="cannot be read"):
        kept_clocks()


def test_a_config_folder_that_cannot_be_written_is_said(monkeypatch, tmp_path):
    (tmp_path / "a file").write_text("")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "a file"))
    with pytest.raises(InputError, match="cannot keep the clock in"):
        keep_clocks({"telephone": clock()})


def test_the_old_file_stays_whole_if_the_new_one_cannot_be_written():
    keep_clocks({"telephone": clock()})
    clocks_file().with_suffix(".new").mkdir()
    with pytest.raises(InputError, match="cannot keep"):
        keep_clocks({})
    assert kept_clocks() == {"telephone": clock()}


def test_the_file_is_versioned_json():
    keep_clocks({"telephone": clock()})
    tree = json.loads(clocks_file().read_text(encoding="utf-8"))
    assert tree["version"] == 1
    assert tree["clocks"]["telephone"]["fast_ppm"] == 12.5
    assert list(clocks_file().parent.iterdir()) == [clocks_file()]
