"""The page about the season shows code that runs."""

import re
from pathlib import Path

PAGE = Path(__file__).parents[2] / "docs" / "demo-season.md"


def test_the_pages_code_runs():
    (code,) = re.findall(r"```python\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    made: dict = {}
    exec(code, made)
    assert made["picture"].data[:2] == b"\xff\xd8"
    assert made["sound"].data[:4] == b"fLaC"
