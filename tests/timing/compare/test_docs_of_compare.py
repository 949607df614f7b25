"""What docs/before-and-after.md shows is what happens."""

import re
from pathlib import Path

DOC = Path(__file__).parents[3] / "docs" / "before-and-after.md"


def test_the_example_says_what_is_shown(capsys):
    text = DOC.read_text("utf-8")
    exec(re.search(r"```python\n(.*?)```", text, re.DOTALL)[1], {})
    assert capsys.readouterr().out == re.search(r"```text\n(.*?)```", text, re.DOTALL)[1]
