"""Setting: the same bytes again, PDF/A, and pages that look as approved."""

import io
import time
from dataclasses import replace
from pathlib import Path

import pikepdf
import pytest
from PIL import Image, ImageChops, ImageDraw, ImageStat
from pypdf import PdfReader

from sideshake.documents.balance import balanced_sheet
from sideshake.documents.bench_sheet import bench_sheet
from sideshake.documents.blocks import Paper, Picture
from sideshake.documents.care_card import card_sheet
from sideshake.documents.document import document_sheet
from sideshake.documents.facturx import with_marks
from sideshake.documents.invoice import invoice
from sideshake.documents.jewel_order import jewel_order_sheet
from sideshake.documents.labels import Label, label_sheet
from sideshake.documents.proposal import proposal
from sideshake.documents.report import report
from sideshake.documents.typeset import pages, pdf
from sideshake.documents.withdrawal import Withdrawal
from tests.documents.conftest import HEAD
from tests.pdf_structure import faults

APPROVED = Path(__file__).parent / "approved"
PIXELS_PER_INCH = 36.0
LARGEST_MEAN_DIFFERENCE = 0.2
"""Grey levels of 255 over the page: another release of Typst may move a letter, not a block."""


CONTRACT = Withdrawal(work="work on a watch", reference="proposal 2026-014, version 1")


@pytest.fixture
def sheets(told, offer, bill, bench, order, card):
    day = told.day
    letter = replace(told, paper=Paper.US_LETTER, head=replace(HEAD, logo=logo()))
    label = Label(visit="2026-014", watch="Watch", what="bridge", address="http://127.0.0.1/v/1/")
    return {
        "report": balanced_sheet(report(told)),
        "proposal": document_sheet(proposal(offer)),
        "withdrawal": document_sheet(proposal(replace(offer, withdrawal=CONTRACT))),
        "invoice": document_sheet(invoice(bill)),
        "bench-sheet": bench_sheet(bench),
        "jewel-order": jewel_order_sheet(order, day=day),
        "care-card": card_sheet(card, day=day),
        "labels": label_sheet((label,), day=day),
        "letter-report": balanced_sheet(report(letter)),
        "letter-order": jewel_order_sheet(order, day=day, head=letter.head, paper=letter.paper),
        "letter-labels": label_sheet((label,) * 3, day=day, paper=letter.paper),
    }


def logo() -> Picture:
    """A mark on a transparent ground."""
    image = Image.new("RGBA", (600, 240), (0, 0, 0, 0))
    ImageDraw.Draw(image).ellipse((10, 10, 230, 230), outline="#7a5515", width=20)
    ImageDraw.Draw(image).rectangle((280, 90, 590, 150), fill="#1f2f4a")
    written = io.BytesIO()
    image.save(written, "PNG")
    return Picture(name="logo.png", data=written.getvalue(), alt=HEAD.name)


KINDS = (
    "report", "proposal", "invoice", "bench-sheet", "jewel-order", "care-card", "labels",
    "letter-report", "letter-order", "letter-labels", "withdrawal",
)  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_input_gives_the_same_bytes(sheets, kind):
    assert pdf(sheets[kind]) == pdf(sheets[kind])


@pytest.mark.parametrize("kind", KINDS)
def test_every_paper_is_built_as_pdf_a_3a_and_pdf_ua_1_ask(sheets, kind):
    assert faults(pdf(sheets[kind]), invoice=kind == "invoice") == []


# the checker itself: each thing taken away must be found
@pytest.mark.parametrize(
    ("spoil", "clause"),
    [
        (lambda found: found.Root.MarkInfo.update({"/Marked": False}), "7.1: not marked"),
        (lambda found: delete(found.Root, "/Lang"), "7.2: no language"),
        (lambda found: delete(found.Root, "/AF"), "6.2: the file is not there"),
        (lambda found: delete(found.Root, "/OutputIntents"), "6.2.3: no output intent"),
        (lambda found: delete(found.Root, "/StructTreeRoot"), "7.1: no structure"),
    ],
)
def test_the_check_of_structure_finds_what_is_missing(sheets, spoil, clause):
    written = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf(sheets["invoice"]))) as found:
        spoil(found)
        found.save(written)
    assert any(clause in each for each in faults(written.getvalue(), invoice=True))


def delete(dictionary, key):
    del dictionary[key]


def test_the_data_inside_come_out_as_they_went_in(sheets):
    with pikepdf.open(io.BytesIO(pdf(sheets["invoice"]))) as found:
        inside = bytes(found.attachments["factur-x.xml"].get_file().read_bytes())
        assert found.check_pdf_syntax() == []  # every address in the table is right
    assert inside == sheets["invoice"].invoice_data


def test_a_pdf_that_is_not_typsts_is_not_marked():
    with pytest.raises(ValueError, match="no plain metadata"):
        with_marks(b"%PDF-1.7\nnothing")


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind.startswith("letter")])
def test_every_page_of_us_letter_is_8_5_by_11_inches(sheets, kind):
    # ANSI/ASME Y14.1, size A; 72 points to the inch
    for page in PdfReader(io.BytesIO(pdf(sheets[kind]))).pages:
        sides = sorted((float(page.mediabox.width), float(page.mediabox.height)))
        assert sides == pytest.approx((612, 792), abs=0.1)


@pytest.mark.parametrize("kind", KINDS)
def test_pages_look_as_they_were_approved(sheets, kind):
    made = pages(sheets[kind], pixels_per_inch=PIXELS_PER_INCH)
    approved = sorted(APPROVED.glob(f"{kind}-[0-9].png"))
    assert len(made) == len(approved)
    for data, path in zip(made, approved, strict=True):
        difference = ImageChops.difference(grey(data), grey(path.read_bytes()))
        assert ImageStat.Stat(difference).mean[0] < LARGEST_MEAN_DIFFERENCE


def grey(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data)).convert("L")


def test_a_report_is_set_well_under_two_seconds(sheets):
    start = time.process_time()
    pdf(sheets["report"])
    assert time.process_time() - start < 2.0
