"""No page half empty: a document is set with as much air as fills its pages best."""

from collections.abc import Sequence
from math import inf

from sideshake.documents.blocks import Document, Paper
from sideshake.documents.document import document_sheet
from sideshake.documents.typeset import PageMark, Sheet, marks

AIR = (1.0, 0.92, 1.1, 0.85, 0.78, 1.25, 0.7, 0.62, 1.5, 1.8, 2.2)
"""Sizes of photographs and gaps, as shares of the usual ones, in the order they are tried."""
LEAST_FILLED, LEAST_LAST = 2 / 3, 0.25
"""So full is every page but the last at least, and the last where there are several."""
TOP_MM, FOOT_MM = 18.0, 22.0
"""The margins of document.typ."""
HIGH_MM = {Paper.A4: 297.0, Paper.US_LETTER: 279.4}


def balanced_sheet(document: Document) -> Sheet:
    """Return the document ready for setting, so that its pages are as full as they can be.

    Where no amount of air fills them all, the one that leaves least out counts, the usual first.
    """
    best, least_lack = document_sheet(document), inf
    for air in AIR:
        sheet = document_sheet(document, air=air)
        lack = lacking(filled(marks(sheet), document.paper))
        if lack < least_lack:
            best, least_lack = sheet, lack
        if not lack:
            break
    return best


def lacking(shares: Sequence[float]) -> float:
    """Return by how much the emptiest pages are too empty; a page that stands alone may be short.

    >>> lacking([0.4]), lacking([0.9, 0.3]), round(lacking([0.5, 0.9, 0.2]), 3)
    (0.0, 0.0, 0.217)
    """
    *others, last = shares
    if not others:
        return 0.0
    return max(0.0, LEAST_FILLED - min(others)) + max(0.0, LEAST_LAST - last)


def filled(found: Sequence[PageMark], paper: Paper) -> list[float]:
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
