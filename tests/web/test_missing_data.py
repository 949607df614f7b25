"""Papers of records emptied at random: a clean gap, or a sentence why there is no paper."""

import re
from datetime import UTC, date, datetime, time
from decimal import Decimal

import pikepdf
import pytest
from django.core.cache import cache
from django.db import transaction
from hypothesis import HealthCheck, Phase, example, given, settings
from hypothesis import strategies as st
from pdf_words import words_of

from sideshake.core.errors import InputError
from sideshake.documents.blocks import (
    Caution,
    Document,
    Facts,
    Heading,
    Points,
    Story,
    Table,
    Words,
)
from sideshake.documents.invoice import invoice
from sideshake.documents.kinds import PaperKind
from sideshake.documents.proposal import proposal
from sideshake.documents.report import report
from sideshake.web.base.saving import save
from sideshake.web.documents.bills import bill_of
from sideshake.web.documents.proposals import offer_of
from sideshake.web.documents.registry.requests import PaperRequest, paper_of
from sideshake.web.documents.report import report_of
from sideshake.web.measuring.services import store
from sideshake.web.models import (
    Batch,
    Finding,
    Invoice,
    Item,
    Option,
    Outwork,
    Payment,
    PlanStep,
    Proposal,
    Reading,
    Used,
    Visit,
    the_workshop,
)
from sideshake.web.proposals.queries import proposal_by_edition
from sideshake.web.visits.queries import whole_visit

DAY = date(2026, 11, 25)
UNSAID = re.compile(r"\bNone\b(?! of it)|\(\)|\bnan\b")
"""What no paper says; "None of it" is an answer to a proposal."""
NUMBER = "2026-001"
LINES = [{"kind": "work", "text": "A jewel", "quantity": "1", "each": "238.00",
          "tax_percent": "19"}]  # fmt: skip


@pytest.fixture
def full(visit, colleague, shipped_sizes):
    """A visit with something for every part of every paper."""
    shop = the_workshop()
    shop.name, shop.address, shop.email = "Werkstatt Aldermoor", "Mill Lane 3", "a@example.org"
    shop.tax_number, shop.bank = "12/345", "Bank of Nowhere"
    shop.report_words, shop.proposal_words, shop.invoice_words = "Yours", "Write to us", "Thanks"
    save(shop, colleague)
    watch = visit.watch
    watch.story, watch.dial_name, watch.case_seen = "My aunt's watch", "Aldermoor", "steel"
    watch.dial_seen, watch.case_serial, watch.movement_serial = "silver", "88123", "4711"
    save(watch, colleague)
    visit.warranty_until, visit.next_service_on = date(2027, 3, 31), date(2030, 3, 31)
    visit.advice = "Wind it once a day."
    visit.date_change_from, visit.date_change_until = time(22, 10), time(0, 20)
    save(visit, colleague)
    save(Finding(visit=visit, title="Hole worn oval", detail="1.012 by 0.936 mm"), colleague)
    for after, rate, swing in ((False, -50.0, 208.0), (True, 6.2, 272.0)):
        save(Reading(visit=visit, position="CH", wound="full", after=after, state="heard",
                     sentence="heard", rate_s_per_day=rate, rate_u_s_per_day=0.2,
                     amplitude_deg=swing, amplitude_u_deg=1.5, beat_error_ms=0.4,
                     beat_error_u_ms=0.01, figures={"lift_angle": "50 ± 1", "clock": ""}),
             colleague)  # fmt: skip
    work(visit, colleague)
    money(visit, colleague)
    store(visit, shipped_sizes, colleague, seen={})
    return visit


