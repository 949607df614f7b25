#!/usr/bin/env python3
"""Set Sideshake up and open it, with nothing but Python 3.11 or newer: python start.py

The first time it makes the program's own environment in the folder `.venv` and puts two starters on
the desktop, for the workshop and for the demo, so that no terminal is needed again. It runs on
Linux, macOS and Windows.
"""

from __future__ import annotations

import argparse
import ntpath
import os
import shlex
import shutil
import subprocess
import sys
import venv
from collections.abc import Sequence
from pathlib import Path

NEEDED = (3, 11)
HERE = Path(__file__).resolve().parent
ENVIRONMENT = HERE / ".venv"
READY = ENVIRONMENT / "ready"
DEMO = HERE / "demo"
NAME = "Sideshake"
STARTERS = (
    (NAME, ["-m", "sideshake", "bench"]),
    (f"{NAME} demo", [str(HERE / "start.py"), "demo"]),
)
"""The starters by their titles, and what each gives to Python."""


def main() -> int:
    """Do what was asked for; return the code to end with."""
    asked = parsed(sys.argv[1:])
    if sys.version_info < NEEDED:
        return refused(f"this needs Python {NEEDED[0]}.{NEEDED[1]} or newer; get it at python.org")
    try:
        set_up()
        if asked.what == "set-up":
            return 0
        told_starters(asked.desktop)
        return opened(demo=asked.what == "demo", anew=asked.anew)
    except subprocess.CalledProcessError as error:
        return refused(f"this step did not work: {' '.join(map(str, error.cmd[1:]))}")
    except OSError as error:
        return refused(str(error))
    except KeyboardInterrupt:
        return 130


def parsed(words: list[str]) -> argparse.Namespace:
    """Return what was asked for on the command line."""
    parser = argparse.ArgumentParser(prog="start.py", description=__doc__)
    parser.add_argument(
        "what", nargs="?", default="workshop", choices=("workshop", "demo", "set-up"),
        help="your own workshop (unless you say otherwise), the demo workshop, or set up only",
    )  # fmt: skip
    parser.add_argument(
        "--desktop", type=Path, default=None, metavar="FOLDER",
        help="where the starter goes; your desktop unless you say otherwise",
    )  # fmt: skip
    parser.add_argument(
        "--anew", action="store_true",
        help="make the demo anew; otherwise one that is there is opened as it was left",
    )  # fmt: skip
    return parser.parse_args(words)


def refused(why: str) -> int:
    """Say why it does not go on; return the code to end with."""
    print(f"start.py: {why}", file=sys.stderr)
    return 2


def set_up() -> None:
    """Make the environment and install the program, unless that was done since its last change."""
    wanted = [HERE / name for name in ("pyproject.toml", "constraints.txt")]
    if READY.exists() and all(READY.stat().st_mtime >= each.stat().st_mtime for each in wanted):
        return
    print("Setting up, once; this takes a few minutes.", flush=True)
    if not python_in(ENVIRONMENT, windows=is_windows()).exists():
        venv.create(ENVIRONMENT, with_pip=True)
    same = ["--constraint", "constraints.txt"]  # the versions that everything was tested with
    pip = [python_in(ENVIRONMENT, windows=is_windows()), "-m", "pip", "install", "--quiet", *same]
    subprocess.run([*pip, "--upgrade", "pip"], check=True, cwd=HERE)
    subprocess.run([*pip, "--build-constraint", same[1], "--editable", "."], check=True, cwd=HERE)
    READY.touch()


def python_in(environment: Path, *, windows: bool) -> Path:
    """Return where the Python of an environment lies."""
    return environment / ("Scripts/python.exe" if windows else "bin/python")


def is_windows() -> bool:
    """Return whether this computer runs Windows."""
    return os.name == "nt"


def opened(*, demo: bool, anew: bool = False) -> int:
    """Run the workshop until it is closed; return its code."""
    program = [str(python_in(ENVIRONMENT, windows=is_windows())), "-m", "sideshake"]
    known = dict(os.environ)
    if demo:
        if anew or not (DEMO / "workshop").exists():
            make_demo(program)
        if known.get("CI"):
            return 0
        known |= {
            "DATABASE_URL": "",
            "SIDESHAKE_FILES": "",
            "SIDESHAKE_DATA": str(DEMO / "workshop"),
        }
    return subprocess.run([*program, "bench"], env=known, cwd=HERE, check=False).returncode


def make_demo(program: list[str]) -> None:
    """Make the demo, and say what scrolls by meanwhile."""
    print(
        "Making the demo, once; this takes some minutes. What scrolls by are three recordings read "
        "as examples; you need not read it. Then the demo workshop opens in your browser.",
        flush=True,
    )
    subprocess.run([*program, "demo", str(DEMO)], check=True, cwd=HERE)


