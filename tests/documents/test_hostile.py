"""Names and words of any kind, on every paper and both sizes: literal, whole, inside the margins.

Pages are drawn as pictures; a strip along all four edges must stay empty, so nothing is cut off.
"""

import io
import re
from dataclasses import replace
from datetime import date

import pytest
from PIL import Image
from pypdf import PdfReader

from sideshake.documents.bench_sheet import SheetJob, bench_sheet
from sideshake.documents.blocks import Letterhead, Paper, Picture
from sideshake.documents.care_card import CareCardSize, card_sheet
from sideshake.documents.document import document_sheet
from sideshake.documents.invoice import BillLine, invoice
from sideshake.documents.jewel_order import jewel_order_sheet
from sideshake.documents.labels import Label, label_sheet
from sideshake.documents.proposal import PricedLine, proposal
from sideshake.documents.report import ReportFinding, report
from sideshake.documents.typeset import Sheet, pages, pdf
from sideshake.drawings.jewel_sheet import OrderLine

DAY = date(2026, 11, 25)
MARKED = 'O\'Nasty #let x = $y$ <b>"q"</b> \\end @ref *no* _no_ // `c` %%d &amp;'
LONG = "Gehäuse" * 57
WIDE = "W" * 120
ARABIC = "محمد بن علي صاحب الساعة القديمة"
ASIAN = "李明 😀"
TEXTS = {"marked": MARKED, "long": LONG, "wide": WIDE, "arabic": ARABIC, "asian": ASIAN}
PIXELS_PER_INCH = 40.0
EMPTY_MM = 4.0
"""Our papers keep 12 mm and more; printers leave about 4 mm white (common practice, no source)."""
LIGHT = 250


def logo(width: int, height: int) -> Picture:
    stream = io.BytesIO()
    Image.new("RGB", (width, height), "#7a5515").save(stream, "PNG")
    return Picture(name="logo.png", data=stream.getvalue(), alt="logo")


def head(words: str) -> Letterhead:
    return Letterhead(
        name=words[:120],
        address=f"{words}\n{words}",
        phone=words[:40],
        email=f"{'x' * 60}@example.org",
        website=words[:120],
        tax_number=words[:40],
        bank=words,
        logo=logo(1000, 40),
    )


def report_with(words, paper, told, **_others) -> Sheet:
    finding = ReportFinding(title=words, detail=words, pictures=told.findings[0].pictures)
    made = replace(
        told, head=head(words), paper=paper, owner=words, watch=words, story=words, words=words,
        findings=(finding,), look_after=(words,), warranty=words, seen=((words[:12], words),),
    )  # fmt: skip
    return document_sheet(report(made))


def proposal_with(words, paper, offer, **_others) -> Sheet:
    line = PricedLine(what=words, quantity="1234567.25", each="1 234 567,00 CHF", sum="9 999 CHF")
    option = replace(
        offer.options[0], title=words, reason=words, evidence=words, risk=words, lines=(line,)
    )
    made = replace(
        offer, head=head(words), paper=paper, watch=words, to=f"{words}\n{words}", intro=words,
        options=(option,), how_to_answer=words, total=((words, "€1.00"),),
    )  # fmt: skip
    return document_sheet(proposal(made))


def invoice_with(words, paper, bill, offer) -> Sheet:
    line = BillLine(
        what=words, quantity="2", each="€80.00", tax="19 %", net="€160.00", gross="€190.40"
    )
    made = replace(
        bill, head=head(words), paper=paper, watch=words, to=words, lines=(line,), note=words,
        words=words, reasons=(words,), rights=words,
    )  # fmt: skip
    return document_sheet(invoice(made))


def order_with(words, paper, order, **_others) -> Sheet:
    line = OrderLine(part=order.lines[0].part, quantity=2, reference=words[:40], name=words)
    made = replace(
        order, workshop=words, to=words, phone=words[:40], call=words, deliver=words,
        packing=words, number=words[:20], lines=(line,),
    )  # fmt: skip
    return jewel_order_sheet(made, day=DAY, head=head(words), paper=paper)


