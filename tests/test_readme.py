"""What README and library page show is what happens; the index tells of every command and page."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from sideshake.command.demo import make_recordings
from sideshake.command.main import app

README = Path(__file__).parent.parent / "README.md"
DOCS = README.parent / "docs"
MOST_LINES = 50
NUMBER = re.compile(r"\d+(?:\.\d+)?")


@pytest.fixture(scope="module")
def recordings(tmp_path_factory):
    folder = tmp_path_factory.mktemp("readme")
    make_recordings(folder / "demo")
    return folder


def shown_uses():
    """Return the console lines of the README: the command and the first line of its answer."""
    block = re.search(r"```console\n(.*?)```", README.read_text("utf-8"), re.DOTALL).group(1)
    return re.findall(r"^\$ \.venv/bin/sideshake (.*)\n(.*)", block, re.MULTILINE)


def numbers(text):
    """Return the numbers in a text."""
    return [float(each) for each in NUMBER.findall(text)]


@pytest.mark.parametrize(("command", "answer"), shown_uses())
def test_each_use_shown_gives_the_answer_shown(command, answer, recordings):
    ran = subprocess.run(
        [sys.executable, "-c", "from sideshake.command.main import main; main()", *command.split()],
        cwd=recordings,
        env={
            "COLUMNS": "200",
            "XDG_CONFIG_HOME": str(recordings),
            "PATH": "",
            "HOME": str(recordings),
        },
        capture_output=True,
        text=True,
        check=False,
    )
    said = (ran.stdout + ran.stderr).splitlines()[0]
    assert NUMBER.sub("#", said) == NUMBER.sub("#", answer)
    assert numbers(said) == pytest.approx(
        numbers(answer), rel=0.03
    )  # another processor rounds else


def shown_python(page):
    """Return the blocks of Python of a page of the docs."""
    return re.findall(r"```python\n(.*?)```", (DOCS / page).read_text("utf-8"), re.DOTALL)


def test_the_python_shown_runs_and_says_what_it_simulated(capsys):
    exec(shown_python("library.md")[0], {})
    assert re.match(r"Gains 1[12]\S* ± \S+ s a day, swings 270\S* ± ", capsys.readouterr().out)


def test_the_use_case_shown_runs_and_says_what_is_worn(capsys):
    _first, block = shown_python("library.md")
    exec(block, {})
    assert re.match(r"jewel above \d\.\d+ ± \d\.\d+$", capsys.readouterr().out.strip())


def test_the_listening_shown_says_what_stands_below_it(capsys):
    (block,) = shown_python("listening.md")
    exec(block, {})
    said = capsys.readouterr().out.strip()
    told = re.search(r"^    (Gains .*)$", (DOCS / "listening.md").read_text("utf-8"), re.MULTILINE)
    assert NUMBER.sub("#", said) == NUMBER.sub("#", told.group(1))
    assert numbers(said) == pytest.approx(numbers(told.group(1)), rel=0.03, abs=0.011)


def test_every_command_is_told_of_in_the_index():
    names = [name for name in app if not name.startswith("-")]
    assert len(names) > 5
    text = (DOCS / "README.md").read_text("utf-8")
    assert [name for name in names if f"sideshake {name}" not in text] == []


def test_the_index_names_every_page_of_the_documentation():
    text = (DOCS / "README.md").read_text("utf-8")
    pages = [page.name for page in DOCS.glob("*.md") if page.name != "README.md"]
    assert len(pages) > 20
    assert [name for name in pages if f"({name}" not in text] == []


def test_the_readme_is_one_short_page():
    text = README.read_text("utf-8")
    assert len(text.splitlines()) <= MOST_LINES
    assert text.count("![") == 1


@pytest.mark.parametrize("page", [README, *sorted(DOCS.glob("*.md"))], ids=lambda page: page.name)
def test_every_link_of_a_page_leads_somewhere(page):
    wrong = []
    for target in re.findall(r"\]\(([^)#\s]*)(?:#[\w-]*)?\)", page.read_text("utf-8")):
        if "://" not in target and not (page.parent / target).exists():
            wrong.append(target)
    assert wrong == []
