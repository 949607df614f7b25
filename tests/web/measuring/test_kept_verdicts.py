"""A verdict that was reckoned once is read again, and never a stale one."""

import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

from sideshake.analysis import barrel
from sideshake.web.measuring import kept_verdicts
from sideshake.web.measuring import services as measuring
from sideshake.web.models import Measurement
from sideshake.web.visits.queries import whole_visit


@pytest.fixture
def measured(client, visit, shipped_sizes):
    client.post(f"/visits/{visit.number}/measure/", shipped_sizes)
    return visit


@pytest.fixture
def reckonings(monkeypatch):
    """How often a verdict was reckoned; each process is one that has just begun."""
    counted = []

    def counting(case):
        counted.append(case)
        return real(case)

    real = barrel.verdict
    monkeypatch.setattr(barrel, "verdict", counting)
    return counted


def judged_anew(visit):
    measuring.judged_sizes.cache_clear()
    return measuring.judged(whole_visit(visit.number))


def files():
    return list((Path(settings.DATA) / "verdicts").rglob("*.json"))


def test_the_next_process_reads_the_same_verdict(measured, reckonings):
    first, again = judged_anew(measured), judged_anew(measured)
    assert first.verdict is not None
    assert again.barrel == first.barrel
    assert len(reckonings) <= 1
    (path,) = files()
    path.unlink()
    anew = judged_anew(measured)
    assert anew.barrel == first.barrel
    assert len(reckonings) >= 1


def test_another_size_is_reckoned(measured, reckonings):
    first = judged_anew(measured)
    Measurement.objects.filter(key="above.hole_long_mm").update(value=0.95)
    assert judged_anew(measured).verdict != first.verdict
    assert len(files()) == 2


@pytest.mark.parametrize("left", [b"", b"{", b'{"verdict": 3}', b"\xff\x00"])
def test_what_is_damaged_is_reckoned_anew(measured, reckonings, left):
    first = judged_anew(measured)
    (path,) = files()
    path.write_bytes(left)
    assert judged_anew(measured).verdict == first.verdict
    assert path.read_bytes() != left


def test_a_verdict_of_another_code_is_not_read_and_goes(measured, reckonings, monkeypatch):
    judged_anew(measured)
    before = len(reckonings)
    (old,) = files()
    monkeypatch.setattr(kept_verdicts, "code_told", lambda: "another")
    judged_anew(measured)
    assert len(reckonings) == before + 1
    (new,) = files()
    assert (new.parent.name, old.exists()) == ("another", False)


def test_a_folder_that_cannot_be_written_stops_nothing(measured, reckonings, monkeypatch):
    def full(*_args):
        raise OSError(28, "No space left on device")

    for path in files():
        path.unlink()
    monkeypatch.setattr(kept_verdicts, "write_whole", full)
    assert judged_anew(measured).verdict is not None
    assert files() == []


def test_what_is_kept_is_in_no_backup(measured, tmp_path):
    import zipfile

    from sideshake.web.storage.backup import write_backup

    judged_anew(measured)
    write_backup(tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        assert not [name for name in archive.namelist() if "verdict" in name]


def test_another_numpy_makes_another_name(monkeypatch):
    kept_verdicts.code_told.cache_clear()
    before = kept_verdicts.code_told()
    kept_verdicts.code_told.cache_clear()
    assert kept_verdicts.code_told() == before
    kept_verdicts.code_told.cache_clear()
    monkeypatch.setattr(kept_verdicts.np, "__version__", "0.0.1")
    assert kept_verdicts.code_told() != before
    kept_verdicts.code_told.cache_clear()


def test_the_name_tells_all_code_that_a_verdict_is_reckoned_with():
    """Whatever module the reckoning loads is among what the name is made of."""
    program = "import sys, sideshake.analysis.barrel; print(*sys.modules)"
    ran = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    names = [name for name in ran.stdout.split() if name.startswith("sideshake.")]
    loaded = {name.split(".")[1] for name in names}
    assert {"wear", "core"} <= loaded
    assert loaded <= {name.removesuffix(".py") for name in kept_verdicts.RECKONS}
