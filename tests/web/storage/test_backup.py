"""The whole workshop in one archive and back: equal rows, equal files, or nothing changed."""

import json
import tracemalloc
import zipfile
from datetime import date
from pathlib import Path

import pytest
from kept_workshop import all_files, all_rows, altered, emptied

from sideshake.core.errors import InputError
from sideshake.storage.archive import FORMAT, MANIFEST, Member, safe_name
from sideshake.web.base.saving import save
from sideshake.web.documents.issuing import invoice_given, issue_invoice
from sideshake.web.models import Earlier, Invoice, Owner, Reading, Rehearing, User, Visit, Watch
from sideshake.web.money.services import Issuing
from sideshake.web.storage.backup import write_backup
from sideshake.web.storage.restore import restore


@pytest.fixture
def archive(filled, tmp_path):
    write_backup(tmp_path / "all.zip")
    return tmp_path / "all.zip"


def test_a_workshop_comes_back_equal(archive, filled):
    rows, files = all_rows(), all_files(filled)
    assert all(len(each) == 2 for each in rows.values())
    emptied(filled)
    restored = restore(archive)
    assert all_rows() == rows
    assert all_files(filled) == files
    assert (restored.rows, restored.files) == (2 * len(rows), 3)


def test_new_rows_go_on_after_the_restored_keys(archive, filled):
    emptied(filled)
    restore(archive)
    owner = Owner(name="Barnaby Quill")
    save(owner, None)
    assert owner.pk > 43


def test_the_same_workshop_gives_the_same_members(archive, filled, tmp_path):
    write_backup(tmp_path / "again.zip")
    with zipfile.ZipFile(archive) as one, zipfile.ZipFile(tmp_path / "again.zip") as two:
        assert (
            json.loads(one.read(MANIFEST))["members"] == json.loads(two.read(MANIFEST))["members"]
        )


def test_any_unzip_program_can_read_the_archive(archive):
    with zipfile.ZipFile(archive) as file:
        assert file.testzip() is None
        assert json.loads(file.read(MANIFEST))["format"] == FORMAT
        line = file.read("records/bench.visit.jsonl").splitlines()[0]
        assert json.loads(line)["id"] == 41
        assert "files/photographs/ab12.jpg" in file.namelist()
        assert not [name for name in file.namelist() if "unfinished" in name]
    assert archive.stat().st_mode & 0o077 == 0


def test_a_backup_never_overwrites(archive):
    before = archive.read_bytes()
    with pytest.raises(InputError, match="is there already"):
        write_backup(archive)
    assert archive.read_bytes() == before


def test_a_stopped_backup_leaves_nothing(filled, tmp_path):
    def stop(_done, _whole):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_backup(tmp_path / "stopped.zip", stop)
    assert not list(tmp_path.glob("*.zip"))
    assert not list(tmp_path.glob(".partial*"))


def test_memory_does_not_grow_with_a_recording(filled, tmp_path):
    with (filled / "recordings" / "long.wav").open("wb") as file:
        file.truncate(200 * 1024**2)
    tracemalloc.start()
    write_backup(tmp_path / "long.zip")
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 20 * 1024**2


def test_a_workshop_in_use_is_not_replaced_unless_told(archive, filled):
    rows = all_rows()
    with pytest.raises(InputError, match="not empty"):
        restore(archive)
    assert all_rows() == rows


def test_replacing_keeps_what_was_there(archive, filled, settings):
    save(Owner(name="Barnaby Quill"), None)
    (filled / "photographs" / "new.jpg").write_bytes(b"new")
    restored = restore(archive, replace=True)
    assert not Owner.objects.filter(name="Barnaby Quill").exists()
    assert not (filled / "photographs" / "new.jpg").exists()
    restore(restored.before, replace=True)
    assert Owner.objects.filter(name="Barnaby Quill").exists()
    assert (filled / "photographs" / "new.jpg").read_bytes() == b"new"


