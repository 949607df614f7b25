"""The experiments behind the tuned constants are there where the code says they are."""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
NAMED = re.compile(r"\bexperiments/([a-z_]+\.[a-z]+)")
LOADED = """
import ast, importlib, sys
from pathlib import Path

for path in sorted(Path(sys.argv[1]).glob("*.py")):
    experiment = importlib.import_module(path.stem)
    for each in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(each, ast.Call) and getattr(each.func, "id", "") == "tuned":
            modules = [getattr(experiment, getattr(one, "id", ""), None) for one in each.args]
            for name in (known.arg for known in each.keywords if known.arg):
                print(path.stem, name, *(getattr(module, name) for module in modules if module))
"""


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


def test_every_experiment_can_be_loaded_and_what_it_tunes_is_there():
    """Loading looks up each constant of its tables; what else it puts in place is named in it."""
    folder = ROOT / "experiments"
    ran = subprocess.run(
        [sys.executable, "-c", LOADED, str(folder)],
        cwd=folder, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    assert "ticks make_templates <function" in ran.stdout
