"""The page for the user says what the code does."""

import re
from pathlib import Path

from sideshake.photo.opening import Limits
from tests.photo.samples import drawn, photograph, place_read_by_pillow, read_back

PAGE = (Path(__file__).parents[2] / "docs" / "photographs.md").read_text(encoding="utf-8")


def test_the_example_runs(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("dial.heic").write_bytes(photograph("HEIF", picture=drawn(2000, 1000)))
    names = {}
    exec(re.search(r"```python\n(.*?)```", PAGE, re.DOTALL)[1], names)
    assert place_read_by_pillow(names["kept"].data) == {}
    assert [max(read_back(names[copy]).size) for copy in ("large", "small")] == [1600, 320]


def test_the_limits_are_those_of_the_page():
    assert f"{Limits().most_bytes // 10**6} MB" in PAGE
    assert f"{Limits().most_pixels // 10**6} million pixels" in PAGE
