"""The experiments behind the tuned constants are there where the code says they are."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[1]
NAMED = re.compile(r"\bexperiments/([a-z_]+\.[a-z]+)")


def named_in_the_code():
    """Return the names of the experiments that comments in src send the reader to."""
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "src").rglob("*.py")]
    return {name for text in texts for name in NAMED.findall(text)}


def test_every_experiment_named_in_the_code_is_there():
    named = named_in_the_code()
    assert "tempo.py" in named
    assert {name for name in named if not (ROOT / "experiments" / name).is_file()} == set()


def test_every_experiment_is_named_in_the_readme():
    readme = (ROOT / "experiments" / "README.md").read_text(encoding="utf-8")
    experiments = {path.name for path in (ROOT / "experiments").glob("*.py")}
    assert experiments
    assert {name for name in experiments if f"`{name}`" not in readme} == set()
