"""No page half empty, and no row of a table left alone on one."""

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from sideshake.core.errors import InputError
from sideshake.documents.balance import (
    AIR,
    LEAST_FILLED,
    LEAST_LAST,
    balanced_sheet,
    filled,
    lacking,
)
from sideshake.documents.blocks import (
    Beside,
    Document,
    Facts,
    Figures,
    Paper,
    Picture,
    Points,
    Story,
    Table,
    Words,
)
from sideshake.documents.document import document_sheet
from sideshake.documents.proposal import MOST_BESIDE, option_blocks, proposal
from sideshake.documents.typeset import marks, pages, pdf
from sideshake.documents.withdrawal import Withdrawal
from tests.documents.conftest import DAY, HEAD

COARSE, MM_PER_INCH = 12.0, 25.4
TOP_MM, FOOT_MM = 18.0, 22.0
INK = 235
"""Darker than this grey there is something on the paper."""


def document(lines: int, paper=Paper.A4) -> Document:
    blocks = tuple(Words(words=f"Line {number} of a long report.") for number in range(lines))
    return Document(title="A report", head=HEAD, day=DAY, cells=(), blocks=blocks, paper=paper)


def shares(sheet):
    """Return how far each page is used, looked at as a picture."""
    return [inked(page) for page in pages(sheet, pixels_per_inch=COARSE)]


def inked(page: bytes) -> float:
    grey = np.asarray(Image.open(io.BytesIO(page)).convert("L"))
    top, foot = (round(each / MM_PER_INCH * COARSE) for each in (TOP_MM, FOOT_MM))
    body = grey[top : grey.shape[0] - foot]
    rows = np.flatnonzero((body < INK).any(axis=1))
    return float(rows[-1] + 1) / body.shape[0] if rows.size else 0.0


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("lines", [41, 44, 47, 90])
def test_the_last_page_is_filled_by_a_quarter_at_least(lines, paper):
    made = shares(balanced_sheet(document(lines, paper)))
    assert len(made) == 1 or made[-1] >= LEAST_LAST


def tall(count: int, high_mm: float, paper=Paper.A4) -> Document:
    """A document of drawings, each so high: what does not fit goes to the next page."""
    drawing = f'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="{high_mm}mm"/>'
    rows = tuple(
        Figures(pictures=(Picture(name=f"{n}.svg", data=drawing.encode(), alt="a drawing"),),
                height_mm=high_mm) for n in range(count)
    )  # fmt: skip
    return Document(title="T", head=HEAD, day=DAY, cells=(), blocks=rows, paper=paper)


@pytest.mark.parametrize(
    ("paper", "high_mm"), [(Paper.A4, 125.0), (Paper.US_LETTER, 110.0), (Paper.US_LETTER, 125.0)]
)
def test_every_page_but_the_last_is_filled_by_two_thirds(paper, high_mm):
    told = tall(5, high_mm, paper)
    usual = filled(marks(document_sheet(told)), paper)
    made = filled(marks(balanced_sheet(told)), paper)
    assert lacking(usual) > 0
    assert min(made[:-1]) >= LEAST_FILLED
    assert made[-1] >= LEAST_LAST


def test_where_no_air_fills_the_pages_the_fullest_counts():
    told = tall(3, 150.0)
    made = balanced_sheet(told)
    best = lacking(filled(marks(made), Paper.A4))
    assert best > 0
    assert best == min(
        lacking(filled(marks(document_sheet(told, air=air)), Paper.A4)) for air in AIR
    )


ROWS = tuple((f"row {number}", "1") for number in range(12))


@pytest.mark.parametrize("before", range(30, 50))
def test_a_table_leaves_three_rows_at_least_on_each_page(before):
    lines = tuple(Words(words="A line.") for _ in range(before))
    table = Table(columns=("What", "Sum"), rows=ROWS, numbers=(1,), groups=(2,) * 6)
    told = Document(title="T", head=HEAD, day=DAY, cells=(), blocks=(*lines, table))
    reader = PdfReader(io.BytesIO(pdf(document_sheet(told))))
    rows = [page.extract_text().count("row ") for page in reader.pages]
    assert sum(rows) == len(ROWS)
    parts = [each for each in rows if each]
    assert all(each % 2 == 0 and each >= 3 for each in parts)


def test_rows_must_fall_into_their_groups():
    with pytest.raises(InputError, match="12 rows do not fall into groups"):
        Table(columns=("What", "Sum"), rows=ROWS, groups=(2, 2))
    assert Table(columns=("What", "Sum"), rows=ROWS[:8], groups=(4, 4)).held == (8,)
    assert Table(columns=("What", "Sum"), rows=ROWS, sums=4).held == (3, 1, 1, 1, 1, 5)
    assert Table(columns=("What", "Sum"), rows=ROWS, sums=12).held == (12,)


def test_a_page_that_stands_alone_may_be_short():
    assert len(shares(balanced_sheet(document(2)))) == 1


def test_a_document_that_needs_no_air_is_set_as_usual():
    assert balanced_sheet(document(30)).said["air"] == 1.0


def test_the_whole_report_has_no_empty_page(told):
    from sideshake.documents.report import report

    for paper in Paper:
        made = shares(balanced_sheet(report(replace(told, paper=paper))))
        assert min(made[:-1]) >= LEAST_FILLED
        assert made[-1] >= LEAST_LAST