def flipped(archive, tmp_path, name):
    """Turn one byte in the middle of a member of the archive."""
    with zipfile.ZipFile(archive) as file:
        info = file.getinfo(name)
    data = bytearray(archive.read_bytes())
    data[info.header_offset + 30 + len(name) + 20 + info.compress_size // 2] ^= 0x55
    (tmp_path / "flipped.zip").write_bytes(data)
    return tmp_path / "flipped.zip"


@pytest.mark.parametrize(
    "name", ["files/photographs/ab12.jpg", "records/bench.visit.jsonl", MANIFEST]
)
def test_one_wrong_byte_is_found_and_nothing_changes(archive, filled, tmp_path, name):
    emptied(filled)
    with pytest.raises(InputError, match="damaged"):
        restore(flipped(archive, tmp_path, name))
    assert not any(all_rows().values())
    assert not all_files(filled)


@pytest.mark.parametrize("share", [0.0, 0.3, 0.999])
def test_an_archive_cut_short_changes_nothing(archive, filled, tmp_path, share):
    rows = all_rows()
    cut = tmp_path / "cut.zip"
    cut.write_bytes(archive.read_bytes()[: int(archive.stat().st_size * share)])
    with pytest.raises(InputError, match="no backup, or it is damaged or cut short"):
        restore(cut, replace=True)
    assert all_rows() == rows


def with_manifest(change):
    def alter(name, data):
        if name != MANIFEST:
            return data
        tree = json.loads(data)
        change(tree)
        return json.dumps(tree).encode()

    return alter


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda tree: tree.update(version=99), "layout 99"),
        (lambda tree: tree.update(format="other"), "no backup"),
        (lambda tree: tree["members"].pop(), "does not hold the files"),
        (lambda tree: tree.pop("records"), "damaged"),
        (lambda tree: tree["members"][0].update(sha256="0" * 64), "damaged at"),
        (lambda tree: tree["records"].update({"bench.visit": 3}), "records are missing"),
        (lambda tree: tree["records"].update({"bench.moonphase": 0}), "does not know"),
        (
            lambda tree: tree["beside"].append(
                {"name": "files/../../x", "bytes": 1, "sha256": "", "mtime_ns": 0}
            ),
            "outside the workshop",
        ),
        (
            lambda tree: tree["beside"].append(
                {"name": "files/none", "bytes": 1, "sha256": "", "mtime_ns": 0}
            ),
            "no longer there",
        ),
    ],
)
def test_a_wrong_list_of_contents_is_refused(archive, filled, tmp_path, change, said):
    rows = all_rows()
    bad = altered(archive, tmp_path / "bad.zip", with_manifest(change))
    with pytest.raises(InputError, match=said):
        restore(bad, replace=True)
    assert all_rows() == rows


@pytest.mark.parametrize(
    "name",
    [
        "../x",
        "/etc/passwd",
        "files/../../x",
        "files//x",
        "C:/x",
        "files\\x",
        "",
        ".",
        "a/./b",
        "a\0",
    ],
)
def test_names_that_lead_elsewhere_are_refused(name):
    assert not safe_name(name)
    with pytest.raises(InputError, match="outside the workshop"):
        Member(name=name, bytes=0, sha256="")


def forged(archive, path, name, data):
    """Put other rows into an archive, with a list of contents that fits them."""
    from hashlib import sha256

    def relist(tree):
        for member in tree["members"]:
            if member["name"] == name:
                member.update(bytes=len(data), sha256=sha256(data).hexdigest())
        tree["records"][name.split("/")[1].removesuffix(".jsonl")] = data.count(b"\n")

    alter = with_manifest(relist)
    return altered(archive, path, lambda each, old: data if each == name else alter(each, old))


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (b"not json\n", "line 1"),
        (b'{"id": "x", "name": "y"}\n', "line 1: it holds a row that cannot be read"),
        (b"[]\n", "line 1"),
        (b'{"id": 1, "moon": 2}\n', "column moon"),
    ],
)
def test_rows_that_are_none_are_refused(archive, filled, tmp_path, line, said):
    rows = all_rows()
    with pytest.raises(InputError, match=said):
        restore(
            forged(archive, tmp_path / "f.zip", "records/bench.owner.jsonl", line), replace=True
        )
    assert all_rows() == rows


