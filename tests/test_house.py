"""The house: one name for one thing, and commands that do not lean on each other."""

import ast
from collections import defaultdict
from pathlib import Path

import sideshake

SOURCE = Path(sideshake.__file__).parent
TWICE = {
    # the demo's values bear the names of the records they become
    "Batch", "Calibre", "Finding", "Invoice", "Item", "JewelOrder", "Measurement", "Option",
    "Outwork", "Owner", "Payment", "Photograph", "Proposal", "Used", "Visit", "Watch", "Workshop",
    # a stored reading and what it is made of; the record's word for a position
    "Position", "Reading",
    # the class that Django looks for in every migration
    "Migration",
}  # fmt: skip
"""Class names that may stand in more than one module."""


def classes() -> dict[str, set[str]]:
    """Return each class name with the modules in which it stands."""
    found = defaultdict(set)
    for path in SOURCE.rglob("*.py"):
        for node in ast.parse(path.read_text("utf-8")).body:
            if isinstance(node, ast.ClassDef):
                found[node.name].add(path.relative_to(SOURCE).as_posix())
    return found


def commands() -> set[str]:
    """Return the modules of which a command is made, as the command line's table tells."""
    table = (SOURCE / "command" / "main.py").read_text("utf-8")
    words = [part for part in table.split('"') if part.startswith("sideshake.command.")]
    return {word.removeprefix("sideshake.command.").split(":")[0] for word in words}


def leaning() -> set[tuple[str, str]]:
    """Return which command's module imports from which other's."""
    found, every = set(), commands()
    for name in every:
        for node in ast.walk(ast.parse((SOURCE / "command" / f"{name}.py").read_text("utf-8"))):
            module = node.module or "" if isinstance(node, ast.ImportFrom) else ""
            other = module.removeprefix("sideshake.command.")
            if other != module and other in every:
                found.add((name, other))
    return found


def kind(module: str) -> str:
    """Return what a module of the web's rooms is, by the last word of its name."""
    return module.rpartition(".")[2].rpartition("_")[2]


def shown_to() -> dict[str, set[str]]:
    """Return which pages and addresses each module of records, forms or services imports."""
    found: dict[str, set[str]] = {}
    for path in (SOURCE / "web").glob("*/*.py"):
        if kind(path.stem) not in {"models", "queries", "forms", "services"}:
            continue
        asked = found[path.relative_to(SOURCE).as_posix()] = set()
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("sideshake.web"):
                named = [node.module, *(f"{node.module}.{each.name}" for each in node.names)]
                asked.update(each for each in named if kind(each) in {"views", "urls"})
    return found


def test_records_forms_and_services_know_no_page():
    """The contracts of import-linter see `views` alone, not `photograph_views`."""
    found = shown_to()
    assert len(found) > 60
    assert {path: pages for path, pages in found.items() if pages} == {}


def test_no_class_name_stands_twice_but_the_listed():
    twice = {name: sorted(where) for name, where in classes().items() if len(where) > 1}
    assert {name: where for name, where in twice.items() if name not in TWICE} == {}


def test_every_listed_class_name_still_stands_twice():
    found = classes()
    assert sorted(name for name in TWICE if len(found.get(name, ())) < 2) == []


def test_commands_do_not_import_each_other():
    assert len(commands()) > 20
    assert leaning() == set()


def test_no_file_bears_the_name_of_its_room():
    rooms = [path.parent for path in (SOURCE / "web").glob("*/__init__.py")]
    assert len(rooms) > 20
    assert [path for room in rooms for path in room.glob(f"{room.name}.py")] == []
