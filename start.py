#!/usr/bin/env python3
"""Set Sideshake up and open it, with nothing but Python 3.11 or newer: python start.py

The first time it makes the program's own environment in the folder `.venv` and puts a starter on
the desktop, so that no terminal is needed again. It runs on Linux, macOS and Windows.
"""

from __future__ import annotations

import argparse
import os
import shlex
import subprocess
import sys
import venv
from pathlib import Path

NEEDED = (3, 11)
HERE = Path(__file__).resolve().parent
ENVIRONMENT = HERE / ".venv"
READY = ENVIRONMENT / "ready"
DEMO = HERE / "demo"
NAME = "Sideshake"


def main() -> int:
    """Do what was asked for; return the code to end with."""
    asked = parsed(sys.argv[1:])
    if sys.version_info < NEEDED:
        return refused(f"this needs Python {NEEDED[0]}.{NEEDED[1]} or newer; get it at python.org")
    try:
        set_up()
        if asked.what == "set-up":
            return 0
        told_starter(asked.desktop)
        return opened(demo=asked.what == "demo")
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


def opened(*, demo: bool) -> int:
    """Run the workshop until it is closed; return its code."""
    program = [str(python_in(ENVIRONMENT, windows=is_windows())), "-m", "sideshake"]
    known = dict(os.environ)
    if demo:
        subprocess.run([*program, "demo", str(DEMO)], check=True, cwd=HERE)
        if known.get("CI"):
            return 0
        known |= {
            "DATABASE_URL": "",
            "SIDESHAKE_FILES": "",
            "SIDESHAKE_DATA": str(DEMO / "workshop"),
        }
    return subprocess.run([*program, "bench"], env=known, cwd=HERE, check=False).returncode


def told_starter(folder: Path | None) -> None:
    """Put a starter on the desktop if none is there; a computer without a desktop gets none."""
    folder = folder or desktop()
    name, text = starter(sys.platform, python_in(ENVIRONMENT, windows=is_windows()), HERE)
    if not folder.is_dir() or (folder / name).exists():
        return
    (folder / name).write_bytes(text.encode("utf-8"))
    (folder / name).chmod(0o755)
    print(f"Next time, open {folder / name}: no terminal is needed.", flush=True)


def desktop() -> Path:
    """Return the desktop's folder, as the XDG user directories name it, else `Desktop`."""
    settings = Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config") / "user-dirs.dirs"
    lines = settings.read_text("utf-8").splitlines() if settings.is_file() else []
    for line in lines:
        key, _, value = line.partition("=")
        if key == "XDG_DESKTOP_DIR":
            return Path(value.strip('"').replace("$HOME", str(Path.home())))
    return Path.home() / "Desktop"


def starter(platform: str, python: Path, folder: Path) -> tuple[str, str]:
    """Return the name and the text of a starter for such a computer (`sys.platform`)."""
    if platform == "win32":
        return f"{NAME}.bat", batch_file(str(python), str(folder))
    if platform == "darwin":
        return f"{NAME}.command", shell_file(str(python), str(folder))
    return f"{NAME.lower()}.desktop", desktop_entry(str(python), str(folder))


def shell_file(python: str, folder: str) -> str:
    """Return a script that a POSIX shell runs."""
    program = shlex.join([python, "-m", "sideshake", "bench"])
    return f"#!/bin/sh\ncd {shlex.quote(folder)} && exec {program}\n"


def batch_file(python: str, folder: str) -> str:
    """Return a script for the Windows command processor: UTF-8 told, a per cent sign doubled.

    Quotation marks cannot stand in a Windows path.
    """
    python, folder = (each.replace("%", "%%") for each in (python, folder))
    lines = ["@echo off", "chcp 65001 >nul", f'cd /d "{folder}"', f'"{python}" -m sideshake bench']
    return "\r\n".join([*lines, "if errorlevel 1 pause", ""])


def desktop_entry(python: str, folder: str) -> str:
    """Return a desktop entry as the Desktop Entry Specification 1.5 asks.

    In `Exec` an argument is quoted, `"`, `` ` ``, `$` and `\\` escaped in it and `%` doubled; then
    each backslash is doubled again as in every value.
    """
    quoted = "".join(f"\\{each}" if each in '"`$\\' else each for each in python).replace("%", "%%")
    lines = {
        "Type": "Application",
        "Name": NAME,
        "Comment": "The workshop for vintage mechanical watches",
        "Exec": value(f'"{quoted}" -m sideshake bench'),
        "Path": value(folder),
        "Terminal": "true",
    }
    return "\n".join(["[Desktop Entry]", *(f"{key}={line}" for key, line in lines.items()), ""])


def value(text: str) -> str:
    """Return a text as the value of a key in a desktop entry."""
    return text.replace("\\", "\\\\").replace("\n", "\\n")


if __name__ == "__main__":
    sys.exit(main())
