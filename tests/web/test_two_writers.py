"""Two people at one record, of every kind: nobody fails, and nothing that was written is lost."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from own_database import named, own_database
from two_writers import ADDED, EACH, kinds
from workshop_process import PATIENCE_S, environment

pytestmark = pytest.mark.on_postgresql

SCRIPT = Path(__file__).parents[1] / "two_writers.py"
KINDS = sorted(each.__name__ for each in kinds())


@pytest.fixture(scope="module")
def outcome(tmp_path_factory):
    """What came of each kind, in a process of its own with threads and real transactions."""
    with own_database() as address:
        given = {"DJANGO_SETTINGS_MODULE": "sideshake.web.settings", **named(address)}
        ran = subprocess.run(
            [sys.executable, str(SCRIPT)],
            env=environment(tmp_path_factory.mktemp("workshop"), **given),
            capture_output=True, text=True, timeout=PATIENCE_S, check=False,
        )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)


def test_no_kind_of_record_is_left_out(outcome):
    assert sorted(outcome) == KINDS
    assert {"Visit", "Photograph", "Reading", "Invoice", "Owner", "Workshop"} <= set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_two_writers_beside_an_upload_lose_nothing(outcome, kind):
    found = outcome[kind]
    assert found["faults"] == []
    assert found["written"] == [EACH, EACH]
    assert found["shots"] == ADDED
