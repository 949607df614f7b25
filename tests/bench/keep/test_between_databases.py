"""The same workshop on SQLite, on PostgreSQL, and back on SQLite: equal to the last byte."""

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

RUN = [sys.executable, "-c", "from sideshake.command.main import main; main()"]


def run(data, *tokens, address="", command=RUN):
    kept = {k: v for k, v in os.environ.items() if k not in ("DATABASE_URL", "SIDESHAKE_DATA")}
    found = {
        **kept,
        "SIDESHAKE_DATA": str(data),
        "DJANGO_SETTINGS_MODULE": "sideshake.bench.settings",
    }
    if address:
        found["DATABASE_URL"] = address
    ran = subprocess.run(
        [*command, *tokens], env=found, capture_output=True, text=True, timeout=120, check=False
    )
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


def members(path):
    with zipfile.ZipFile(path) as archive:
        return json.loads(archive.read("manifest.json"))["members"]


FILLED = """
import sys, runpy, django
django.setup()
from sideshake.bench.start import open_workshop
from sideshake.bench.models import User
open_workshop()
User.objects.all().delete()
runpy.run_path(sys.argv[1])["fill"]()
"""


def test_sqlite_to_postgresql_and_back(tmp_path, empty_database):
    first, second, third = (tmp_path / f"{n}.zip" for n in ("one", "two", "three"))
    conftest = str(Path(__file__).with_name("conftest.py"))
    run(tmp_path / "a", "-c", FILLED, conftest, command=[sys.executable])
    photograph = tmp_path / "a" / "files" / "photographs" / "ab.jpg"
    photograph.parent.mkdir()
    photograph.write_bytes(bytes(range(256)) * 99)
    run(tmp_path / "a", "backup", str(first))
    run(tmp_path / "b", "restore", str(first), address=empty_database)
    run(tmp_path / "b", "backup", str(second), address=empty_database)
    run(tmp_path / "c", "restore", str(second))
    run(tmp_path / "c", "backup", str(third))
    assert members(first) == members(second) == members(third)
    assert sum(each["bytes"] > 0 for each in members(first)) > 20
