"""`sideshake paper`: what the page gives, the command writes; and it changes nothing."""

import gc
import json
import os
import subprocess
import sys
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.test.utils import CaptureQueriesContext

from sideshake.command.main import main
from sideshake.command.paper import uncollected
from sideshake.core.errors import InputError
from sideshake.documents.kinds import PaperKind
from sideshake.web.base.saving import save
from sideshake.web.documents.issuing import IssueAsked, as_made, issue_paper
from sideshake.web.measuring.services import store
from sideshake.web.models import Invoice, Option, Outwork, PlanStep, Proposal, the_workshop
from sideshake.web.storage.reached import all_applied, migrations_here, require_up_to_date

LINES = [{"kind": "work", "text": "A jewel", "quantity": "1", "each": "238.00",
          "tax_percent": "19"}]  # fmt: skip
PAGES = {
    "report": "/visits/2026-001/papers/report.pdf",
    "report-page": "/visits/2026-001/papers/report.html",
    "proposal": "/visits/2026-001/papers/proposal/2.pdf",
    "invoice": "/invoices/INV-2026-001/invoice.pdf",
    "care-card": "/visits/2026-001/papers/card/a6.pdf",
    "bench-sheet": "/visits/2026-001/papers/bench.pdf",
    "labels": "/visits/2026-001/papers/labels.pdf",
}


@dataclass(frozen=True, slots=True)
class Said:
    code: int
    out: str
    err: str


@pytest.fixture
def paper(capsys, tmp_path, monkeypatch):
    """Run `sideshake paper` in a folder of its own, on the records of the test."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")

    def run(*tokens: str) -> Said:
        capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            main(["paper", *tokens])
        caught = capsys.readouterr()
        return Said(ended.value.code or 0, caught.out, " ".join(caught.err.split()))

    return run


@pytest.fixture
def priced(visit, colleague):
    """A visit with two versions of a proposal, an invoice and a plan."""
    the_workshop()
    for edition, state in ((1, "replaced"), (2, "sent")):
        proposal = Proposal(visit=visit, edition=edition, currency="EUR", state=state,
                            made_on=date(2026, 3, 3), deposit=Decimal("70"))  # fmt: skip
        save(proposal, colleague)
        save(Option(proposal=proposal, title=f"Jewel {edition}", lines=LINES), colleague)
    save(PlanStep(visit=visit, kind="work", key="a", place=1, title="Let it down"), colleague)
    save(Invoice(visit=visit, number="INV-2026-001", issued_on=date(2026, 3, 30),
                 due_on=date(2026, 4, 13), currency="EUR", lines=LINES), colleague)  # fmt: skip
    return visit


@pytest.mark.parametrize("kind", PAGES)
def test_the_command_writes_the_bytes_of_the_page(client, priced, paper, kind):
    more = ["--address", "http://testserver"] if kind == "labels" else []
    said = paper(kind, "2026-001", "--to", "made", *more)
    assert said.code == 0, said.err
    assert Path("made").read_bytes() == client.get(PAGES[kind]).content


def test_the_file_is_named_after_kind_and_visit(priced, paper, tmp_path):
    assert "report-2026-001.pdf" in paper("report", "2026-001").out
    assert Path("report-2026-001.pdf").read_bytes().startswith(b"%PDF")
    (tmp_path / "papers").mkdir()
    paper("invoice", "2026-001", "--to", str(tmp_path / "papers"))
    assert (tmp_path / "papers" / "invoice-INV-2026-001.pdf").exists()


def test_a_file_that_is_there_stays_unless_it_is_to_be_replaced(priced, paper):
    Path("mine.pdf").write_bytes(b"mine")
    refused = paper("report", "2026-001", "--to", "mine.pdf")
    assert (refused.code, Path("mine.pdf").read_bytes()) == (2, b"mine")
    assert "mine.pdf is there already" in refused.err
    assert paper("report", "2026-001", "--to", "mine.pdf", "--replace").code == 0
    assert Path("mine.pdf").read_bytes().startswith(b"%PDF")


def test_nothing_is_written_to_the_records_but_an_issued_paper_once(priced, paper):
    assert paper("invoice", "2026-001").code == 0
    with CaptureQueriesContext(connection) as asked:
        for kind in PAGES:
            assert paper(kind, "2026-001", "--replace").code == 0
    assert {each["sql"].split()[0] for each in asked} == {"SELECT"}


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("report", "2026-099"), "there is no visit 2026-099"),
        (("proposal", "2026-001"), "visit 2026-001 has no proposal yet"),
        (("invoice", "2026-001"), "visit 2026-001 has no invoice yet"),
        (("bench-sheet", "2026-001"), "a bench sheet needs a step or a fit"),
        (("jewel-order", "2026-001"), "no part is wished"),
        (("report", "2026-001", "--size", "a6"), "--size is for the care-card"),
        (("report", "2026-001", "--to", "no/where.pdf"), "cannot write no/where.pdf"),
    ],
)  # fmt: skip
def test_what_cannot_be_made_is_said_in_one_line(visit, paper, words, why):
    said = paper(*words)
    assert said.code == 2
    assert why in said.err


def test_a_version_or_invoice_that_is_not_there_names_those_that_are(priced, paper):
    assert "no version 7 of its proposal; there is 1, 2" in paper(
        "proposal", "2026-001", "--version", "7").err  # fmt: skip
    assert "there is INV-2026-001" in paper("invoice", "2026-001", "--invoice", "X").err


def test_a_cancelled_invoice_is_not_the_one_that_holds(priced, paper, colleague):
    first = Invoice.objects.get()
    save(Invoice(visit=priced, number="INV-2026-002", issued_on=first.issued_on,
                 due_on=first.due_on, currency="EUR", lines=LINES, cancels=first),
         colleague)  # fmt: skip
    assert "every invoice of visit 2026-001 is cancelled" in paper("invoice", "2026-001").err
    assert paper("invoice", "2026-001", "--invoice", "INV-2026-002").code == 0


def test_the_parts_wished_are_ordered_and_those_judged_when_none_is(
    visit, paper, colleague, shipped_sizes
):
    store(visit, shipped_sizes, colleague, seen={})
    judged = paper("jewel-order", "2026-001", "--to", "judged.pdf")
    assert judged.code == 0
    save(Outwork(visit=visit, what="a bush", jewel=True, hole_mm=0.9, outside_mm=1.8,
                 thickness_mm=0.6, material="phosphor bronze"), colleague)  # fmt: skip
    save(Outwork(visit=visit, what="a jewel", jewel=True), colleague)
    said = paper("jewel-order", "2026-001", "--to", "wished.pdf", "--json")
    told = json.loads(said.out)
    assert (told["schema"], told["lacks"]) == ("sideshake.paper", ["the sizes of “a jewel”"])
    words = words_in(Path("wished.pdf"))
    assert "0.900 × 1.800 × 0.600" in words
    assert "phosphor bronze, hard drawn" in words
    assert "DRAFT, nothing is ordered" in words
    assert "ruby" in words_in(Path("judged.pdf"))


def words_in(path):
    from pypdf import PdfReader

    return " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())


def test_labels_begin_where_the_command_says_and_only_labels_do(priced, paper):
    assert paper("labels", "2026-001", "--first", "7", "--to", "seven.pdf").code == 0
    assert "labels begin at place 1 to 24" in paper("labels", "2026-001", "--first", "30").err
    assert "is for the labels" in paper("report", "2026-001", "--first", "7").err


def test_the_last_issued_report_is_given_unchanged(priced, paper, colleague):
    none_yet = paper("report", "2026-001", "--issued")
    assert "no report of visit 2026-001 was issued yet" in none_yet.err
    assert "--issued is for report, " in paper("invoice", "2026-001", "--issued").err
    row = issue_paper("2026-001", IssueAsked(kind=PaperKind.REPORT), colleague, on=date(2026, 4, 1))
    assert paper("report", "2026-001", "--issued", "--to", "issued.pdf").code == 0
    assert Path("issued.pdf").read_bytes() == as_made(row).data


LIGHT = """
import os, sys
os.environ["DJANGO_SETTINGS_MODULE"] = "sideshake.web.settings"
import django; django.setup()
from importlib import import_module
for each in {modules!r}:
    import_module("sideshake.web." + each)
