"""constraints.txt holds one tested version of everything that an installation brings."""

import re
import tomllib
from importlib.metadata import PackageNotFoundError, requires
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
LINES = (ROOT / "constraints.txt").read_text("utf-8").splitlines()[1:]
PINS = dict(line.split("==") for line in LINES)
EXTRAS = PROJECT["project"]["optional-dependencies"]
NAMED = [
    *PROJECT["build-system"]["requires"],
    *PROJECT["project"]["dependencies"],
    *(each for group in EXTRAS.values() for each in group),
    *(each for group in PROJECT["dependency-groups"].values() for each in group),
    "pip>=25.3",  # the first that knows --build-constraint
    "pressfit",
]


def lacking(wanted: list[str], pins: dict[str, str]) -> list[str]:
    """Return the requirements for which no allowed version is pinned."""
    asked = [Requirement(each) for each in wanted]
    known = [(each, pins.get(canonicalize_name(each.name))) for each in asked]
    return [
        str(each) for each, pin in known if pin is None or not each.specifier.contains(pin)
    ]  # fmt: skip


def brought_by(wanted: list[str]) -> set[str]:
    """Return the names of everything that installed packages need, and what that needs."""
    waiting, seen = [Requirement(each) for each in wanted], set()
    while waiting:
        one = waiting.pop()
        if (one.name, *one.extras) in seen:
            continue
        seen.add((one.name, *one.extras))
        try:
            needed = [Requirement(each) for each in requires(one.name) or []]
        except PackageNotFoundError:  # of the group bench, which the tests do not need
            continue
        waiting += [each for each in needed if holds(each, one.extras)]
    return {canonicalize_name(name) for name, *_extras in seen}


def holds(need: Requirement, extras: set[str]) -> bool:
    return need.marker is None or any(
        need.marker.evaluate({"extra": each}) for each in ["", *extras]
    )


def test_each_line_is_a_name_and_one_version_in_order():
    assert [each for each in LINES if not re.fullmatch(r"[a-z0-9-]+==[0-9a-z.+!]+", each)] == []
    assert sorted(PINS) == list(PINS)
    assert len(PINS) == len(LINES)


def test_everything_named_in_the_project_is_pinned_to_a_version_it_allows():
    assert len(NAMED) > 40
    assert lacking(NAMED, PINS) == []


def test_everything_that_they_bring_is_pinned():
    brought = brought_by(NAMED)
    assert {"asgiref", "lxml", "psycopg-binary"} <= brought
    assert sorted(brought - set(PINS)) == []


@pytest.mark.parametrize(
    ("pins", "lacks"),
    [({}, ["A-b<2,>=1"]), ({"a-b": "2.0"}, ["A-b<2,>=1"]), ({"a-b": "1.9"}, [])],
)
def test_a_missing_pin_and_one_out_of_range_are_noticed(pins, lacks):
    assert lacking(["A-b>=1,<2"], pins) == lacks


def test_make_installs_nothing_without_the_pins():
    makefile = (ROOT / "Makefile").read_text("utf-8")
    assert "--constraint constraints.txt" in re.search(r"^PIP := (.*)", makefile, re.MULTILINE)[1]
    recipes = makefile.split("constraints: $(VENV)/ready")
    assert len(recipes) == 2, "only the recipe that writes the pins goes without them"
    others = recipes[0].replace(re.search(r"^PIP := .*", makefile, re.MULTILINE)[0], "")
    assert "pip install" not in others
    assert others.count("$(PIP)") == 3