def bench_with(words, paper, bench) -> Sheet:
    jobs = tuple(SheetJob(title=words[:160], how=words, caution=words) for _each in range(2))
    named = replace(head(words), name=words[:60])  # its foot has room for so much in one line
    return bench_sheet(replace(bench, head=named, paper=paper, watch=words[:120], jobs=jobs))


def labels_with(words, paper) -> Sheet:
    label = Label(visit="2026-014", watch=words, what=words, address="http://192.168.1.2/visits/1/")
    return label_sheet((label,) * 3, day=DAY, paper=paper)


@pytest.fixture
def made(told, offer, bill, bench, order):
    def one(kind: str, words: str, paper: Paper) -> Sheet:
        match kind:
            case "report":
                return report_with(words, paper, told)
            case "proposal":
                return proposal_with(words, paper, offer)
            case "invoice":
                return invoice_with(words, paper, bill, offer)
            case "jewel-order":
                return order_with(words, paper, order)
            case "bench-sheet":
                return bench_with(words, paper, bench)
            case _:
                return labels_with(words, paper)

    return one


KINDS = ("report", "proposal", "invoice", "jewel-order", "bench-sheet", "labels")


def edges(page: bytes, empty_mm: float = EMPTY_MM) -> list[Image.Image]:
    """Return the strips along the four edges of a page."""
    picture = Image.open(io.BytesIO(page)).convert("L")
    wide, high = picture.size
    strip = round(empty_mm / 25.4 * PIXELS_PER_INCH)
    boxes = (
        (0, 0, strip, high), (wide - strip, 0, wide, high),
        (0, 0, wide, strip), (0, high - strip, wide, high),
    )  # fmt: skip
    return [picture.crop(box) for box in boxes]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "jewel-order"])
@pytest.mark.parametrize("words", TEXTS.values(), ids=TEXTS)
def test_nothing_runs_into_the_edge_of_the_paper(made, kind, words, paper):
    for page in pages(made(kind, words, paper), pixels_per_inch=PIXELS_PER_INCH):
        for strip in edges(page):
            assert strip.getextrema()[0] >= LIGHT


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("words", TEXTS.values(), ids=TEXTS)
def test_the_jewel_order_stays_inside_its_frame_and_its_margins(made, words, paper):
    # a drawing has its own ground; between its frame and the edge that ground alone is seen
    for page in pages(made("jewel-order", words, paper), pixels_per_inch=PIXELS_PER_INCH):
        for strip in edges(page):
            low, high = strip.getextrema()
            assert high - low < 12


@pytest.mark.parametrize("size", list(CareCardSize))
@pytest.mark.parametrize("words", TEXTS.values(), ids=TEXTS)
def test_a_name_stays_on_its_care_card(card, words, size):
    named = replace(card, watch=words[:60], workshop=words[:60], size=size)
    for page in pages(card_sheet(named, day=DAY), pixels_per_inch=80.0):
        for strip in edges(page, 2.5):
            low, high = strip.getextrema()
            assert high - low < 12


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "labels"])
def test_marks_of_any_language_are_printed_as_they_are(made, kind, paper):
    data = pdf(made(kind, MARKED, paper))
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    bare = re.sub(r"\s|’|'|\u00ad", "", text)
    assert re.sub(r"\s|'", "", MARKED) in bare


@pytest.mark.parametrize("paper", list(Paper))
def test_every_letter_of_a_word_longer_than_the_page_is_there(made, paper):
    data = pdf(made("report", LONG, paper))
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    assert LONG in re.sub(r"\s", "", text)


@pytest.mark.parametrize("kind", KINDS)
def test_a_hostile_paper_is_the_same_bytes_again(made, kind):
    sheet = made(kind, f"{MARKED} {ARABIC} {ASIAN}", Paper.US_LETTER)
    assert pdf(sheet) == pdf(sheet)