def work(visit, colleague):
    for place, (kind, key, more) in enumerate((
        ("work", "let-down", {"how": "Slowly", "caution": "It cuts", "note": "done"}),
        ("test", "test-reserve", {"value": 46.2, "u": 0.15, "unit": "h", "result": "good"}),
        ("test", "test-pressure", {"result": "good", "note": "1 bar, dry"}),
    )):  # fmt: skip
        when = datetime(2026, 3, 20, 10, tzinfo=UTC)
        step = PlanStep(visit=visit, kind=kind, key=key, place=place, title=key, done_at=when)
        for name, value in more.items():
            setattr(step, name, value)
        save(step, colleague)
    item = Item(kind="jewel", name="Jewel 0.92")
    save(item, colleague)
    batch = Batch(item=item, received_on=date(2026, 3, 1), quantity=3, origin="made")
    save(batch, colleague)
    save(Used(visit=visit, batch=batch, on=date(2026, 3, 9), old_part="none", note="new"),
         colleague)  # fmt: skip
    save(Outwork(visit=visit, what="a jewel", jewel=True, hole_mm=0.92, outside_mm=1.5,
                 thickness_mm=0.6), colleague)  # fmt: skip


def money(visit, colleague):
    made = Proposal(visit=visit, edition=1, currency="EUR", made_on=date(2026, 3, 3), weeks=3,
                    intro="Thank you", why_changed="You asked", state="agreed",
                    expires_on=date(2026, 4, 3), deposit=Decimal("70"))  # fmt: skip
    save(made, colleague)
    save(Option(proposal=made, title="A jewel for the bridge", reason="It leans.", risk="It cracks",
                evidence="0.076", if_left="It stops", chosen=True, lines=LINES),
         colleague)  # fmt: skip
    save(Invoice(visit=visit, number="INV-2026-001", issued_on=date(2026, 3, 30), note="Note",
                 due_on=date(2026, 4, 13), currency="EUR", lines=LINES, tax_wording="No tax"),
         colleague)  # fmt: skip
    save(Payment(visit=visit, amount=Decimal("70"), currency="EUR", on=date(2026, 3, 5)), colleague)


TEXTS = {
    "workshop": ("address", "email", "tax_number", "bank", "report_words", "proposal_words",
                 "invoice_words", "warranty_wording"),
    "watch": ("calibre", "story", "dial_name", "case_seen", "dial_seen", "case_serial",
              "movement_serial"),
    "visit": ("advice",),
    "owner": ("email", "address", "country"),
    "finding": ("detail",),
    "option": ("reason", "risk", "evidence", "if_left"),
    "proposal": ("intro", "why_changed"),
    "invoice": ("note", "tax_wording"),
    "plan": ("how", "caution", "note", "result"),
    "used": ("note",),
    "reading": ("position", "wound"),
}  # fmt: skip
NULLS = {
    "visit": ("warranty_until", "next_service_on", "date_change_from", "date_change_until"),
    "proposal": ("weeks", "expires_on", "deposit"),
    "reading": ("rate_s_per_day", "rate_u_s_per_day", "amplitude_deg", "amplitude_u_deg",
                "beat_error_ms", "beat_error_u_ms"),
    "plan": ("value", "u", "done_at"),
    "outwork": ("hole_mm", "outside_mm", "thickness_mm"),
}  # fmt: skip
FIGURELESS = "no figures"
ROWS = ("findings", "readings", "measurements", "plan", "used", "outwork", "payments", "invoices",
        "proposals")  # fmt: skip
EMPTIED = st.sets(
    st.sampled_from(
        [*((table, name, "") for table, names in TEXTS.items() for name in names),
         *((table, name, None) for table, names in NULLS.items() for name in names),
         *((rows, "", None) for rows in ROWS),
         ("option", "lines", ()), ("reading", "figures", FIGURELESS)]
    ),
    min_size=1,
    max_size=8,
)  # fmt: skip


FIRSTS = {(): [], FIGURELESS: {}}


def rows_of(visit, table):
    """The rows of a visit that belong to a table of the records."""
    one = {"workshop": the_workshop(), "watch": visit.watch, "visit": visit,
           "owner": visit.watch.owner}  # fmt: skip
    if table in one:
        return type(one[table]).objects.filter(pk=one[table].pk)
    of_proposal = {"option": Option.objects.filter(proposal__visit=visit)}
    many = {"plan": visit.plan, "used": visit.used, "outwork": visit.outwork}
    if table in of_proposal:
        return of_proposal[table]
    return (many.get(table) or getattr(visit, f"{table}s")).all()


