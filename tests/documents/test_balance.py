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
from sideshake.documents.typeset import marks, pages, pdf
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
