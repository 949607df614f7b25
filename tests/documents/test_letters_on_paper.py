"""Every letter on every paper, read from the PDF: 8 pt high at least, and dark enough."""

import io
from dataclasses import replace

import pytest

from sideshake.documents.balance import balanced_sheet
from sideshake.documents.bench_sheet import bench_sheet
from sideshake.documents.blocks import Paper
from sideshake.documents.care_card import CareCardSize, card_sheet, care_card
from sideshake.documents.invoice import invoice
from sideshake.documents.jewel_order import jewel_order_sheet
from sideshake.documents.labels import PLACES, Label, label_sheet
from sideshake.documents.proposal import proposal
from sideshake.documents.report import report
from sideshake.documents.typeset import Sheet, pdf
from sideshake.drawings.jewel_sheet import OrderDrawing, OrderLine
from sideshake.drawings.svg import PAPER
from sideshake.fit.jewel import Part
from sideshake.movement.sheet_file import sheet_at
from tests.documents.conftest import DAY
from tests.documents.test_eight_points import luminance
from tests.pdf_letters import letters_on

LEAST_PT, ROUNDING_PT = 8.0, 0.03
LEAST_CONTRAST = 4.5
LABEL = Label(visit="2026-014", watch="Watch", what="bridge", address="http://127.0.0.1/v/1/")


@pytest.fixture
def papers(told, offer, bill, bench, order, card):
    days = care_card(sheet_at("tolvane-26"), watch="Day and date", workshop="Workshop")
    cards = [(kept, size) for kept in (card, days) for size in CareCardSize]
    made = {f"card {n}": card_sheet(replace(kept, size=size), day=DAY)
            for n, (kept, size) in enumerate(cards)}  # fmt: skip
    for paper in Paper:
        made |= {
            f"report {paper}": balanced_sheet(report(replace(told, paper=paper))),
            f"proposal {paper}": balanced_sheet(proposal(replace(offer, paper=paper))),
            f"invoice {paper}": balanced_sheet(invoice(replace(bill, paper=paper))),
            f"bench sheet {paper}": bench_sheet(replace(bench, paper=paper)),
            f"order {paper}": jewel_order_sheet(order, day=DAY, paper=paper),
            f"labels {paper}": label_sheet((LABEL,), day=DAY, paper=paper),
        }
    return made


def contrast(fill: tuple) -> float:
    """Return how a colour stands out from our paper (WCAG 2.2), which is darker than white."""
    rgb = fill if len(fill) == 3 else fill * 3
    dark = luminance("#" + "".join(f"{round(each * 255):02x}" for each in rgb))
    return (luminance(PAPER) + 0.05) / (dark + 0.05)


def test_every_letter_on_every_paper_is_8_pt_high_and_can_be_read(papers):
    for name, sheet in papers.items():
        found = letters_on(pdf(sheet))
        assert sum(each.count for each in found) > 20, name
        assert min(each.high_pt for each in found) >= LEAST_PT - ROUNDING_PT, name
        assert min(contrast(each.fill) for each in found) >= LEAST_CONTRAST, name


SMALL = '#set text(size: {size}, fill: rgb("{fill}"))\nWords to be read, and enough of them.'


@pytest.mark.parametrize(("size", "fill"), [("7.9pt", "#1f2f4a"), ("9pt", "#b9ae97")])
def test_the_check_finds_small_and_pale_letters(size, fill, tmp_path):
    import typst

    (tmp_path / "main.typ").write_text(SMALL.format(size=size, fill=fill))
    found = letters_on(bytes(typst.compile(tmp_path / "main.typ", format="pdf")))
    small = min(each.high_pt for each in found) < LEAST_PT - ROUNDING_PT
    pale = min(contrast(each.fill) for each in found) < LEAST_CONTRAST
    assert (small, pale) == (size == "7.9pt", fill == "#b9ae97")


@pytest.mark.parametrize("share", [0.5, 1.0])
def test_the_check_reads_letters_of_a_drawing_as_high_as_they_are_printed(share, tmp_path):
    import typst

    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="20mm" '
        'viewBox="0 0 100 20"><text x="2" y="12" font-size="5" '
        'font-family="Libertinus Serif">Read</text></svg>'
    )
    (tmp_path / "a.svg").write_text(svg)
    (tmp_path / "main.typ").write_text(f'#image("a.svg", width: {100 * share}mm)')
    found = letters_on(bytes(typst.compile(tmp_path / "main.typ", format="pdf")))
    assert found[0].high_pt == pytest.approx(5 * share * 72 / 25.4, rel=0.01)


# The sheets as they are sold: rows from the top, columns from the left (mm)
GRIDS = {
    Paper.A4: (297.0, 3, (0.0, 70.0, 140.0), 4.5, 36.0, 70.0),
    Paper.US_LETTER: (279.4, 2, (3.97, 3.97 + 101.6 + 4.76), 12.7, 50.8, 101.6),
}


@pytest.mark.parametrize("paper", list(Paper))
def test_labels_begin_at_any_place_of_a_sheet_begun(paper):
    """Where the words are on the PDF, against the places of the sheet; the rest stays empty."""
    high, columns, lefts, top, tall, wide = GRIDS[paper]
    for first in range(1, PLACES[paper] + 1):
        sheet: Sheet = label_sheet((LABEL,) * 2, day=DAY, paper=paper, first=first)
        places = set()
        for each in letters_on(pdf(sheet)):
            left, foot = each.at_mm
            column = max(n for n, start in enumerate(lefts) if start <= left)
            assert left <= lefts[column] + wide
            row = int((high - top - foot) // tall)
            places.add((each.page - 1) * PLACES[paper] + row * columns + column + 1)
        assert places == {first, first + 1}, first


def test_sizes_stand_in_one_order_on_the_whole_order():
    """Hole, outside, thickness; three sizes that no other order could give."""
    from itertools import permutations

    from pypdf import PdfReader

    part = Part(outside_mm=2.0, hole_mm=0.92, thickness_mm=0.6)
    line = OrderLine(part=part, quantity=2, reference="2026-014")
    order = OrderDrawing(workshop="W", number="J-3", date="25 November 2026", lines=(line,))
    data = pdf(jewel_order_sheet(order, day=DAY))
    text = " ".join(p.extract_text() for p in PdfReader(io.BytesIO(data)).pages)
    text = "".join(text.split())
    found = [each for each in permutations(("0.920", "2.000", "0.600")) if "×".join(each) in text]
    assert found == [("0.920", "2.000", "0.600")]
    assert text.count("0.920×2.000×0.600") >= 2
    assert text.index("Hole,mm") < text.index("Outside,mm") < text.index("Thickness,mm")