def empty(visit, wanted):
    for table, name, nothing in wanted:
        if name:
            rows_of(visit, table).update(**{name: FIRSTS.get(nothing, nothing)})
        else:
            getattr(visit, table).all().delete()
    cache.clear()


def faults_in(document: Document) -> list[str]:
    """What a reader would take for a form nobody filled in."""
    found = [f"cell {name}" for name, words in document.cells if not words.strip()]
    before = None
    for block in (*document.blocks, Heading(words="end", level=1)):
        if (
            isinstance(before, Heading)
            and isinstance(block, Heading)
            and block.level <= before.level
        ):
            found.append(f"nothing under {before.words}")
        found += faults_of(block)
        before = block
    return found


def faults_of(block) -> list[str]:
    match block:
        case Words() | Story() | Heading() | Caution():
            texts = [block.words]
        case Points():
            texts = list(block.items) or [""]
        case Facts():
            texts = [text for pair in block.pairs for text in pair] or [""]
        case Table():
            texts = ["".join(each for each in row[1:] if each != "–") for row in block.rows]
        case _:
            texts = ["picture"]
    return [f"{type(block).__name__} with {text!r}" for text in texts
            if not text.strip() or UNSAID.search(text)]  # fmt: skip


quickly = settings(
    max_examples=15,
    derandomize=True,
    database=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


@quickly
@given(wanted=EMPTIED)
@example(wanted={(rows, "", None) for rows in ROWS})
@example(wanted={("plan", "done_at", None)})
@example(wanted={("plan", "done_at", None), ("plan", "result", "")})
@example(wanted={("reading", name, None) for name in NULLS["reading"]})
def test_what_is_missing_leaves_no_empty_table(full, wanted):
    with transaction.atomic():
        empty(full, wanted)
        visit = whole_visit(NUMBER)
        documents = [report(report_of(visit, day=DAY))]
        if visit.proposals.all():
            documents.append(proposal(offer_of(proposal_by_edition(NUMBER, 1))))
        documents += [invoice(bill_of(each)) for each in visit.invoices.all()]
        assert [fault for document in documents for fault in faults_in(document)] == []
        transaction.set_rollback(True)
    cache.clear()


@quickly
@given(wanted=EMPTIED, kind=st.sampled_from(PaperKind))
@example(wanted={(rows, "", None) for rows in ROWS}, kind=PaperKind.BENCH_SHEET)
def test_every_paper_is_made_or_it_is_said_why_not(full, wanted, kind):
    with transaction.atomic():
        empty(full, wanted)
        try:
            made = paper_of(PaperRequest(kind=kind, visit=NUMBER, address="http://here/"), day=DAY)
        except InputError as why:
            said = str(why)
        else:
            page = kind is PaperKind.REPORT_PAGE
            said = made.data.decode() if page else words_of(made.data)
        assert said.strip()
        assert UNSAID.search(said) is None
        transaction.set_rollback(True)
    cache.clear()


@pytest.mark.parametrize("kind", list(PaperKind))
def test_the_same_records_give_the_same_bytes(full, kind):
    wanted = PaperRequest(kind=kind, visit=NUMBER, address="http://here/")
    first, second = (paper_of(wanted, day=DAY).data for _ in range(2))
    assert first == second


@pytest.mark.parametrize("kind", [each for each in PaperKind if each.ending == "pdf"])
def test_every_paper_of_a_visit_says_it_is_pdf_a_3a(full, kind, tmp_path):
    # ISO 19005-3, 6.6.4: part 3, conformance A, in the metadata; tagged, with a language
    path = tmp_path / "paper.pdf"
    made = paper_of(PaperRequest(kind=kind, visit=NUMBER, address="http://here/"), day=DAY)
    path.write_bytes(made.data)
    with pikepdf.open(path) as found, found.open_metadata() as told:
        assert (told["pdfaid:part"], told["pdfaid:conformance"]) == ("3", "A")
        assert found.Root.MarkInfo.Marked
        assert found.Root.Lang == "en"


def test_a_visit_can_be_emptied(full):
    empty(full, {("findings", "", None), ("watch", "story", "")})
    assert not Visit.objects.get().findings.exists()
    assert report_of(whole_visit(NUMBER), day=DAY).story == ""
