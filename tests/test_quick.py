"""`make test-quick`: what is near to a change, and that it ends when the time is over."""

import importlib.util
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SPEC = importlib.util.spec_from_file_location("quick", ROOT / ".ci" / "quick.py")
quick = importlib.util.module_from_spec(SPEC)
SPEC.loader.exec_module(quick)

FILES = {
    "src/p/__init__.py": "",
    "src/p/low.py": "FIGURES = 'figures.toml'",
    "src/p/middle.py": "from p import low",
    "src/p/top.py": "import p.middle",
    "tests/own.py": "from p.low import FIGURES",
    "tests/room/conftest.py": "from p.middle import x",
    "tests/room/test_below.py": "",
    "tests/browser/test_seen.py": "from p import low",
    "src/p/hall.py": "PAGE = 'hall/list.html'",
    "tests/test_hall.py": "",
    "tests/test_list.py": "PAGE = 'room/list.html'",
    "tests/test_low.py": "",
    "tests/test_other.py": "import own",
    "tests/test_page.py": "PAGE = 'docs/page.md'",
    "tests/test_top.py": "from p import top",
}


@pytest.fixture
def rests_on(tmp_path):
    for name, text in FILES.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    return quick.imports(tmp_path)


@pytest.mark.parametrize(
    ("changed", "tests"),
    [
        ("src/p/low.py", {"test_low", "test_other", "test_top", "room/test_below"}),
        ("src/p/middle.py", {"room/test_below", "test_top"}),
        ("src/p/top.py", {"test_top"}),
        ("src/p/figures.toml", {"test_low", "test_other", "test_top", "room/test_below"}),
        ("tests/own.py", {"test_other"}),
        ("tests/room/conftest.py", {"room/test_below"}),
        ("tests/test_top.py", {"test_top"}),
        ("docs/page.md", {"test_page"}),
        ("docs/another.md", set()),
        ("src/p/room/templates/room/list.html", {"test_list"}),
        ("src/p/hall/templates/hall/list.html", {"test_hall"}),
    ],
)
def test_what_reaches_a_change_is_near_and_nothing_else(rests_on, changed, tests):
    found = quick.near([changed], rests_on)
    assert {each.removeprefix("tests/").removesuffix(".py") for each in found} == tests
    assert len(found) == len(tests)


def test_the_fewest_steps_come_first(rests_on):
    found = quick.near(["src/p/low.py"], rests_on)
    assert found.index("tests/test_low.py") < found.index("tests/test_other.py")
    assert found.index("tests/test_other.py") < found.index("tests/test_top.py")


def test_a_view_is_near_to_the_tests_of_its_name_first_and_to_all_pages():
    found = quick.near(["src/sideshake/web/outwork/views.py"], quick.imports(ROOT))
    assert found[0] == "tests/web/outwork/test_outwork.py"
    assert "tests/web/test_every_page.py" in found
    assert "tests/timing/poise/test_heavy_spot.py" not in found


@pytest.mark.parametrize(
    ("until", "passed", "left"), [("0", 0, "3 tests had no time"), ("1e99", 3, "")]
)
def test_no_test_begins_when_the_time_is_over(tmp_path, until, passed, left):
    (tmp_path / "test_x.py").write_text("".join(f"def test_{n}(): pass\n" for n in "abc"), "utf-8")
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-n", "1", "-p", "until",
         "-p", "no:django", "-p", "no:hypothesispytest", "test_x.py"],
        cwd=tmp_path, env=os.environ | {"PYTHONPATH": str(ROOT / ".ci"), "QUICK_UNTIL": until},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ("3 passed" in ran.stdout) == (passed == 3)
    assert left in ran.stdout
    assert ("had no time" in ran.stdout) == bool(left)
