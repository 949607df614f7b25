"""No page three quarters empty: a document is set with as much air as fills its pages best."""

from collections.abc import Sequence

from sideshake.paper.blocks import Document, Paper
from sideshake.paper.document import document_sheet
from sideshake.paper.typeset import Mark, Sheet, marks

AIR = (1.0, 0.85, 0.7, 0.55, 1.25, 1.5, 1.8, 2.2)
"""Sizes of photographs and gaps, as shares of the usual ones, in the order they are tried."""
LEAST_FILLED = 0.25
TOP_MM, FOOT_MM = 18.0, 22.0
"""The margins of document.typ."""
HIGH_MM = {Paper.A4: 297.0, Paper.US_LETTER: 279.4}


def balanced_sheet(document: Document) -> Sheet:
    """Return the document ready for setting, so that no page of several is nearly empty.

    Where no amount of air helps it is set as usual.
    """
    for air in AIR:
        sheet = document_sheet(document, air=air)
        shares = filled(marks(sheet), document.paper)
        if len(shares) == 1 or min(shares) >= LEAST_FILLED:
            return sheet
    return document_sheet(document)


def filled(found: Sequence[Mark], paper: Paper) -> list[float]:
    """Return which share of each page's height is used, from its top to the last thing on it.

    Parameters
    ----------
    found : where words and pictures begin and end, in turn; what ends on a later page than it
        began on fills the pages before that one
    """
    body_mm = HIGH_MM[paper] - TOP_MM - FOOT_MM
    last = max((each.page for each in found), default=1)
    shares = [0.0] * last
    for begin, end in zip(found[::2], found[1::2], strict=True):
        for page in range(begin.page, end.page):
            shares[page - 1] = 1.0
        shares[end.page - 1] = max(shares[end.page - 1], (end.down_mm - TOP_MM) / body_mm)
    return shares