print(sorted({packages!r} & set(sys.modules)))
"""
EVERY = ("storage.reached", "documents.registry.requests")
SLOW = {"scipy", "soundfile", "ezdxf", "altair", "PIL.Image", "lxml.etree"}

JUDGE = {
    "sideshake.wear.verdict",
    "sideshake.workshop_rules.repair",
    "sideshake.web.measuring.services",
}
"""What judges sizes: a report loads it where there are some."""
DRAWS = {"sideshake.drawings.section", "sideshake.drawings.dial", "sideshake.drawings.hole_pair"}
MIGRATES = {"django.db.migrations.executor", "sideshake.web.migrations.0001_records"}


@pytest.mark.parametrize(
    ("modules", "packages"),
    [
        ((*EVERY, "documents.bills"), SLOW | {"numpy", "pydantic"}),
        ((*EVERY, "documents.proposals"), SLOW),
        (
            (
                *EVERY,
                "documents.report",
                "documents.care_cards",
                "documents.jewel_orders",
                "documents.bench_papers",
            ),
            SLOW,
        ),
        ((*EVERY, "documents.report"), JUDGE | DRAWS | MIGRATES),
    ],
)
def test_a_paper_does_not_wait_for_what_hears_a_watch(tmp_path, modules, packages):
    # the ear's packages take longer to load than a paper to set
    kept = {**os.environ, "SIDESHAKE_DATA": str(tmp_path)}
    asked = LIGHT.format(modules=modules, packages=packages)
    ran = subprocess.run(
        [sys.executable, "-c", asked], env=kept, capture_output=True, text=True, check=False
    )
    assert ran.stdout == "[]\n", ran.stdout + ran.stderr


def test_while_a_paper_is_made_no_garbage_is_looked_for_and_afterwards_again():
    seen = []

    def refuse():
        seen.append(gc.isenabled())
        raise InputError("no paper")

    assert gc.isenabled()
    with pytest.raises(InputError), uncollected():
        refuse()
    assert seen == [False]
    assert gc.isenabled()


def test_the_records_are_up_to_date_when_every_migration_here_is_applied_and_no_other(db):
    # outside check: Django's own loader
    loader = MigrationLoader(connection)
    assert set(migrations_here()) == set(loader.disk_migrations)
    assert all_applied()
    recorder = MigrationRecorder(connection)
    recorder.record_applied("bench", "9999_of_tomorrow")
    assert not all_applied()
    with pytest.raises(InputError, match="newer Sideshake"):
        require_up_to_date()
    recorder.record_unapplied("bench", "9999_of_tomorrow")
    last = max(name for app, name in loader.disk_migrations if app == "bench")
    recorder.record_unapplied("bench", last)
    assert not all_applied()
    with pytest.raises(InputError, match="older Sideshake"):
        require_up_to_date()