def told_starters(folder: Path | None) -> None:
    """Put starters where none are: on the desktop, and on Linux in the menu of programs too."""
    made = []
    for place in [folder] if folder else starter_places():
        for title, words in STARTERS:
            name, text = starter(
                sys.platform, title, [str(python_in(ENVIRONMENT, windows=is_windows())), *words]
            )
            if place.is_dir() and put_starter(place / name, text):
                made.append(place / name)
    if made:
        words = "Next time no terminal is needed. To open it, there is now:"
        print(words, *made, sep="\n  ", flush=True)


def put_starter(path: Path, text: str) -> bool:
    """Write a starter unless one is there; return whether it was written."""
    if path.exists():
        return False
    path.write_bytes(text.encode("utf-8"))
    path.chmod(0o755)
    if path.suffix == ".desktop" and shutil.which("gio"):  # or it asks whether it is to be trusted
        trust = ["gio", "set", str(path), "metadata::trusted", "true"]
        subprocess.run(trust, check=False, capture_output=True)
    return True


def starter_places() -> list[Path]:
    """Return where starters go: the desktop, and the menu where it is a folder of entries."""
    if is_windows():
        return [windows_desktop(told_by_windows())]
    if sys.platform == "darwin":
        return [desktop()]
    menu = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local/share") / "applications"
    menu.mkdir(parents=True, exist_ok=True)
    return [desktop(), menu]


def windows_desktop(told: str) -> Path:
    """Return the desktop's folder as Windows tells it, such as %USERPROFILE%\\Desktop."""
    return Path(ntpath.expandvars(told))


def told_by_windows() -> str:
    """Return where Windows says that the desktop is: it may have been moved to a cloud's folder."""
    import winreg  # there is none elsewhere

    place = r"Software\Microsoft\Windows\CurrentVersion\Explorer\User Shell Folders"
    with winreg.OpenKey(winreg.HKEY_CURRENT_USER, place) as key:
        return str(winreg.QueryValueEx(key, "Desktop")[0])


def desktop() -> Path:
    """Return the desktop's folder, as the XDG user directories name it, else `Desktop`."""
    settings = Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config") / "user-dirs.dirs"
    lines = settings.read_text("utf-8").splitlines() if settings.is_file() else []
    for line in lines:
        key, _, value = line.partition("=")
        if key == "XDG_DESKTOP_DIR":
            return Path(value.strip('"').replace("$HOME", str(Path.home())))
    return Path.home() / "Desktop"


def starter(platform: str, title: str, command: Sequence[str]) -> tuple[str, str]:
    """Return the name and the text of a starter for such a computer (`sys.platform`)."""
    if platform == "win32":
        return f"{title}.bat", batch_file(command, str(HERE))
    if platform == "darwin":
        return f"{title}.command", shell_file(command, str(HERE))
    return f"{title.lower().replace(' ', '-')}.desktop", desktop_entry(title, command, str(HERE))


def shell_file(command: Sequence[str], folder: str) -> str:
    """Return a script that a POSIX shell runs."""
    return f"#!/bin/sh\ncd {shlex.quote(folder)} && exec {shlex.join(command)}\n"


def batch_file(command: Sequence[str], folder: str) -> str:
    """Return a script for the Windows command processor: UTF-8 told, a per cent sign doubled.

    Quotation marks cannot stand in a Windows path.
    """
    program = " ".join(f'"{each}"' if each == command[0] or " " in each else each
                       for each in command)  # fmt: skip
    lines = [f'cd /d "{folder}"', program]
    said = ["@echo off", "chcp 65001 >nul", *(line.replace("%", "%%") for line in lines)]
    return "\r\n".join([*said, "if errorlevel 1 pause", ""])


def desktop_entry(title: str, command: Sequence[str], folder: str) -> str:
    """Return a desktop entry as the Desktop Entry Specification 1.5 asks.

    In `Exec` an argument is quoted, `"`, `` ` ``, `$` and `\\` escaped in it and `%` doubled; then
    each backslash is doubled again as in every value.
    """
    lines = {
        "Type": "Application",
        "Name": title,
        "Comment": "The workshop for vintage mechanical watches",
        "Exec": value(" ".join(quoted(each) for each in command)),
        "Path": value(folder),
        "Terminal": "true",
        "Categories": "Office;",
    }
    return "\n".join(["[Desktop Entry]", *(f"{key}={line}" for key, line in lines.items()), ""])


def quoted(argument: str) -> str:
    """Return an argument as it stands in `Exec`."""
    escaped = "".join(f"\\{each}" if each in '"`$\\' else each for each in argument)
    return f'"{escaped.replace("%", "%%")}"'


def value(text: str) -> str:
    """Return a text as the value of a key in a desktop entry."""
    return text.replace("\\", "\\\\").replace("\n", "\\n")


if __name__ == "__main__":
    sys.exit(main())
