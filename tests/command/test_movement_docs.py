"""What docs/movement.md shows is what the program says."""

import re
import shlex
from pathlib import Path

import pytest

from sideshake.command.main import app

PAGE = Path(__file__).parents[2] / "docs" / "movement.md"


def shown():
    """Return each command of the page with the output shown below it."""
    blocks = re.findall(r"```\n(\$ .*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    for part in re.split(r"^\$ ", "".join(blocks), flags=re.MULTILINE)[1:]:
        command, _, output = part.partition("\n")
        yield command, output


def plain(text):
    return " ".join(re.sub("─+", "─", text).split())


@pytest.mark.parametrize(("command", "output"), list(shown()), ids=[each for each, _ in shown()])
def test_the_page_shows_what_the_command_writes(command, output, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "96")
    app(shlex.split(command)[1:], result_action="return_value")
    written = plain(capsys.readouterr().out)
    for piece in output.split("\n...\n"):
        assert plain(piece) in written


def test_the_page_shows_every_command_of_the_movement():
    commands = {command.split()[1] for command, _ in shown()}
    assert commands == {"train", "spring", "balance", "quickset", "winding"}
