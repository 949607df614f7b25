"""Run the tests nearest to what has changed since `main`, nearest first, for a hundred seconds.

Near is a test file that has changed itself, that imports or names what has changed, or bears its
name; next come those that reach it through one other file, and so on. The browser is left out.
"""

import ast
import os
import subprocess
import sys
import time
from collections.abc import Iterable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
SECONDS = 100
SEEN_THROUGH = {"tests/web/conftest.py": "src/sideshake/web/urls.py"}
"""The workshop's tests reach its views by their addresses, not by an import."""


def main() -> int:
    """Run what is near; return the code of pytest."""
    changed = changes("main")
    files = [*code_of(changed), *near(changed, imports(ROOT))]
    if not files:
        print("Nothing that a test looks at has changed since main.")
        return 0
    print(f"{len(changed)} files have changed; {len(files)} are near, from {files[0]}", flush=True)
    environment = os.environ | {
        "PYTHONPATH": os.pathsep.join([str(ROOT / ".ci"), os.environ.get("PYTHONPATH", "")]),
        "QUICK_UNTIL": str(time.time() + SECONDS),
    }
    pytest = [sys.executable, "-m", "pytest", "-q", "-n", "2", "-p", "until"]
    return subprocess.run([*pytest, *files], cwd=ROOT, env=environment, check=False).returncode


def changes(since: str) -> list[str]:
    """Return the files that have changed since the branch left another, committed or not."""
    base = git("merge-base", since, "HEAD")[0]
    return sorted({*git("diff", "--name-only", base), *git("ls-files", "-o", "--exclude-standard")})


def git(*words: str) -> list[str]:
    """Return the lines that git answers."""
    ran = subprocess.run(["git", *words], cwd=ROOT, capture_output=True, text=True, check=True)
    return ran.stdout.splitlines()


def code_of(changed: Iterable[str]) -> list[str]:
    """Return the program's own files among those changed: their examples are tests too."""
    return [each for each in changed if each.startswith("src/") and is_python(each)]


def is_python(path: str) -> bool:
    """Return whether a file is Python and is still there."""
    return path.endswith(".py") and (ROOT / path).is_file()


def is_test(path: str) -> bool:
    """Return whether a file holds tests that need no browser."""
    return Path(path).name.startswith("test_") and not path.startswith("tests/browser/")


def near(changed: Iterable[str], rests_on: dict[str, set[str]]) -> list[str]:
    """Return the test files from which a change can be reached, those of the fewest steps first.

    `rests_on` holds for each Python file the words by which it can reach others: modules that it
    imports, names of files that it names, and the name that a test file bears.
    """
    found: list[str] = []
    reached, edge = set(changed), set(changed)
    while edge:
        found += sorted(each for each in edge if is_test(each) and each in rests_on)
        words = {word for each in edge for word in called(each)}
        edge = {each for each, known in rests_on.items() if known & words} - reached
        reached |= edge
    return found


def called(path: str) -> set[str]:
    """Return the words by which other files reach this one."""
    file = Path(path)
    if file.suffix == ".html":
        return {"/".join(file.parts[-2:])}  # many a room has a list.html
    if file.suffix != ".py":
        return {file.name}
    if file.name == "conftest.py":
        return {f"below {file.parent.as_posix()}"}
    named = file.parent if file.name == "__init__.py" else file.with_suffix("")
    dotted = ".".join(named.parts[1:])
    if named.parts[0] == "tests":
        return {dotted, f"tests.{dotted}"}
    return {dotted, f"test_{file.stem}", f"test_{file.parent.name}"}


def imports(root: Path) -> dict[str, set[str]]:
    """Return for each Python file of program and tests the words by which it reaches others."""
    files = [each for room in ("src", "tests") for each in sorted((root / room).rglob("*.py"))]
    return {each.relative_to(root).as_posix(): reaches(each, root) for each in files}


def reaches(file: Path, root: Path) -> set[str]:
    """Return the words by which a file reaches others."""
    path = file.relative_to(root)
    words = {f"below {folder.as_posix()}" for folder in path.parents if path.parts[0] == "tests"}
    words.add(path.stem)
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            words |= {each.name for each in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            words |= {node.module, *(f"{node.module}.{each.name}" for each in node.names)}
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            parts = node.value.split("/")
            words |= {parts[-1], "/".join(parts[-2:])}
    if through := SEEN_THROUGH.get(path.as_posix()):
        words |= called(through)
    return words


if __name__ == "__main__":
    sys.exit(main())
