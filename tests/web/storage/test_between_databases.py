"""The same workshop on SQLite, on PostgreSQL, and back on SQLite: equal to the last byte."""

import json
import zipfile
from pathlib import Path

import pytest
from own_database import named
from workshop_process import program, run


def done(data, *tokens, address=""):
    """Let a command end well."""
    ran = run(data, *tokens, **named(address))
    assert ran.returncode == 0, ran.stderr


def members(path):
    with zipfile.ZipFile(path) as archive:
        return json.loads(archive.read("manifest.json"))["members"]


FILLED = """
import sys, runpy, django
django.setup()
from sideshake.web.start import open_workshop
from sideshake.web.models import User
open_workshop()
User.objects.all().delete()
runpy.run_path(sys.argv[1])["fill"]()
"""


@pytest.mark.on_postgresql
def test_sqlite_to_postgresql_and_back(tmp_path, address):
    first, second, third = (tmp_path / f"{n}.zip" for n in ("one", "two", "three"))
    conftest = str(Path(__file__).with_name("conftest.py"))
    ran = program(tmp_path / "a", FILLED, conftest)
    assert ran.returncode == 0, ran.stderr
    photograph = tmp_path / "a" / "files" / "photographs" / "ab.jpg"
    photograph.parent.mkdir()
    photograph.write_bytes(bytes(range(256)) * 99)
    done(tmp_path / "a", "backup", str(first))
    done(tmp_path / "b", "restore", str(first), address=address)
    done(tmp_path / "b", "backup", str(second), address=address)
    done(tmp_path / "c", "restore", str(second))
    done(tmp_path / "c", "backup", str(third))
    assert members(first) == members(second) == members(third)
    assert sum(each["bytes"] > 0 for each in members(first)) > 20