def test_records_that_do_not_hang_together_change_nothing(archive, filled, tmp_path):
    rows, files = all_rows(), all_files(filled)
    bad = forged(archive, tmp_path / "f.zip", "records/bench.owner.jsonl", b"")
    with pytest.raises(InputError, match="do not hang together"):
        restore(bad, replace=True)
    assert all_rows() == rows
    assert all_files(filled) == files


def test_an_older_archive_without_a_column_gets_its_usual_value(archive, filled, tmp_path):
    old = forged(archive, tmp_path / "o.zip", "records/bench.owner.jsonl", OLD_OWNERS)
    emptied(filled)
    restore(old)
    assert Owner.objects.get(pk=41).prefers == "email"


OLD_OWNERS = b'{"id":41,"version":1,"name":"A","since":"2024-01-01"}\n' + (
    b'{"id":43,"version":1,"name":"B","since":"2024-01-01"}\n'
)


def test_something_else_is_no_backup(tmp_path, db):
    other = tmp_path / "other.zip"
    with zipfile.ZipFile(other, "w") as file:
        file.writestr("letter.txt", "Dear Sir")
    with pytest.raises(InputError, match=r"no manifest\.json"):
        restore(other)


# --- backups made by themselves


def test_no_folder_is_told_in_a_sentence(filled, tmp_path):
    with pytest.raises(InputError, match=r"cannot write .*; no backup was made"):
        write_backup(tmp_path / "no-such-folder" / "b.zip")


# --- which ear heard it


def older_rows(archive: Path) -> bytes:
    """Return the readings as a workshop wrote them before versions were kept."""
    with zipfile.ZipFile(archive) as file:
        rows = [json.loads(line) for line in file.read("records/bench.reading.jsonl").splitlines()]
    assert rows
    for row in rows:
        del row["ear"], row["program"]
    return b"".join(json.dumps(row).encode() + b"\n" for row in rows)


def test_readings_of_an_older_archive_were_heard_by_the_first_ear(archive, filled, tmp_path):
    Reading.objects.update(ear=7, program="9.9")
    old = forged(archive, tmp_path / "o.zip", "records/bench.reading.jsonl", older_rows(archive))
    emptied(filled)
    restore(old)
    assert set(Reading.objects.values_list("ear", "program")) == {(1, "")}


def test_a_backup_brings_versions_and_earlier_figures_back(filled, tmp_path):
    reading = Reading.objects.all()[0]
    Reading.objects.update(ear=7, program="9.9")
    run = Rehearing.objects.create(scope="all", program="9.9", ear=7)
    figures = {"rate_s_per_day": 0.1 + 0.2, "heard_at": "2026-03-02T08:30:00.123456+00:00"}
    kept = Earlier.objects.create(run=run, reading=reading, fate="heard", figures=figures)
    write_backup(tmp_path / "b.zip")
    emptied(filled)
    restore(tmp_path / "b.zip")
    assert set(Reading.objects.values_list("ear", "program")) == {(7, "9.9")}
    assert Earlier.objects.get(pk=kept.pk).figures == figures


def test_an_issued_paper_comes_back_as_the_very_bytes(transactional_db, settings, tmp_path):
    owner = Owner.objects.create(name="Ottilie Marwood")
    watch = Watch.objects.create(owner=owner, title="chronograph")
    visit = Visit.objects.create(
        number="2026-001", watch=watch, arrived_on=date(2026, 3, 2), step_since=date(2026, 3, 2)
    )
    by = User.objects.create_user("at the till")
    row = {"kind": "work", "text": "x", "quantity": "1", "each": "10", "tax_percent": "19"}
    invoice = issue_invoice(visit, Issuing(lines=[row], on=date(2026, 3, 30)), by)
    before = invoice_given(invoice).data
    write_backup(tmp_path / "one.zip")
    emptied(settings.FILES)
    restore(tmp_path / "one.zip", replace=True)
    assert invoice_given(Invoice.objects.get()).data == before
