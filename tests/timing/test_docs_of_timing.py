import re
from pathlib import Path

import pytest

from sideshake.timing.daily_rates.rules import RULES, MovementSize

DOCS = Path(__file__).parents[2] / "docs"
DAILY = (DOCS / "daily-rates.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("page", ["poise.md", "daily-rates.md"])
def test_the_python_on_the_page_runs(page):
    blocks = re.findall(r"```python\n(.*?)```", (DOCS / page).read_text("utf-8"), re.DOTALL)
    assert blocks
    names = {}
    for block in blocks:
        exec(compile(block, page, "exec"), names)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.key)
def test_every_criterion_and_its_limits_stand_on_the_page(rule):
    assert (
        f"{rule.limits[MovementSize.LARGE].text} | {rule.limits[MovementSize.SMALL].text}" in DAILY
    )
