"""Every table as CSV, all as JSON; documented, and safe to open in a spreadsheet."""

import csv
import json
import re
from datetime import date

import pytest
from django.db import transaction

from sideshake.core.errors import InputError
from sideshake.core.version import PROGRAM
from sideshake.storage.archive import sha256_of
from sideshake.storage.folder import made
from sideshake.web.documents.issuing import issue_invoice
from sideshake.web.models import Issued, Owner
from sideshake.web.money.services import Issuing
from sideshake.web.storage.tables import copy_issued, export, told_columns, told_tables
from sideshake.web.storage.taking_in import import_owners


@pytest.fixture
def exported(filled, tmp_path):
    export(tmp_path / "out")
    return tmp_path / "out"


def read(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_every_table_is_there_with_every_row(exported):
    names = {table._meta.model_name for table in told_tables()}
    assert {path.name for path in exported.iterdir()} == {f"{n}.csv" for n in names} | {
        "workshop.json"
    }
    assert all(len(read(exported / f"{name}.csv")) == 2 for name in names)


def test_the_json_says_what_the_tables_say(exported):
    tree = json.loads((exported / "workshop.json").read_text("utf-8"))
    assert (tree["schema"], tree["version"]) == ("sideshake.export", 1)
    assert tree["program"] == PROGRAM
    for name, rows in tree["tables"].items():
        sheet = read(exported / f"{name}.csv")
        assert [str(row["id"]) for row in rows] == [row["id"] for row in sheet]
        assert list(rows[0]) == list(sheet[0])


def test_issued_papers_come_out_as_they_are(visit, owner_of_workshop, tmp_path):
    asked = Issuing(
        lines=[{"kind": "work", "text": "x", "quantity": "1", "each": "10", "tax_percent": "19"}],
        on=date(2026, 3, 30),
    )
    issue_invoice(visit, asked, owner_of_workshop)
    with transaction.atomic():
        copies = copy_issued(made(tmp_path / "out"))
    (row,) = Issued.objects.all()
    assert [path.name for path in copies] == [row.stored]
    assert sha256_of(copies[0]) == row.sha256


def test_no_password_leaves_the_workshop(exported):
    assert "password" not in (exported / "workshop.json").read_text("utf-8")


@pytest.mark.parametrize(
    "text",
    [
        "=1+1", "+41 44 000", "-x", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1", "\u00a0=1",
        "\uff1d1+1", "\uff0b1", "\uff0d1", "\uff20A",
    ],
)  # fmt: skip
def test_no_text_acts_as_a_formula_and_it_comes_back_the_same(transactional_db, tmp_path, text):
    Owner.objects.create(name="Ida Fenn", note=text, phone=text[:5])
    export(tmp_path / "out")
    (row,) = read(tmp_path / "out" / "owner.csv")
    assert row["note"] == "'" + text
    (tmp_path / "in.csv").write_text(f'owner,owner_note\nNew,"{row["note"]}"\n')
    import_owners(tmp_path / "in.csv", by=None, dry_run=False)
    assert Owner.objects.get(name="New").note == text.strip()


def test_a_folder_in_use_is_refused(transactional_db, tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(InputError, match="not empty"):
        export(tmp_path)


def told(page):
    """Return the columns that the page tells of, by table."""
    parts = re.split(r"^### `(\w+)`.*$", page, flags=re.MULTILINE)[1:]
    return {
        name: re.findall(r"^\| `(\w+)` \|", text, re.MULTILINE)
        for name, text in zip(parts[::2], parts[1::2], strict=True)
    }


def test_every_table_and_column_is_told_of(pytestconfig):
    page = (pytestconfig.rootpath / "docs" / "export.md").read_text("utf-8")
    there = {str(table._meta.model_name): told_columns(table) for table in told_tables()}
    assert told(page) == there
