"""No page three quarters empty."""

from dataclasses import replace

import pytest

from sideshake.paper.balance import LEAST_FILLED, balanced_sheet, filled
from sideshake.paper.blocks import Document, Paper, Words
from sideshake.paper.typeset import pages
from tests.paper.conftest import DAY, HEAD


def document(lines: int, paper=Paper.A4) -> Document:
    blocks = tuple(Words(words=f"Line {number} of a long report.") for number in range(lines))
    return Document(title="A report", head=HEAD, day=DAY, cells=(), blocks=blocks, paper=paper)


def shares(sheet):
    return [filled(page) for page in pages(sheet, pixels_per_inch=12)]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("lines", [41, 44, 47, 90])
def test_the_last_page_is_filled_by_a_quarter_at_least(lines, paper):
    made = shares(balanced_sheet(document(lines, paper)))
    assert len(made) == 1 or min(made) >= LEAST_FILLED


def test_a_page_that_stands_alone_may_be_short():
    assert len(shares(balanced_sheet(document(2)))) == 1


def test_a_document_that_needs_no_air_is_set_as_usual():
    assert balanced_sheet(document(30)).said["air"] == 1.0


def test_the_whole_report_has_no_empty_page(told):
    from sideshake.paper.report import report

    for paper in Paper:
        made = shares(balanced_sheet(report(replace(told, paper=paper))))
        assert len(made) == 1 or min(made) >= LEAST_FILLED
