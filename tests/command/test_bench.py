"""The commands of the workshop, as far as they need no workshop."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

COMMANDS = ("bench", "backup", "restore", "export", "import")
PAGE = Path(__file__).parents[2] / "docs" / "workshop.md"


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_explains_itself(sideshake, name):
    said = sideshake(name, "--help")
    assert said.code == 0
    assert f"sideshake {name}" in said.text


def test_the_help_loads_neither_django_nor_numpy():
    script = (
        "import sys\n"
        "from sideshake.command.main import main\n"
        "try:\n    main(['--help'])\n"
        "except SystemExit:\n    pass\n"
        "sys.exit(bool({'django', 'numpy'} & set(sys.modules)))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script], stdout=subprocess.DEVNULL, check=False, timeout=60
    )
    assert ran.returncode == 0


@pytest.mark.parametrize("port", ["0", "-1", "70000"])
def test_a_port_that_is_none_is_refused(sideshake, port):
    said = sideshake("bench", "--port", port)
    assert said.code == 2
    assert "is no port" in said.err


def test_every_command_and_option_is_told_of():
    told = PAGE.read_text("utf-8")
    for name in COMMANDS:
        assert f"sideshake {name}" in told
    for option in ("--port", "--no-browser", "--lan", "--password", "--replace", "--dry-run"):
        assert option in told


def test_every_variable_of_the_environment_is_told_of():
    source = Path(__file__).parents[2] / "src" / "sideshake"
    used = set()
    for path in source.rglob("*.py"):
        used |= set(re.findall(r"\b(SIDESHAKE_[A-Z_]+|DATABASE_URL)\b", path.read_text("utf-8")))
    assert used >= {"SIDESHAKE_DATA", "DATABASE_URL"}
    told = PAGE.read_text("utf-8")
    assert [name for name in sorted(used) if name not in told] == []
