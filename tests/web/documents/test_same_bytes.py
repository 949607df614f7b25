"""A reprint gives the same bytes: in another process, on another day, with other hashes."""

import json
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

from django.conf import settings
from filled_workshop import fill
from moved_clock import paper_hashes
from workshop_process import environment, run

from sideshake.documents.kinds import CareCardSize, PaperKind
from sideshake.web.base.saving import save
from sideshake.web.models import Issued, Option, Outwork, Proposal, Visit
from sideshake.web.proposals import services as proposing
from sideshake.web.storage.backup import write_backup

DAY = date(2026, 3, 30)
ROW = {"kind": "work", "text": "Overhaul", "quantity": "1", "each": "119", "tax_percent": "19"}
MOVED = """
import json, os, sys
sys.path.insert(0, sys.argv[1])
from moved_clock import move, paper_hashes
move(int(sys.argv[2]))
os.environ["DJANGO_SETTINGS_MODULE"] = "sideshake.web.settings"
import django; django.setup()
from django.utils import timezone
print(json.dumps({"day": str(timezone.localdate()), **paper_hashes()}))
"""
AHEAD = 400


def hashed(data: Path, seed: str, days: int) -> dict[str, str]:
    """The hashes as a process of its own finds them."""
    found = subprocess.run(
        [sys.executable, "-c", MOVED, str(Path(__file__).parents[2]), str(days)],
        env=environment(data, PYTHONHASHSEED=seed), capture_output=True, text=True, check=True,
    )  # fmt: skip
    return json.loads(found.stdout)


def second_visit(visit, by):
    """A visit with what is not out of the house: a draft of a proposal and a wished jewel."""
    other = Visit(number="2026-002", watch=visit.watch, arrived_on=DAY, step_since=DAY)
    save(other, by)
    draft = proposing.draft(other, by, on=DAY)
    save(Option(proposal=Proposal.objects.get(pk=draft.pk), title="Work", lines=[ROW]), by)
    save(Outwork(visit=other, what="a jewel", jewel=True, hole_mm=0.1, outside_mm=1.2,
                 thickness_mm=0.3), by)  # fmt: skip


def test_every_paper_has_the_same_bytes_in_another_process_on_another_day(
    visit, colleague, tmp_path
):
    fill(visit, colleague, Path(settings.FILES))
    second_visit(visit, colleague)
    Issued.objects.filter(stored="gone.pdf").delete()
    here = paper_hashes()
    assert len(here) == len(PaperKind) + len(CareCardSize) - 1 + 2
    assert len(set(here.values())) == len(here)
    write_backup(tmp_path / "all.zip")
    (tmp_path / "elsewhere").mkdir()
    brought = run(tmp_path / "elsewhere", "restore", str(tmp_path / "all.zip"))
    assert brought.returncode == 0, brought.stderr
    there = hashed(tmp_path / "elsewhere", "1", 0)
    later = hashed(tmp_path / "elsewhere", "77", AHEAD)
    days = date.fromisoformat(later.pop("day")) - date.fromisoformat(there.pop("day"))
    assert days in (timedelta(AHEAD), timedelta(AHEAD + 1))
    assert there == here
    assert later == here
