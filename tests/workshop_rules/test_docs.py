import ast
import doctest
from importlib import import_module
from pathlib import Path

import pytest

from sideshake import workshop_rules

PAGE = (Path(__file__).parents[2] / "docs" / "workshop-rules.md").read_text(encoding="utf-8")
ROOM = Path(workshop_rules.__file__).parent
DATA = {"jobs", "bench_work", "outside_questions", "movement_questions", "function_questions"}
"""Modules of words only; nobody imports them but their neighbours."""
MODULES = sorted({each.stem for each in ROOM.glob("*.py")} - {"__init__"} - DATA)


def test_the_example_on_the_page_prints_what_it_says():
    block = PAGE.split("```python\n")[1].split("```")[0]
    example = doctest.DocTestParser().get_doctest(block, {}, "docs/workshop-rules.md", None, 0)
    assert doctest.DocTestRunner(verbose=False).run(example).failed == 0
    assert len(example.examples) > 15


@pytest.mark.parametrize("module", MODULES)
def test_every_module_is_on_the_page(module):
    assert f"| `{module}` |" in PAGE


def test_what_the_page_names_is_there():
    for line in PAGE.splitlines():
        if line.startswith("| `"):
            module, names = line.split("|")[1:3]
            found = import_module(f"sideshake.workshop_rules.{module.strip(' `')}")
            for name in names.split("`")[1::2]:
                call = name.split("(")[0]
                assert hasattr(found, call), f"{module.strip()} has no {call}"


@pytest.mark.parametrize("module", MODULES)
def test_nothing_computes_with_a_clock_or_a_file(module):
    tree = ast.parse((ROOM / f"{module}.py").read_text(encoding="utf-8"))
    called = {
        each.func.id
        for each in ast.walk(tree)
        if isinstance(each, ast.Call) and isinstance(each.func, ast.Name)
    }
    methods = {each.attr for each in ast.walk(tree) if isinstance(each, ast.Attribute)}
    assert not called & {"open", "print", "input"}
    assert not methods & {"today", "now", "utcnow", "read_text", "environ"}
