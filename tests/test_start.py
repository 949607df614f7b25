"""start.py: set-up without make, and a starter for each kind of desktop."""

import importlib.util
import os
import subprocess
import sys
from pathlib import Path

import pytest

SPEC = importlib.util.spec_from_file_location("start", Path(__file__).parent.parent / "start.py")
start = importlib.util.module_from_spec(SPEC)
SPEC.loader.exec_module(start)

ODD = (
    "plain",
    "with space",
    "it's",
    'said "so"',
    "cost $5",
    "back`tick",
    "50%f off",
    "Bücher",
    "a\\b",
)


def argument_of(line: str) -> str:
    """Return the first argument of `Exec`, undone as the Desktop Entry Specification 1.5 says.

    First the escapes of a value, then the quoting of an argument, then the field codes.
    """
    text = line.replace("\\\\", "\0").replace("\\n", "\n").replace("\0", "\\")
    assert text[0] == '"'
    said, place = "", 1
    while text[place] != '"':
        place += text[place] == "\\"
        said += text[place]
        place += 1
    assert "%" not in said.replace("%%", "")
    return said.replace("%%", "%")


@pytest.mark.parametrize("name", ODD)
def test_a_desktop_entry_names_the_python_whatever_its_folder_is_called(name):
    entry = start.desktop_entry(f"/home/x/{name}/bin/python", f"/home/x/{name}")
    lines = dict(line.split("=", 1) for line in entry.splitlines()[1:])
    assert argument_of(lines["Exec"]) == f"/home/x/{name}/bin/python"
    assert lines["Exec"].endswith(" -m sideshake bench")
    assert lines["Path"].replace("\\\\", "\\") == f"/home/x/{name}"


@pytest.mark.parametrize("name", ODD)
def test_a_shell_runs_the_starter_from_a_folder_of_any_name(tmp_path, name):
    folder = tmp_path / name
    folder.mkdir()
    python = folder / "python"
    python.write_text('#!/bin/sh\nprintf "%s|%s" "$PWD" "$*"\n', "utf-8")
    python.chmod(0o755)
    (tmp_path / "x.command").write_text(start.shell_file(str(python), str(folder)), "utf-8")
    ran = subprocess.run(["sh", tmp_path / "x.command"], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == f"{folder}|-m sideshake bench"


def test_a_batch_file_doubles_per_cent_quotes_spaces_and_ends_lines_as_windows_does():
    text = start.batch_file(r"C:\Users\Jo Doe\100% new\python.exe", r"C:\Users\Jo Doe\100% new")
    assert text.count("\n") == text.count("\r\n") == 5
    assert '"C:\\Users\\Jo Doe\\100%% new\\python.exe" -m sideshake bench' in text
    assert text.index("chcp 65001") < text.index("Jo Doe")


@pytest.mark.parametrize(
    ("platform", "name"),
    [("linux", "sideshake.desktop"), ("darwin", "Sideshake.command"), ("win32", "Sideshake.bat")],
)
def test_each_computer_gets_its_own_starter(platform, name):
    assert start.starter(platform, Path("/p/python"), Path("/p"))[0] == name


@pytest.mark.parametrize(
    ("windows", "where"), [(True, "Scripts/python.exe"), (False, "bin/python")]
)
def test_the_python_of_an_environment_lies_where_the_computer_keeps_it(windows, where):
    assert start.python_in(Path("e"), windows=windows) == Path("e") / where


def test_the_starter_goes_to_the_desktop_once_and_is_told(tmp_path, capsys):
    start.told_starter(tmp_path)
    (made,) = tmp_path.iterdir()
    assert str(made) in capsys.readouterr().out
    made.write_text("mine", "utf-8")
    start.told_starter(tmp_path)
    assert (made.read_text("utf-8"), capsys.readouterr().out) == ("mine", "")


def test_without_a_desktop_nothing_is_written_or_told(tmp_path, capsys):
    start.told_starter(tmp_path / "none")
    assert (list(tmp_path.iterdir()), capsys.readouterr().out) == ([], "")


def test_the_desktop_is_where_the_person_has_it(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.setenv("HOME", "/home/x")
    assert start.desktop() == Path("/home/x/Desktop")
    (tmp_path / "user-dirs.dirs").write_text('# x\nXDG_DESKTOP_DIR="$HOME/Bureau"\n', "utf-8")
    assert start.desktop() == Path("/home/x/Bureau")


def test_an_older_python_is_told_what_is_needed(monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["start.py"])
    monkeypatch.setattr(sys, "version_info", (3, 9, 1))
    assert start.main() == 2
    assert "Python 3.11 or newer" in capsys.readouterr().err


def test_what_is_set_up_already_is_left_alone(monkeypatch, capsys, tmp_path):
    for name in ("pyproject.toml", "constraints.txt"):
        (tmp_path / name).write_text("")
    ready = tmp_path / "ready"
    ready.touch()
    monkeypatch.setattr(start, "HERE", tmp_path)
    monkeypatch.setattr(start, "READY", ready)
    monkeypatch.setattr(sys, "argv", ["start.py", "set-up"])
    monkeypatch.setattr(start.subprocess, "run", lambda *_args, **_more: pytest.fail("installs"))
    assert start.main() == 0
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize("changed", ["pyproject.toml", "constraints.txt"])
def test_what_has_changed_since_is_installed_in_the_versions_that_were_tested(
    monkeypatch, tmp_path, changed
):
    for name in ("pyproject.toml", "constraints.txt", "ready"):
        (tmp_path / name).write_text("")
        os.utime(tmp_path / name, (1000, 2000 if name == changed else 1000))
    (tmp_path / "env" / "bin").mkdir(parents=True)
    (tmp_path / "env" / "bin" / "python").touch()
    monkeypatch.setattr(start, "HERE", tmp_path)
    monkeypatch.setattr(start, "ENVIRONMENT", tmp_path / "env")
    monkeypatch.setattr(start, "READY", tmp_path / "ready")
    monkeypatch.setattr(start, "is_windows", lambda: False)
    ran = []
    monkeypatch.setattr(start.subprocess, "run", lambda words, **_more: ran.append(words))
    start.set_up()
    assert [words[-1] for words in ran] == ["pip", "."]
    for words in ran:
        assert words[words.index("--constraint") + 1] == "constraints.txt"
    assert ran[1][ran[1].index("--build-constraint") + 1] == "constraints.txt"


def test_a_step_that_fails_is_told_in_a_line(monkeypatch, capsys, tmp_path):
    (tmp_path / "pyproject.toml").write_text("")
    monkeypatch.setattr(start, "HERE", tmp_path)
    monkeypatch.setattr(start, "ENVIRONMENT", tmp_path / "file" / "env")
    monkeypatch.setattr(start, "READY", tmp_path / "ready")
    (tmp_path / "file").touch()
    monkeypatch.setattr(sys, "argv", ["start.py", "set-up"])
    assert start.main() == 2
    assert capsys.readouterr().err.startswith("start.py: ")
