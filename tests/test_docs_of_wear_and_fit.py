import re
from pathlib import Path

import pytest

from sideshake.fit.workshop import Stock, Workshop
from sideshake.wear.measurements import Directions, MeasuredBarrel, MeasuredBearing, Measurements
from sideshake.wear.verdict import Action

DOCS = Path(__file__).parents[1] / "docs"
WEAR, FIT = ((DOCS / name).read_text(encoding="utf-8") for name in ("wear.md", "fit.md"))


@pytest.mark.parametrize("model", [Measurements, MeasuredBearing, MeasuredBarrel, Directions])
def test_every_line_of_the_measurements_is_documented(model):
    assert [name for name in model.model_fields if name not in WEAR] == []


@pytest.mark.parametrize("model", [Workshop, Stock])
def test_every_line_of_the_workshop_s_file_is_documented(model):
    assert [name for name in model.model_fields if name not in FIT] == []


def test_every_verdict_is_documented():
    table = WEAR[WEAR.index("## The verdict") :]
    assert [each for each in Action if each.split()[-1] not in table] == []


@pytest.mark.parametrize("page", [WEAR, FIT])
def test_the_python_on_the_page_runs(page):
    blocks = re.findall(r"```python\n(.*?)```", page, re.DOTALL)
    assert blocks
    for block in blocks:
        exec(compile(block, "page", "exec"), {})