WORDS = "A sentence that is said again and again, until the paragraph is longer than a page. "
LONG = {
    "one paragraph": (Words(words=WORDS * 90),),
    "one story": (Words(words="Before."), Story(words=WORDS * 70)),
    "a list": (Points(items=tuple(WORDS for _ in range(90)), ticked=True),),
    "facts": (Facts(pairs=tuple((f"Fact {n}", WORDS) for n in range(90))),),
    "a table": (Table(columns=("What", "Sum"), rows=(("work", "1"),) * 110, numbers=(1,), sums=1),),
}


@pytest.mark.parametrize("name", LONG)
def test_pages_are_as_full_by_their_marks_as_they_look(name):
    """What is read of the layout against the pages as pictures; a row of pixels is 2 mm."""
    sheet = document_sheet(Document(title="T", head=HEAD, day=DAY, cells=(), blocks=LONG[name]))
    looked = shares(sheet)
    assert len(looked) > 1
    assert filled(marks(sheet), Paper.A4) == pytest.approx(looked, abs=0.05)


def test_the_report_s_pages_are_as_full_by_their_marks_as_they_look(told):
    from sideshake.documents.report import report

    for paper in Paper:
        for air in (0.7, 1.0, 1.8):
            sheet = document_sheet(report(replace(told, paper=paper)), air=air)
            assert filled(marks(sheet), paper) == pytest.approx(shares(sheet), abs=0.05)


def letter(offer, *, options=1, paper=Paper.A4, **more):
    """A proposal of so many options, set as it is printed."""
    return balanced_sheet(
        proposal(replace(offer, options=offer.options[:1] * options, paper=paper, **more))
    )


@pytest.mark.parametrize("paper", list(Paper))
def test_a_photograph_does_not_push_the_sums_to_another_page(offer, paper):
    """A photograph of an option as large as a page is wide; with it the letter has no page more."""
    wide = io.BytesIO()
    Image.new("RGB", (800, 600), "#997744").save(wide, "JPEG")
    shot = Picture(name="hole.jpg", data=wide.getvalue(), alt="the hole")
    bare = replace(offer.options[0], pictures=(), instead_of=None)
    two = (bare, replace(bare, pictures=(shot,)))
    agreed = replace(offer, agreed=True, rights="", options=two, paper=paper)
    tight = proposal(agreed)
    loose = balanced_sheet(replace(tight, tight=False))
    assert len(shares(balanced_sheet(tight))) <= len(shares(loose))
    assert len(shares(balanced_sheet(tight))) == len(shares(document_sheet(tight, air=0.7)))


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("options", range(1, 9))
def test_boxes_to_tick_and_lines_to_sign_on_stand_on_one_page(offer, options, paper):
    made = PdfReader(io.BytesIO(pdf(letter(offer, options=options, paper=paper))))
    pages = [page.extract_text() for page in made.pages]
    (page,) = [page for page in pages if "Your answer" in page]
    assert "None of it: please send the watch back" in page
    assert page.rstrip().count("Signature") == 1


def test_more_boxes_than_a_page_holds_are_not_forced_onto_one(offer):
    """Sixty options: nothing may fall off the foot of the page."""
    made = PdfReader(io.BytesIO(pdf(letter(offer, options=60))))
    words = " ".join(page.extract_text() for page in made.pages)
    assert words.count("Signature") == 1
    assert f"60. {offer.options[0].title}" in words


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("options", range(1, 7))
def test_the_form_of_withdrawal_stands_whole_on_one_page_and_empties_none(offer, options, paper):
    contract = Withdrawal(work="work on a watch", reference="proposal 2026-001, version 1")
    sheet = letter(offer, options=options, paper=paper, withdrawal=contract)
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(pdf(sheet))).pages]
    (page,) = [page for page in pages if "Form of withdrawal" in page]
    assert "Strike out what does not apply" in page
    assert all(each >= 0.5 for each in shares(sheet)[:-1])
    assert shares(sheet)[-1] >= 0.25


def jpeg(wide: int, high: int) -> Picture:
    made = io.BytesIO()
    Image.new("RGB", (wide, high), "#997744").save(made, "JPEG")
    return Picture(name=f"{wide}-{high}.jpg", data=made.getvalue(), alt="the hole")


@pytest.mark.parametrize(("told", "beside"), [
    ({"pictures": (jpeg(40, 30),)}, True),
    ({"pictures": (jpeg(30, 40),)}, True),
    ({"pictures": ()}, False),
    ({"pictures": (jpeg(40, 30), jpeg(30, 40))}, False),
    ({"pictures": (jpeg(40, 30),), "evidence": "worn " * MOST_BESIDE}, False),
    ({"pictures": (jpeg(40, 30),), "reason": "", "evidence": "", "risk": "", "if_left": ""}, False),
])  # fmt: skip
def test_one_photograph_stands_beside_few_words_and_below_many(offer, told, beside):
    option = replace(offer.options[0], **told)
    blocks = list(option_blocks(1, option))
    assert any(isinstance(each, Beside) for each in blocks) == beside
    below = bool(told["pictures"]) and not beside
    assert any(isinstance(each, Figures) for each in blocks) == below
    made = proposal(replace(offer, options=(option,)))
    assert {each.name for each in told["pictures"]} <= {each.name for each in made.pictures}
    assert max(shares(balanced_sheet(made))) <= 1.0
