"""What pytest collects: every example of the program; on PostgreSQL what that could change."""

import doctest
import importlib.util
from pathlib import Path
from types import SimpleNamespace

import pytest

ROOT = Path(__file__).parents[1]


def loaded(path):
    spec = importlib.util.spec_from_file_location("collecting", ROOT / path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_a_module_is_left_out_only_if_it_has_no_example():
    ignore = loaded("conftest.py").pytest_ignore_collect
    files = sorted((ROOT / "src").rglob("*.py"))
    left_out = {each for each in files if ignore(each)}
    examples = doctest.DocTestParser().get_examples
    assert left_out == {each for each in files if not examples(each.read_text("utf-8"))}
    assert 50 < len(left_out) < len(files) - 50
    assert ignore(ROOT / "src") is None
    assert ignore(ROOT / "tests" / "test_version.py") is None


class Test:
    """One test of the workshop, as pytest lists it."""

    __test__ = False

    def __init__(self, file, fixtures=(), marks=()):
        self.path = ROOT / "tests" / "web" / file
        self.fixturenames = fixtures
        self.marks = marks

    def get_closest_marker(self, name):
        return SimpleNamespace() if name in self.marks else None


@pytest.mark.parametrize(
    ("test", "runs"),
    [
        (Test("people/test_door.py", ["client", "db"]), True),
        (Test("storage/test_backup.py", ["transactional_db"]), True),
        (Test("test_migrations.py", marks=["django_db"]), True),
        (Test("test_translation.py", ["tmp_path"]), False),
        (Test("documents/test_bills.py", ["db"]), False),
        (Test("test_safety.py", ["db"]), False),
        (Test("test_safety.py", marks=["on_postgresql"]), True),
        (Test("test_process.py", marks=["on_postgresql"]), True),
    ],
)
def test_on_postgresql_runs_what_asks_the_database_and_does_more_than_look(test, runs):
    assert loaded("tests/web/conftest.py").matters_on_postgresql(test) == runs


def test_the_files_that_only_look_are_there():
    bench = loaded("tests/web/conftest.py")
    assert [name for name in bench.ONLY_LOOK if not (bench.HERE / name).is_file()] == []
