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


def arguments_of(line: str) -> list[str]:
    """Return the arguments of `Exec`, undone as the Desktop Entry Specification 1.5 says.

    First the escapes of a value, then the quoting of an argument, then the field codes.
    """
    text = line.replace("\\\\", "\0").replace("\\n", "\n").replace("\0", "\\")
    found, place = [], 0
    while place < len(text):
        assert text[place] == '"'
        said, place = "", place + 1
        while text[place] != '"':
            place += text[place] == "\\"
            said += text[place]
            place += 1
        assert "%" not in said.replace("%%", "")
        found.append(said.replace("%%", "%"))
        assert text[place + 1 : place + 2] in ("", " ")
        place += 2
    return found


@pytest.mark.parametrize("name", ODD)
def test_a_desktop_entry_names_the_python_whatever_its_folder_is_called(name):
    command = [f"/home/x/{name}/bin/python", f"/home/x/{name}/start.py", "demo"]
    entry = start.desktop_entry("Sideshake demo", command, f"/home/x/{name}")
    lines = dict(line.split("=", 1) for line in entry.splitlines()[1:])
    assert arguments_of(lines["Exec"]) == command
    assert lines["Path"].replace("\\\\", "\\") == f"/home/x/{name}"
    assert lines["Name"] == "Sideshake demo"


@pytest.mark.parametrize("name", ODD)
def test_a_shell_runs_the_starter_from_a_folder_of_any_name(tmp_path, name):
    folder = tmp_path / name
    folder.mkdir()
    python = folder / "python"
    python.write_text('#!/bin/sh\nprintf "%s|%s" "$PWD" "$*"\n', "utf-8")
    python.chmod(0o755)
    command = [str(python), "-m", "sideshake", "bench"]
    (tmp_path / "x.command").write_text(start.shell_file(command, str(folder)), "utf-8")
    ran = subprocess.run(["sh", tmp_path / "x.command"], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == f"{folder}|-m sideshake bench"


def test_a_batch_file_doubles_per_cent_quotes_spaces_and_ends_lines_as_windows_does():
    folder = r"C:\Users\Jo Doe\100% new"
    text = start.batch_file([folder + r"\python.exe", folder + r"\start.py", "demo"], folder)
    assert text.count("\n") == text.count("\r\n") == 5
    doubled = folder.replace("%", "%%")
    assert f'cd /d "{doubled}"' in text
    assert f'"{doubled}\\python.exe" "{doubled}\\start.py" demo' in text
    assert text.index("chcp 65001") < text.index("Jo Doe")


@pytest.mark.parametrize(
    ("platform", "title", "name"),
    [
        ("linux", "Sideshake", "sideshake.desktop"),
        ("linux", "Sideshake demo", "sideshake-demo.desktop"),
        ("darwin", "Sideshake demo", "Sideshake demo.command"),
        ("win32", "Sideshake", "Sideshake.bat"),
    ],
)
def test_each_computer_gets_its_own_starter(platform, title, name):
    assert start.starter(platform, title, ["python", "-m", "sideshake"])[0] == name


@pytest.mark.parametrize(
    ("windows", "where"), [(True, "Scripts/python.exe"), (False, "bin/python")]
)
def test_the_python_of_an_environment_lies_where_the_computer_keeps_it(windows, where):
    assert start.python_in(Path("e"), windows=windows) == Path("e") / where


def test_the_starters_go_to_the_desktop_once_and_are_told(tmp_path, capsys):
    start.told_starters(tmp_path)
    made = sorted(tmp_path.iterdir())
    assert len(made) == 2
    told = capsys.readouterr().out
    assert "no terminal is needed" in told
    assert sorted(told.splitlines()[1:]) == [f"  {path}" for path in made]
    assert "menu" not in told
    made[0].write_text("mine", "utf-8")
    start.told_starters(tmp_path)
    assert (made[0].read_text("utf-8"), capsys.readouterr().out) == ("mine", "")
    made[1].unlink()
    start.told_starters(tmp_path)
    assert capsys.readouterr().out.splitlines()[1:] == [f"  {made[1]}"]


def test_on_linux_the_menu_of_programs_gets_them_too(tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert start.starter_places()[1] == tmp_path / "applications"
    assert (tmp_path / "applications").is_dir()


def test_a_desktop_that_windows_has_moved_is_found(monkeypatch):
    monkeypatch.setenv("USERPROFILE", r"C:\Users\Jo Doe")
    found = start.windows_desktop(r"%USERPROFILE%\OneDrive\Desktop")
    assert str(found) == r"C:\Users\Jo Doe\OneDrive\Desktop"


@pytest.mark.parametrize(("there", "anew", "made"), [(0, 0, 1), (1, 0, 0), (1, 1, 1)])
def test_a_demo_that_is_there_is_opened_as_it_was_left(monkeypatch, tmp_path, there, anew, made):
    monkeypatch.setattr(start, "DEMO", tmp_path)
    monkeypatch.setenv("CI", "1")
    if there:
        (tmp_path / "workshop").mkdir()
    ran = []
    monkeypatch.setattr(start.subprocess, "run", lambda words, **_more: ran.append(words))
    assert start.opened(demo=True, anew=bool(anew)) == 0
    assert len(ran) == made


def test_without_a_desktop_nothing_is_written_or_told(tmp_path, capsys):
    start.told_starters(tmp_path / "none")
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
